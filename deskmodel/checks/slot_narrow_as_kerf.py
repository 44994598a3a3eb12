"""A slot is no wider than the laser's cut.

Finds: in plates that are sent to the cutting service openings, and slits in the outline, that are somewhere no wider than
    the kerf.
Why it matters: the laser runs along both sides of it, so that each cut takes the other side's edge away; a slot comes out at
    least as wide as the kerf, ragged, or the file is sent back.
How measured: the least distance across between two stretches of one contour that lie opposite each other, in closed form on
    the flat sheet; of a round hole the diameter. One finding for each plate, at the narrowest place.
Limits: what runs to a point is not measured there. Wider slots that are still too narrow: hole-too-small.
Sources: geometry; the kerf is that of the service profile, service.toml beside the script; where it says nothing 0.2 mm,
    common practice, a warning.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.checks._base import Check, Facts
from deskmodel.checks._plates import Short, cut_plates, middle, short_of, undrawn
from deskmodel.contours import widths
from deskmodel.findings import Finding
from deskmodel.plans.plates import CutPlate
from deskmodel.service import Limit, Service
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    remedy = "make it wider than {required} mm, the kerf; a cut without width is no opening"
    return [finding for plate in cut_plates(facts.model)
            for finding in short_of(facts, "slot-narrow-as-kerf", plate, _slits(plate, facts.model.service), remedy)]


def _slits(plate: CutPlate, service: Service) -> Iterator[Short]:
    limit = Limit(service.laser.kerf, service.states("laser"), service.laser.source)
    for cut in plate.distinct:
        across = [width for width in widths(cut.outline, limit.value + LENGTH) if width.inside]
        if across:
            yield Short(across[0].size, limit, middle(across[0].p, across[0].q), f"{cut.name}, across")
    for width in widths(plate.sheet.outline, limit.value + LENGTH):
        if not width.inside:
            yield Short(width.size, limit, middle(width.p, width.q), "a slit in the outline, across")


CHECK = Check("slot-narrow-as-kerf", "model", __doc__, run, undrawn)
