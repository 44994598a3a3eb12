"""Which of two parts is the easier to move, and where to, in words."""

from __future__ import annotations

from collections.abc import Mapping

from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import Box3, CutOut
from deskmodel.frames import Vec, scale
from deskmodel.model import DeskModel
from deskmodel.tolerances import LENGTH

__all__ = ["move_apart", "move_clear", "tight_cover"]

_LOOSE_FIRST = ("component", "custom", "cover", "backing", "plate", "veneer", "member", "hardware")
"""Roles from what stands loose to what is glued or follows a joint (common practice)."""

_FLAT = ("cover", "backing", "plate", "veneer")
"""Roles of sheets: one of them is not lifted out of another."""

_OPENED = {"plate", "veneer"}
"""Roles of what has openings in which other parts stand: the box about it says nothing of them."""

_ENDS = 0.05  # mm by which the box of what two bodies share may miss the end of one of them

_GOES_WITH = ("backing", "veneer")  # their group is the cover, the plate

_WORDS = (("to the right (+x)", "to the left (-x)"), ("to the back (+y)", "to the front (-y)"), ("up (+z)", "down (-z)"))


def move_apart(model: DeskModel, a: str, b: str, direction: Vec, by: float) -> str:
    """"move network switch 3.00 mm to the back (+y)": the looser of the two, of equally loose ones ``b``, away from the
    other by ``by`` mm. ``direction``: unit vector from ``a`` to ``b``, desk frame. A backing moves with its cover, a veneer
    with its plate."""
    first, second = model.part(a), model.part(b)
    looser = _rank(first) < _rank(second)
    chosen = first if looser else second
    return f"move {_named(chosen)} {_in_words(scale(direction, -by if looser else by))}"


def move_clear(model: DeskModel, a: str, b: str, shared: Box3, boxes: Mapping[str, Box3] | None = None) -> str | None:
    """"move keyboard 10.00 mm to the left (-x)": the looser of two parts that overlap, of equally loose ones ``b``, the
    shortest way along an axis of the desk until the boxes about the two are clear. None where they do not tell.

    In the openings of a plate other parts stand: there one is drawn out by what they share (``shared``: the box about that,
    desk frame, mm) where one end of it and not the other is in the plate. ``boxes``: by name, of what overlaps where that is
    not the part itself."""
    first, second = model.part(a), model.part(b)
    mover, other = (first, second) if _rank(first) < _rank(second) else (second, first)
    if mover.role == "hardware":  # it follows its joint
        return None
    (low, high), (other_low, other_high) = ((boxes or {}).get(part.name) or placed_box(part) for part in (mover, other))
    ways: list[tuple[float, Vec]] = []
    for axis in range(2 if mover.role in _FLAT and other.role in _FLAT else 3):
        ends = [abs(shared[0][axis] - low[axis]) < _ENDS, abs(shared[1][axis] - high[axis]) < _ENDS]
        for sense, by in ((1, other_high[axis] - low[axis]), (-1, high[axis] - other_low[axis])):
            if {mover.role, other.role} & _OPENED:
                if ends != [sense > 0, sense < 0]:
                    continue
                by = shared[1][axis] - shared[0][axis]
            step = [0.0, 0.0, 0.0]
            step[axis] = sense * by
            # what stands on something is lifted only where that is much less
            ways.append((2 * by if axis == 2 else by, (step[0], step[1], step[2])))
    return f"move {_named(mover)} {_in_words(min(ways)[1])}" if ways else None


def _named(part: PlacedPart) -> str:
    return part.group if part.role in _GOES_WITH and part.group else part.name


def _rank(part: PlacedPart) -> int:
    return _LOOSE_FIRST.index(part.role)


def _in_words(move: Vec) -> str:
    """The longest step first; steps under 0.005 mm are left out."""
    steps = sorted(((abs(step), _WORDS[axis][step < 0]) for axis, step in enumerate(move) if abs(step) > 0.005),
                   reverse=True)
    return " and ".join(f"{size:.2f} mm {words}" for size, words in steps)


def tight_cover(model: DeskModel, a: str, b: str, direction: Vec, minimum: float) -> str | None:
    """The cover's name where the two are a cover and the plate in whose opening it lies, and there is no room for
    ``minimum`` mm on both sides along ``direction``: no move helps. The boxes about both outlines are compared."""
    axis = max(range(3), key=lambda i: abs(direction[i]))
    for cover, plate in ((model.part(a), model.part(b)), (model.part(b), model.part(a))):
        if cover.role != "cover" or plate.role != "plate" or axis == 2:
            continue
        low, high = placed_box(cover)
        for cut in plate.part.features:
            if not isinstance(cut, CutOut):
                continue
            face = plate.face(cut.face)
            x0, y0, x1, y1 = cut.outline.bounds
            corners = [face.point(x, y) for x in (x0, x1) for y in (y0, y1)]
            edges = [(min(p[i] for p in corners), max(p[i] for p in corners)) for i in (0, 1)]
            if all(edges[i][0] < (low[i] + high[i]) / 2 < edges[i][1] for i in (0, 1)):
                room = edges[axis][1] - edges[axis][0] - (high[axis] - low[axis])
                return cover.name if room < 2 * minimum - LENGTH else None
    return None
