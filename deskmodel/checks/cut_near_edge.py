"""A hole, vent or opening of a plate is too near the plate's edge.

Finds: in plates that are sent to the cutting service cuts that leave less metal to the outline than the service asks.
Why it matters: the strip between hole and edge burns, bulges or tears out under the screw.
How measured: the least distance from the contour of the cut to the outline, in closed form on the flat sheet. One finding
    for each plate, at the thinnest place.
Limits: a cut that meets the outline is part of it: a notch, not a hole. How near a screw may come to the edge for its load
    is not looked at, nor what a countersink leaves.
Sources: the service profile, service.toml beside the script, whose figures stop the build; where it says nothing, guidelines
    of sheet-metal services: 1.5 times the thickness (others: twice, or the hole's diameter).
"""

from __future__ import annotations

from deskmodel._remembered import remembered
from deskmodel.checks._base import Check, Facts
from deskmodel.checks._plates import Short, cut_plates, middle, short_of, undrawn
from deskmodel.contours import nearest
from deskmodel.findings import Finding
from deskmodel.plans.plates import CutPlate
from deskmodel.service import Service
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    remedy = "move it in until {required} mm of metal stay, or let it run out at the edge"
    return [finding for plate in cut_plates(facts.model)
            for finding in short_of(facts, "cut-near-edge", plate, _near(plate, facts.model.service), remedy)]


@remembered
def _near(plate: CutPlate, service: Service) -> tuple[Short, ...]:
    sheet = plate.sheet
    limit = service.least_edge(sheet.material, sheet.thickness)
    places = []
    for cut in plate.distinct:
        found = nearest(cut.outline, sheet.outline, limit.value - LENGTH)
        if found is not None:
            places.append(Short(found[0], limit, middle(found[1], found[2]), f"the metal between {cut.name} and the edge"))
    return tuple(places)


CHECK = Check("cut-near-edge", "model", __doc__, run, undrawn)
