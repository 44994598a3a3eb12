"""A hole, vent or opening of a plate is too near a bend.

Finds: in bent plates that are sent to the cutting service cuts that come nearer to a bend line than the service asks;
    countersinks that are nearer to it than guidelines have them.
Why it matters: the metal flows into the bend and takes the hole with it: it comes out oval and leans, and its screw does not
    enter.
How measured: the least distance from the contour of the cut to the bend line, the middle of the bend in the flat, in closed
    form; of a countersink from its middle; least: so many thicknesses and the bend's inside radius. One finding for each
    plate, at the nearest cut, and one for its countersinks.
Limits: a cut that would enter a bend is refused where it is made. Reliefs beside a flange belong to the outline. Services do
    not agree on where they measure from; some ask half a thickness or a whole one more.
Sources: the service profile, service.toml beside the script, whose figures stop the build; where it says nothing, guidelines
    of sheet-metal services: twice the thickness and the radius. Countersinks: guidelines of sheet-metal services, four
    times the thickness and the radius; only ever a warning.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.checks._base import Check, Facts
from deskmodel.checks._plates import Short, cut_plates, middle, short_of, sinks_of, undrawn
from deskmodel.contours import nearest, nearest_to
from deskmodel.findings import Finding
from deskmodel.plans.plates import CutPlate
from deskmodel.profiles import Profile
from deskmodel.service import Service
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    remedy = "move it {required} mm or farther from the bend line, or drill it after bending"
    sunk = "move it {required} mm or farther from the bend line, or sink it after bending"
    service = facts.model.service
    return [finding for plate in cut_plates(facts.model) for finding in (
        *short_of(facts, "cut-near-bend", plate, _near(plate, service), remedy),
        *short_of(facts, "cut-near-bend", plate, _sunk(plate, service), sunk, guideline=True))]


def _near(plate: CutPlate, service: Service) -> Iterator[Short]:
    for bend in plate.sheet.bends:
        limit = service.least_to_bend(plate.sheet.thickness, bend.radius)
        line = Profile(((*bend.start, 0.0), (*bend.stop, 0.0)))
        for cut in plate.distinct:
            found = nearest(cut.outline, line, limit.value - LENGTH)
            if found is not None:
                yield Short(found[0], limit, middle(found[1], found[1]),
                            f"{cut.name} from the bend line of {bend.flange}")


def _sunk(plate: CutPlate, service: Service) -> Iterator[Short]:
    for bend in plate.sheet.bends:
        limit = service.sink_to_bend(plate.sheet.thickness, bend.radius)
        line = Profile(((*bend.start, 0.0), (*bend.stop, 0.0)))
        for work in sinks_of(plate):
            found = nearest_to(work.at, line)
            if found[0] < limit.value - LENGTH:
                yield Short(found[0], limit, work.at,
                            f"the middle of the countersink of {work.name} to the bend line of {bend.flange}")


CHECK = Check("cut-near-bend", "model", __doc__, run, undrawn)
