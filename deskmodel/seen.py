"""Which face of a plate is seen in the finished desk: its drawing for the cutting service shows that one."""

from __future__ import annotations

from collections.abc import Iterable

from deskmodel.cutting import Side
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.frames import Vec, dot, sub
from deskmodel.part import Member, Plate
from deskmodel.tolerances import LENGTH

__all__ = ["middle_of", "seen_face"]

_UPRIGHT = 0.5  # cosine to the vertical


def middle_of(parts: Iterable[PlacedPart]) -> Vec | None:
    """The middle of the box about all members that lie, or about all where none does: legs hang below the desk. None
    without any."""
    members = [placed for placed in parts if isinstance(placed.part, Member)]
    lying = [placed for placed in members if abs(placed.pose.axis(0)[2]) < _UPRIGHT]
    boxes = [placed_box(placed) for placed in lying or members]
    if not boxes:
        return None
    x, y, z = ((min(box[0][i] for box in boxes) + max(box[1][i] for box in boxes)) / 2 for i in range(3))
    return x, y, z


def seen_face(placed: PlacedPart, middle: Vec | None) -> Side:
    """What the plate's ``finish`` says; else the veneered face; else the one that looks away from ``middle``, that of the
    members, of a bent plate that of its base; "top" where neither does."""
    plate = placed.part
    assert isinstance(plate, Plate)
    if plate.finish is not None and plate.finish.seen is not None:
        return plate.finish.seen
    if plate.veneer is not None:
        return "top" if plate.veneer.face == "top" else "bottom"
    if middle is None:
        return "top"
    top = placed.face("top")
    u0, v0, u1, v1 = top.outline.bounds
    return "top" if dot(sub(top.point((u0 + u1) / 2, (v0 + v1) / 2), middle), top.normal) > -LENGTH else "bottom"
