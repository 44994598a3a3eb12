"""Which of two parts is the easier to move, and where to, in words."""

from __future__ import annotations

from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import CutOut
from deskmodel.frames import Vec, scale
from deskmodel.model import DeskModel
from deskmodel.tolerances import LENGTH

__all__ = ["move_apart", "tight_cover"]

_LOOSE_FIRST = ("component", "custom", "cover", "backing", "plate", "veneer", "member", "hardware")
"""Roles from what stands loose to what is glued or follows a joint (common practice)."""

_GOES_WITH = ("backing", "veneer")  # their group is the cover, the plate

_WORDS = (("to the right (+x)", "to the left (-x)"), ("to the back (+y)", "to the front (-y)"), ("up (+z)", "down (-z)"))


def move_apart(model: DeskModel, a: str, b: str, direction: Vec, by: float) -> str:
    """"move network switch 3.00 mm to the back (+y)": the looser of the two, of equally loose ones ``b``, away from the
    other by ``by`` mm. ``direction``: unit vector from ``a`` to ``b``, desk frame. A backing moves with its cover, a veneer
    with its plate."""
    first, second = model.part(a), model.part(b)
    looser = _rank(first) < _rank(second)
    chosen = first if looser else second
    name = chosen.group if chosen.role in _GOES_WITH and chosen.group else chosen.name
    return f"move {name} {_in_words(scale(direction, -by if looser else by))}"


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
