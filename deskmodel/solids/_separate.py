"""Which removals meet each other: what can be wires of one face, what can be let into a solid without a boolean operation,
and where the volume has a closed form."""

from __future__ import annotations

from collections.abc import Sequence

from deskmodel.features import Box3, Prism, Removal
from deskmodel.frames import Vec
from deskmodel.part import Blank, Bodies, BoxBlank, FoldedBlank, SheetBlank, TurnedBlank
from deskmodel.profiles import inside, rectangle
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["APART", "closed_form_volume", "let_in_ones", "meeting", "plain_through"]

APART = 1e-4
"""mm; boxes must be this far apart for their removals to count as separate."""
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


def let_in_ones(blank: Blank, removals: Sequence[Removal],
                all_of: Sequence[Removal]) -> tuple[list[tuple[Removal, list[tuple[Vec, Vec]]]], list[Removal]]:
    """(those of ``removals`` that reach the surface of a box or sheet only with ends square to their own axis, clear of
    edges and of all others of ``all_of``, each with its mouths: a point and the way out; the rest)."""
    touching = meeting(all_of)
    alone = {id(removal) for i, removal in enumerate(all_of) if i not in touching}
    found, rest = [], []
    for removal in removals:
        mouths = _mouths(blank, removal) if id(removal) in alone else []
        if mouths:
            found.append((removal, mouths))
        else:
            rest.append(removal)
    return found, rest


def _mouths(blank: Blank, removal: Removal) -> list[tuple[Vec, Vec]]:
    if not isinstance(blank, BoxBlank | SheetBlank):
        return []
    along = next((k for k in range(3) if abs(removal.pose.axis(2)[k]) > 1.0 - ANGLE), None)
    (low, high), (least, most) = removal.bounds, blank.bounds
    if along is None or (isinstance(blank, SheetBlank) and (along != 2 or not _off_the_edge(removal.bounds, blank))):
        return []
    if any(low[k] < least[k] + APART or high[k] > most[k] - APART for k in range(3) if k != along):
        return []
    inside = removal.pose.origin
    if isinstance(removal, Prism):
        inside = removal.pose.apply((*removal.profile.vertices[0][:2], 0.0))
    mouths = []
    for end, side, out in ((low, least, -1.0), (high, most, 1.0)):
        if abs(end[along] - side[along]) <= _TOUCHING:
            point, way = list(inside), [0.0, 0.0, 0.0]
            point[along], way[along] = side[along], out
            mouths.append(((point[0], point[1], point[2]), (way[0], way[1], way[2])))
        elif abs(end[along] - side[along]) < APART:
            return []
    return mouths


def _off_the_edge(box: Box3, blank: SheetBlank) -> bool:
    """Whether the removal stays clear of the outline. By its box: a corner may be refused, never wrongly let pass."""
    (x0, y0, _), (x1, y1, _) = box
    least_x, least_y, most_x, most_y = blank.outline.bounds
    if abs(blank.outline.area - (most_x - least_x) * (most_y - least_y)) <= LENGTH:  # a rectangle: quicker
        return min(x0 - least_x, y0 - least_y, most_x - x1, most_y - y1) > APART
    room = rectangle(x1 - x0 + 2 * APART, y1 - y0 + 2 * APART, (x0 - APART, y0 - APART))
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


def meeting(removals: Sequence[Removal], apart: float = APART) -> set[int]:
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
