"""A hole, vent or opening of a plate is too near the plate's edge.

Finds: in plates that are sent to the cutting service cuts that leave less metal to the outline than the service asks;
    countersinks that are nearer to the edge than guidelines have them.
Why it matters: the strip between hole and edge burns, bulges or tears out under the screw; beside a countersink it is
    thinner still and gives way while it is sunk.
How measured: the least distance from the contour of the cut to the outline, in closed form on the flat sheet; of a
    countersink from its middle, whoever makes it. One finding for each plate, at the thinnest place, and one for its
    countersinks.
Limits: a cut that meets the outline is part of it: a notch, not a hole. How near a screw may come to the edge for its load
    is not looked at. Guidelines do not agree on where a countersink is measured from; from its rim they ask more.
Sources: the service profile, service.toml beside the script, whose figures stop the build; where it says nothing, guidelines
    of sheet-metal services: 1.5 times the thickness (others: twice, or the hole's diameter). Countersinks: guidelines of
    sheet-metal services, four times the thickness; only ever a warning.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel._remembered import remembered
from deskmodel.checks._base import Check, Facts
from deskmodel.checks._plates import Short, cut_plates, middle, short_of, sinks_of, undrawn
from deskmodel.contours import nearest, nearest_to
from deskmodel.findings import Finding
from deskmodel.plans.plates import CutPlate
from deskmodel.service import Service
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    remedy = "move it in until {required} mm of metal stay, or let it run out at the edge"
    sunk = "move it in until its middle is {required} mm from the edge, or take a head that sits on the plate (ISO 7380)"
    service = facts.model.service
    return [finding for plate in cut_plates(facts.model) for finding in (
        *short_of(facts, "cut-near-edge", plate, _near(plate, service), remedy),
        *short_of(facts, "cut-near-edge", plate, _sunk(plate, service), sunk, guideline=True))]


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


def _sunk(plate: CutPlate, service: Service) -> Iterator[Short]:
    limit = service.sink_to_edge(plate.sheet.thickness)
    for work in sinks_of(plate):
        found = nearest_to(work.at, plate.sheet.outline)
        if found[0] < limit.value - LENGTH:
            yield Short(found[0], limit, middle(work.at, found[1]),
                        f"the middle of the countersink of {work.name} to the edge")


CHECK = Check("cut-near-edge", "model", __doc__, run, undrawn)
