"""A plate can be turned over unnoticed, and is wrong then.

Finds: plates that are sent to the cutting service and look the same turned over, although their faces differ: one brushed,
    coated or under a film and not veneered; or that only seem to: turned over, their contours are off by less than 2 mm, and
    by more than 0.1, so that holes do not meet.
Why it matters: the plate is countersunk, bent, veneered or screwed on the wrong way up, and that shows when it is done.
How measured: the contours on the flat sheet turned over about every line through the middle of the outline that could bring
    it back (through corners, middles of edges; of a disc through its holes), and how far each then is from its nearest like.
Limits: a plate that is exactly its own mirror image and has two faces alike is right either way and not told. Turned round
    in its plane is not looked at. Bends and countersinks are made on the plate as it is cut, and tell its faces apart after.
Sources: that 2 mm are not seen, and that 0.1 is enough for holes to meet: common practice, a warning.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._plates import cut_plates, undrawn
from deskmodel.findings import Finding
from deskmodel.plans.plates import CutPlate
from deskmodel.service import Service
from deskmodel.tolerances import COAXIAL
from deskmodel.turned_over import UNNOTICED, turned_over

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    return [finding for plate in cut_plates(facts.model) if (finding := _judged(facts, plate)) is not None]


def _judged(facts: Facts, plate: CutPlate) -> Finding | None:
    turned = turned_over(plate.sheet)
    if turned is None:
        return None
    differ = _faces_differ(plate, facts.model.service)
    if turned.off <= COAXIAL + 1e-9 and differ is None:
        return None
    point = plate.in_desk(turned.at)
    what = differ if turned.off <= COAXIAL + 1e-9 else f"its contours are then {turned.off:.2f} mm off, at {at(point)}"
    return Finding("turned-over-unnoticed", "warn", (plate.name,),
                   f"{plate.name} looks the same when it is turned over, and {what}",
                   "witness=True puts a small hole that tells its faces apart, or make its holes clearly uneven",
                   point=point, measured=turned.off, required=UNNOTICED, unit="mm", source="common practice",
                   lines=lines_of(facts, (plate.name,)))


def _faces_differ(plate: CutPlate, service: Service) -> str | None:
    """Why its two faces are not alike, or None."""
    made = plate.plate
    if made.veneer is not None and made.veneer.face == plate.sheet.seen:
        return None  # the face that is seen is veneered, whichever it was
    if made.finish is not None and made.finish.one_sided:
        return "is brushed on one face" if made.finish.brushed else f"has {made.finish.coating} on one face"
    sheets = service.sheets_of(plate.sheet.material, plate.sheet.thickness)
    if any(sheet.film == "one side" or sheet.brushed for sheet in sheets):
        return "has film or brushing of its sheet on one face"
    return None


CHECK = Check("turned-over-unnoticed", "model", __doc__, run, undrawn)
