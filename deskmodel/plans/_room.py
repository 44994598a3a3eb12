"""The room of a bay: what lies below and above it, what stands at its four sides, what is in it.

Everything is read from the placed blanks: the box about each (exact for what stands at right angles) and, for the plates
below and above, their openings. A bay's *wall* is the innermost face that a member or an upright plate turns to it. A
member that stands inside the bay and runs along none of its sides from end to end, a leg block in a corner, is no wall:
it is in the bay.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median_low

from deskmodel._remembered import remembered
from deskmodel.bay import Bay
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import Box3, Prism
from deskmodel.frames import scale
from deskmodel.part import FoldedBlank, SheetBlank, removals_of
from deskmodel.profiles import inside, polygon
from deskmodel.tolerances import ANGLE, FACE_SEARCH, LENGTH, OVERLAP

__all__ = ["SIDES", "Boxed", "Wall", "boxed", "floor_and_ceiling", "frame_at", "overlap", "walls"]

SIDES = ("x0", "x1", "y0", "y1")
"""Left, right, front, back."""

_AXES = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
_LEAST = 0.5  # share of a bay's plan that a plate must cover to be its floor or ceiling, not something in it


@dataclass(frozen=True, slots=True)
class Boxed:
    """A placed part, or a panel of a bent plate, with the box about it (desk frame, mm). ``upright``: a sheet on edge."""

    placed: PlacedPart
    box: Box3
    upright: bool = False

    @property
    def name(self) -> str:
        return self.placed.name

    def span(self, axis: int) -> tuple[float, float]:
        return self.box[0][axis], self.box[1][axis]


@dataclass(frozen=True, slots=True)
class Wall:
    """One side of a bay. ``stated``: where the script says it is; ``at``: where the innermost face is (desk frame, mm),
    None where there is no member or upright plate that way; ``parts``: whose faces; ``covered``: mm of the side's length
    along which there is a wall."""

    side: str
    stated: float
    at: float | None
    parts: tuple[str, ...] = ()
    covered: float = 0.0

    @property
    def off(self) -> float | None:
        """mm between the stated side and the face, whichever way."""
        return None if self.at is None else abs(self.at - self.stated)


def boxed(parts: Sequence[PlacedPart]) -> tuple[Boxed, ...]:
    """All but hardware; bent plates by their panels, so that a flange is a wall and its plate a floor."""
    return tuple(each for placed in parts if placed.role != "hardware" for each in _pieces(placed))


@remembered
def _pieces(placed: PlacedPart) -> tuple[Boxed, ...]:
    blank = placed.part.blank
    if not isinstance(blank, FoldedBlank):
        upright = isinstance(blank, SheetBlank) and abs(placed.pose.axis(2)[2]) < ANGLE
        return (Boxed(placed, placed_box(placed), upright),)
    pieces = []
    back = placed.pose.inverse()
    for panel in blank.folding.panels:
        highs = [panel.reach(back.turn(axis)) + o for axis, o in zip(_AXES, placed.pose.origin, strict=True)]
        lows = [o - panel.reach(back.turn(scale(axis, -1.0))) for axis, o in zip(_AXES, placed.pose.origin, strict=True)]
        pieces.append(Boxed(placed, ((lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2])),
                            abs(placed.pose.turn(panel.w)[2]) < ANGLE))
    return tuple(pieces)


def overlap(a: tuple[float, float], b: tuple[float, float]) -> float:
    """mm that two stretches share; below 0: how far they are apart."""
    return min(a[1], b[1]) - max(a[0], b[0])


def floor_and_ceiling(bay: Bay, parts: Sequence[Boxed]) -> tuple[tuple[float, str] | None, tuple[float, str] | None]:
    """((z, part) of the floor, (z, part) of the ceiling); None where nothing closes the bay that way."""
    layers = [each for each in parts if _over(bay, each) and _closes(bay, each)]
    level = _level(bay, parts, layers)
    if level is None:
        return None, None
    # what is as high as the walls is beside the bay or in it
    layers = [each for each in layers if each.placed.role != "member" or not each.span(2)[0] < level < each.span(2)[1]]
    below = [(each.span(2)[1], each.name) for each in layers if sum(each.span(2)) / 2 < level]
    above = [(each.span(2)[0], each.name) for each in layers if sum(each.span(2)) / 2 >= level]
    floor = max(below, key=lambda found: found[0], default=None)
    ceiling = min(above, key=lambda found: found[0], default=None)
    return floor, ceiling


def _over(bay: Bay, each: Boxed) -> bool:
    return overlap(bay.x, each.span(0)) > OVERLAP and overlap(bay.y, each.span(1)) > OVERLAP


def _closes(bay: Bay, each: Boxed) -> bool:
    """Whether it may be a floor or a ceiling: flat, reaching the walls or most of the bay, and not just open here."""
    role = each.placed.role
    if role in ("cover", "backing"):
        return True
    if role == "member":
        return not _is_content(bay, each)
    if role not in ("plate", "veneer") or each.upright:
        return False
    shares = [overlap(side, each.span(axis)) / (side[1] - side[0]) for axis, side in enumerate((bay.x, bay.y))]
    leaves = any(each.span(axis)[0] < side[0] - OVERLAP or each.span(axis)[1] > side[1] + OVERLAP
                 for axis, side in enumerate((bay.x, bay.y)))
    return (leaves or shares[0] * shares[1] >= _LEAST) and not _open(bay, each.placed)


@remembered
def _open(bay: Bay, placed: PlacedPart) -> bool:
    """Whether one opening right through the plate takes up the whole bay."""
    blank = placed.part.blank
    if not isinstance(blank, SheetBlank | FoldedBlank):
        return False
    back = placed.pose.inverse()
    (x0, x1), (y0, y1) = ((low + OVERLAP / 2, high - OVERLAP / 2) for low, high in (bay.x, bay.y))
    for removal in removals_of(placed.part):
        through = isinstance(removal, Prism) and removal.bounds[1][2] - removal.bounds[0][2] >= blank.thickness - LENGTH
        if isinstance(removal, Prism) and through and removal.profile.area >= (x1 - x0) * (y1 - y0):
            into = removal.pose.inverse() @ back
            corners = [into.apply((x, y, 0.0))[:2] for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
            if inside(polygon(corners), removal.profile):
                return True
    return False


def _level(bay: Bay, parts: Sequence[Boxed], layers: Sequence[Boxed]) -> float | None:
    """A height inside the bay: half way up the members that stand at its sides; without any, the middle of the widest
    gap between what lies over each other."""
    middles = [sum(each.span(2)) / 2 for each in parts if each.placed.role == "member" and _flanks(bay, each)]
    if middles:
        return median_low(middles)
    gaps = []
    top = None
    for low, high in sorted(each.span(2) for each in layers if each.placed.role != "member"):
        if top is not None:
            gaps.append((low - top, (low + top) / 2))
        top = high if top is None else max(top, high)
    return max(gaps)[1] if gaps else top


def _flanks(bay: Bay, each: Boxed) -> bool:
    """Whether it runs along at least half of a side, near it."""
    for axis, (side, along) in enumerate(((bay.x, bay.y), (bay.y, bay.x))):
        low, high = each.span(axis)
        near = min(abs(high - side[0]), abs(low - side[1])) <= FACE_SEARCH
        if near and overlap(along, each.span(1 - axis)) >= (along[1] - along[0]) / 2:
            return True
    return False


def frame_at(bay: Bay, height: tuple[float, float], parts: Sequence[Boxed]) -> tuple[list[tuple[Boxed, str]], list[Boxed]]:
    """(what stands about the bay with the side at which it does, members and plates that are in it)."""
    frame: list[tuple[Boxed, str]] = []
    within: list[Boxed] = []
    for each in parts:
        role = each.placed.role
        if role not in ("member", "plate") or overlap(height, each.span(2)) <= OVERLAP:
            continue
        side, into = _side_of(bay, each)
        if into <= OVERLAP:
            if side and (role == "member" or each.upright):
                frame.append((each, side))
        elif _is_content(bay, each):
            within.append(each)
        elif role == "member" or each.upright:
            frame.append((each, side))
    return frame, within


def _side_of(bay: Bay, each: Boxed) -> tuple[str, float]:
    """(the side by which it would leave the bay soonest, mm that it would have to move); "" for what lies diagonally off a
    corner."""
    reach = []
    for axis, side in enumerate((bay.x, bay.y)):
        low, high = each.span(axis)
        reach += [(high - side[0], SIDES[2 * axis]), (side[1] - low, SIDES[2 * axis + 1])]
    into, side_name = min(reach)
    other = (bay.y, bay.x)[SIDES.index(side_name) // 2]
    beside = overlap(other, each.span(1 - SIDES.index(side_name) // 2)) > OVERLAP
    return (side_name if beside else ""), into


def _is_content(bay: Bay, each: Boxed) -> bool:
    """It stands in the bay, and is neither as long nor as broad as it."""
    for axis, side in enumerate((bay.x, bay.y)):
        middle = sum(each.span(axis)) / 2
        if not side[0] < middle < side[1] or overlap(side, each.span(axis)) >= side[1] - side[0] - FACE_SEARCH:
            return False
    return True


def walls(bay: Bay, frame: Sequence[tuple[Boxed, str]]) -> tuple[Wall, ...]:
    """The four sides, in the order of ``SIDES``."""
    return tuple(_wall(bay, side, [each for each, at in frame if at == side]) for side in SIDES)


def _wall(bay: Bay, side: str, frame: Sequence[Boxed]) -> Wall:
    axis, end = SIDES.index(side) // 2, SIDES.index(side) % 2
    stated, along = ((bay.x, bay.y), (bay.y, bay.x))[axis][0][end], (bay.y, bay.x)[axis]
    if not frame:
        return Wall(side, stated, None)
    at = (min if end else max)(each.span(axis)[1 - end] for each in frame)
    flush = [each for each in frame if abs(each.span(axis)[1 - end] - at) < OVERLAP]
    covered = sum(high - low for low, high in _union(along, [each.span(1 - axis) for each in flush]))
    return Wall(side, stated, at, tuple(sorted(each.name for each in flush)), covered)


def _union(within: tuple[float, float], stretches: Sequence[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """The stretches joined where they meet, cut to ``within``."""
    reached = within[0]
    for low, high in sorted(stretches):
        low, high = max(low, reached), min(high, within[1])
        if high > low:
            yield low, high
            reached = high
