"""Too little metal is left between two cuts of a plate.

Finds: in plates that are sent to the cutting service webs between two holes, vents or openings, between two stretches of one
    opening, and tongues of the outline, that are thinner than the service asks.
Why it matters: the web burns away or warps, a vent field bulges, a tongue bends when the plate is lifted off the machine.
How measured: the least distance between two contours, and between two stretches of one that lie opposite each other, in
    closed form on the flat sheet. One finding for each plate, at the thinnest web.
Limits: cuts that meet are one opening and have no web. From a cut to the outline: cut-near-edge. Countersinks take away more
    of a web than their hole; they are not looked at.
Sources: the service profile, service.toml beside the script, whose figures stop the build; where it says nothing, guidelines
    of sheet-metal services: twice the thickness.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.checks._base import Check, Facts
from deskmodel.checks._plates import Short, cut_plates, middle, short_of, undrawn
from deskmodel.contours import nearest, widths
from deskmodel.findings import Finding
from deskmodel.plans.plates import CutPlate
from deskmodel.service import Service
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    remedy = "move them apart until {required} mm of metal stay, or make one opening of them"
    return [finding for plate in cut_plates(facts.model)
            for finding in short_of(facts, "web-too-thin", plate, _webs(plate, facts.model.service), remedy)]


def _webs(plate: CutPlate, service: Service) -> Iterator[Short]:
    sheet = plate.sheet
    limit = service.least_web(sheet.material, sheet.thickness)
    least = limit.value - LENGTH
    cuts = sorted(((cut.outline.bounds, cut) for cut in plate.distinct), key=lambda each: each[0])
    active: list[int] = []
    for i, ((x0, y0, _, y1), cut) in enumerate(cuts):
        active = [j for j in active if cuts[j][0][2] > x0 - least]
        for j in active:
            if cuts[j][0][1] < y1 + least and cuts[j][0][3] > y0 - least:
                found = nearest(cuts[j][1].outline, cut.outline, least)
                if found is not None:
                    names = sorted({cuts[j][1].name, cut.name})
                    what = f"the web between {' and '.join(names)}" if len(names) > 1 else f"a web of {names[0]}"
                    yield Short(found[0], limit, middle(found[1], found[2]), what)
        active.append(i)
        yield from (Short(width.size, limit, middle(width.p, width.q), f"a tongue in {cut.name}")
                    for width in ([] if cut.outline.as_circle else widths(cut.outline, least)) if not width.inside)
    yield from (Short(width.size, limit, middle(width.p, width.q), "a tongue of the outline")
                for width in widths(sheet.outline, least) if width.inside)


CHECK = Check("web-too-thin", "model", __doc__, run, undrawn)
