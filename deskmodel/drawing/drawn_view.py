"""One view of a piece on paper: its strokes, centres of holes, figures along its sides, numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deskmodel.drawing._strokes import Stroke, outline_of
from deskmodel.drawing.breaks import Ruled, break_lines
from deskmodel.drawing.dimensions import polyline, ruler, spread
from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.part_views import PartView
from deskmodel.drawing.records import LAYERS, LayerName, Path, Point, Record, Text

__all__ = ["FIGURE", "LABEL", "LEAD", "NUMBER", "DrawnView", "beside", "beyond", "over", "under"]

FIGURE, NUMBER, LABEL = 2.5, 2.2, 2.5
LEAD = 5.0
"""mm from a view to the figures about it."""

_SHORTEST = 0.02  # mm on paper
_BLUE = LAYERS["dimension"].colour


def beside(view: PartView) -> float:
    """mm of paper to the left of a view for its figures."""
    return LEAD + 1 + max((width_of(each.text, FIGURE) for each in view.ys), default=0.0)


def beyond(view: PartView) -> float:
    """To its right."""
    return LEAD + 1 + max(width_of(each.text, FIGURE) for each in view.ys_right) if view.ys_right else 0.0


def under(view: PartView) -> float:
    """Below it."""
    return LEAD + 1 + max(width_of(each.text, FIGURE) for each in view.xs_below) if view.xs_below else 0.0


def over(view: PartView, scale: float) -> float:
    """Above it."""
    return LEAD + 3 + max((width_of(each.text, FIGURE) for each in view.xs), default=0.0)


def _hanging(marks: Sequence[tuple[float, str]], start: float) -> Iterator[Record]:
    """Figures below a view: as ``ruler``, downwards."""
    for (at, text), place in zip(marks, spread([at for at, _ in marks], FIGURE + 0.7), strict=True):
        yield polyline("dimension", (at, start - 0.5), (at, start - 1.5), (place, start - LEAD))
        yield Text(text, (place + FIGURE / 2, start - LEAD - 0.7), FIGURE, "end", 90, colour=_BLUE)


class DrawnView:
    """One view with its lower left corner at ``at`` of the sheet."""

    def __init__(self, view: PartView, ruled: Ruled, at: Point, scale: float) -> None:
        self._view, self._ruled, self._at, self._scale = view, ruled, at, scale

    def _x(self, u: float) -> float:
        return self._at[0] + self._ruled(u)

    def _y(self, v: float) -> float:
        return self._at[1] + (v - self._view.box[1]) / self._scale

    @property
    def _top(self) -> float:
        return self._y(self._view.box[3])

    def strokes(self) -> Iterator[Record]:
        layer: LayerName
        for layer, group in (("hidden", self._view.seen.hidden), ("visible", self._view.seen.visible)):
            for stroke in group:
                yield from self._stroke(layer, stroke)
        for bend in self._view.bends:
            yield polyline("phantom", (self._x(bend.start[0]), self._y(bend.start[1])),
                           (self._x(bend.stop[0]), self._y(bend.stop[1])))
        for line in break_lines(self._ruled, self._at[1], self._top):
            yield polyline("thin", *((self._at[0] + x, y) for x, y in line))

    def _stroke(self, layer: LayerName, stroke: Stroke) -> Iterator[Record]:
        if not stroke.radius:
            for a, b in self._ruled.pieces(stroke):
                if max(abs(a[0] - b[0]), abs(a[1] - b[1]) / self._scale) > _SHORTEST:
                    yield polyline(layer, (self._at[0] + a[0], self._y(a[1])), (self._at[0] + b[0], self._y(b[1])))
            return
        outline, closed = outline_of(stroke)
        yield Path(layer, (tuple((self._x(x), self._y(y), bulge) for x, y, bulge in outline),), closed=closed)

    def centres(self) -> Iterator[Record]:
        for mark, (u, v) in self._view.marks:
            x, y, r = self._x(u), self._y(v), mark.widest / 2 / self._scale
            layer: LayerName = "centre" if r >= 3 else "thin"
            reach = r + (1.5 if r >= 1.2 else 0.8)
            yield polyline(layer, (x - reach, y), (x + reach, y))
            yield polyline(layer, (x, y - reach), (x, y + reach))

    def figures(self) -> Iterator[Record]:
        view = self._view
        across = sorted((self._x(each.at), each.text) for each in view.xs)
        yield from ruler(across, self._top, LEAD, upright=True, height=FIGURE)
        below = sorted((self._x(each.at), each.text) for each in view.xs_below)
        yield from _hanging(below, self._y(view.box[1]))
        further = sorted((self._y(each.at), each.text) for each in view.ys_right)
        yield from ruler(further, self._x(view.box[2]), LEAD, upright=False, height=FIGURE)
        rising = sorted((self._y(each.at), each.text) for each in view.ys)
        if view.place == "right":
            yield from ruler(rising, self._x(view.box[2]), LEAD, upright=False, height=FIGURE)
        else:
            yield from ruler(rising, self._x(view.box[0]), -LEAD, upright=False, height=FIGURE)

    def name(self) -> Record:
        return Text(self._view.title, (self._at[0], self._at[1] - under(self._view) - 4.5), LABEL, bold=True)

    def origin(self) -> Iterator[Record]:
        """A ring where both figures are 0."""
        nought = [[each.at for each in group if each.value == 0] for group in (self._view.xs, self._view.ys)]
        if all(nought):
            x, y, r = self._x(nought[0][0]), self._y(nought[1][0]), 1.1
            yield Path("dimension", (((x + r, y, 1.0), (x - r, y, 1.0)),))

    def numbers(self) -> Iterator[tuple[str, Point, float]]:
        for mark, (u, v) in self._view.marks:
            yield mark.number, (self._x(u), self._y(v)), mark.widest / 2 / self._scale
        for text, (u, v) in self._view.notes:
            yield text, (self._x(u), self._y(v)), 0.5
