"""A hole or slot in a plate is too small for the cutting service.

Finds: in plates that are sent to the cutting service round holes of less diameter, and openings that are narrower somewhere,
    than the service cuts in that thickness.
Why it matters: the laser pierces a spot wider than that and burns the hole out; it comes oval, closed or not at all, and is
    drilled by hand then.
How measured: diameter; of other openings the least distance across between two stretches that lie opposite each other, in
    closed form on the flat sheet. One finding for each plate, at the worst hole.
Limits: openings that run to a point are not measured there. Slots as narrow as the kerf: slot-narrow-as-kerf. The thread's
    core hole of a tapped hole is a hole like any other.
Sources: the service profile, service.toml beside the script, whose figures stop the build; where it says nothing, guidelines
    of sheet-metal services: the thickness, 1 mm at least.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.checks._base import Check, Facts
from deskmodel.checks._plates import Short, cut_plates, middle, short_of, undrawn
from deskmodel.contours import widths
from deskmodel.findings import Finding
from deskmodel.plans.plates import CutPlate
from deskmodel.service import Service
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    remedy = "make it {required} mm or wider, or leave it out of the plate and drill it"
    return [finding for plate in cut_plates(facts.model)
            for finding in short_of(facts, "hole-too-small", plate, _narrow(plate, facts.model.service), remedy)]


def _narrow(plate: CutPlate, service: Service) -> Iterator[Short]:
    limit = service.least_hole(plate.sheet.material, plate.sheet.thickness)
    for cut in plate.distinct:
        across = [width for width in widths(cut.outline, limit.value - LENGTH) if width.inside]
        if across and across[0].size > service.laser.kerf + LENGTH:
            what = f"{cut.name} Ø" if cut.outline.as_circle else f"{cut.name}, across"
            yield Short(across[0].size, limit, middle(across[0].p, across[0].q), what)


CHECK = Check("hole-too-small", "model", __doc__, run, undrawn)
