"""Which removals meet each other: what can be wires of one face, and where the volume has a closed form."""

from __future__ import annotations

from collections.abc import Sequence

from deskmodel.features import Box3, Prism, Removal
from deskmodel.part import Blank, Bodies, BoxBlank, FoldedBlank, SheetBlank, TurnedBlank
from deskmodel.profiles import inside, rectangle
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["closed_form_volume", "meeting", "plain_through"]

_APART = 1e-4  # mm; boxes must be this far apart for their removals to count as separate
_TOUCHING = 1e-9  # mm; bodies that run into each other by more share a volume that the sum would count twice


def plain_through(blank: SheetBlank, removals: Sequence[Removal]) -> tuple[list[Prism], list[Removal]]:
    """(prisms that go square through the sheet, touch neither its outline nor any other removal; all the rest)."""
    touching = meeting(removals)
    through: list[Prism] = []
    rest: list[Removal] = []
    for i, removal in enumerate(removals):
        if (i not in touching and isinstance(removal, Prism) and abs(removal.depth - blank.thickness) <= LENGTH
                and abs(abs(removal.pose.axis(2)[2]) - 1.0) <= ANGLE and _off_the_edge(removal.bounds, blank)):
            through.append(removal)
        else:
            rest.append(removal)
    return through, rest


def _off_the_edge(box: Box3, blank: SheetBlank) -> bool:
    """Whether the removal stays clear of the outline. By its box: a corner may be refused, never wrongly let pass."""
    (x0, y0, _), (x1, y1, _) = box
    room = rectangle(x1 - x0 + 2 * _APART, y1 - y0 + 2 * _APART, (x0 - _APART, y0 - _APART))
    return inside(room, blank.outline)


def closed_form_volume(blank: Blank, removals: Sequence[Removal]) -> float | None:
    """mm³: blank less removals, where no two of them meet and each is sure to lie in the blank; else None."""
    if isinstance(blank, Bodies):
        separate = not removals and not meeting(blank.bodies, -_TOUCHING)
        return sum(body.volume for body in blank.bodies) if separate else None
    if not isinstance(blank, BoxBlank | SheetBlank | FoldedBlank | TurnedBlank):
        return None
    if meeting(removals):
        return None
    return blank.volume - sum(removal.volume for removal in removals)


def meeting(removals: Sequence[Removal], apart: float = _APART) -> set[int]:
    """Indices of removals whose boxes come within ``apart`` of another's (below 0: overlap by more than that)."""
    boxes = [(removal.bounds, i) for i, removal in enumerate(removals)]
    boxes.sort(key=lambda each: each[0][0][0])
    found: set[int] = set()
    active: list[tuple[Box3, int]] = []
    for box, i in boxes:
        active = [other for other in active if other[0][1][0] + apart >= box[0][0]]
        for other, j in active:
            if all(other[0][k] - apart <= box[1][k] and box[0][k] - apart <= other[1][k] for k in (1, 2)):
                found |= {i, j}
        active.append((box, i))
    return found
