"""The sheets of one piece: its views to a scale of ISO 5455, figures from the datums, holes by number with their table,
holes in section, and the title block. The smallest paper on which all of it can be read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from deskmodel.drawing._strokes import Stroke, outline_of
from deskmodel.drawing.breaks import Ruled, break_lines, broken, mirrored, unbroken
from deskmodel.drawing.crowd import Crowd
from deskmodel.drawing.dimensions import polyline, ruler, spread
from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.paper import Paper
from deskmodel.drawing.part_views import PartView
from deskmodel.drawing.records import LAYERS, Drawing, LayerName, Path, Point, Record, Text
from deskmodel.drawing.shelf import Item, shelved
from deskmodel.drawing.title_block import BLOCK, Title, area_of, drawn_sheet

__all__ = ["SCALES", "piece_sheets", "scale_text"]

SCALES = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50)
"""1 : n of ISO 5455 (from memory)."""

_FIGURE, _NUMBER, _LABEL = 2.5, 2.2, 2.5
_LEAD = 5.0  # from a view to the figures about it
_BELOW = 6.5  # paper under a view for its name
_BETWEEN = 6.0
_SMALL = 2  # 1 : n; the smaller paper is for what can be drawn at least that large,
_PLAIN = 200.0  # mm; or has nothing in it that is smaller than this
_SHORTEST = 0.02  # mm on paper
_LEGIBLE = 1.4  # mm on paper: what is smaller wants larger paper
_TRIED = (*((scale, False) for scale in SCALES if scale <= _SMALL), (1, True), (2, True),
          *((scale, breaking) for scale in SCALES if scale > _SMALL for breaking in (False, True)))
"""Scales in the order in which they are tried, and whether the piece is broken: whole at 1 : 2 before broken at 1 : 1."""

_BLUE = LAYERS["dimension"].colour


@dataclass(frozen=True, slots=True)
class _Set:
    """How the views are laid onto a paper: size, and the lower left corner of each."""

    scale: float
    ruled: tuple[Ruled, ...]
    corners: tuple[Point, ...]
    size: tuple[float, float]


def piece_sheets(views: Sequence[PartView], items: Sequence[Item], title: Title, smallest: float,
                 larger: tuple[Paper, ...] = ("A4 landscape", "A3 landscape")) -> tuple[Drawing, ...]:
    """``items``: tables and details in the order in which they are wanted. ``smallest``: the smallest thing that must be
    recognised, mm of the piece."""
    paper, laid = _choice(views, items, smallest, larger)
    title = replace(title, scale=scale_text(laid.scale))
    x0, y0, x1, y1 = area_of(paper)
    corner = (x0, y1 - laid.size[1])
    records = _views(views, laid, corner, (x0, y0, x1, y1))
    block = (x1 + 2 - BLOCK[0], y0 - 2, x1 + 2, y0 - 2 + BLOCK[1])
    set_, left = shelved(items, (x0, y0, x1, y1), block, (x0, corner[1] + 2, x0 + laid.size[0], y1))
    sheets = [[*records, *set_]]
    while left:
        more, rest = shelved(left, (x0, y0, x1, y1), block)
        if len(rest) == len(left) and not more:  # larger than a sheet: it cannot be, tables part and details are small
            raise AssertionError("a detail larger than a sheet")
        sheets.append(more)
        left = rest
    return tuple(drawn_sheet(paper, title, each, i, len(sheets)) for i, each in enumerate(sheets, 1))


def scale_text(scale: float) -> str:
    return f"1 : {scale:g}" if scale >= 1 else f"{1 / scale:g} : 1"


def _choice(views: Sequence[PartView], items: Sequence[Item], smallest: float,
            papers: Sequence[Paper]) -> tuple[Paper, _Set]:
    """The smaller paper where everything goes onto one sheet and can be read, else the larger one."""
    last: tuple[Paper, _Set] | None = None
    for paper in papers:
        x0, y0, x1, y1 = area_of(paper)
        for scale, breaking in _TRIED:
            laid = _laid(views, scale, x1 - x0 if breaking else None)
            block = (x1 + 2 - BLOCK[0], y0 - 2, x1 + 2, y0 - 2 + BLOCK[1])
            if laid is None or laid.size[0] > x1 - x0 or laid.size[1] > y1 - y0 - (
                    BLOCK[1] if x0 + laid.size[0] > block[0] - 3 else 0):
                continue
            fits = not shelved(items, (x0, y0, x1, y1), block, (x0, y1 - laid.size[1] + 2, x0 + laid.size[0], y1))[1]
            if last is None or (paper == papers[-1] and last[0] != paper):
                last = (paper, laid)
            readable = smallest / scale >= _LEGIBLE and (scale <= _SMALL or smallest >= _PLAIN or paper == papers[-1])
            if fits and readable:
                return paper, laid
            if not readable:
                break
    assert last is not None
    return last


def _laid(views: Sequence[PartView], scale: float, room: float | None) -> _Set | None:
    """``room``: break what is too long for it. None where there is nothing to break, or not enough."""
    rows = [view for view in views if view.place == "row"]
    along = [view for view in rows if view.runs]
    low, high = (along[0].box[0], along[0].box[2]) if along else (0.0, 0.0)
    base = unbroken(low, scale)
    if room is not None:
        if len(along) < 2:  # a sheet is no bar
            return None
        about = _laid(views, scale, None)
        assert about is not None
        strokes = [stroke if view.runs > 0 else _turned(stroke) for view in along
                   for stroke in (*view.seen.visible, *view.seen.hidden, *_ticks(view))]
        cut = broken(low, high, scale, strokes, room - about.size[0] + (high - low) / scale - 0.1)
        if cut is None:
            return None
        base = cut
    ruled = [base if view.runs > 0 else mirrored(base, high) if view.runs < 0 else unbroken(view.box[0], scale)
             for view in views]
    wide = [each(view.box[2]) for each, view in zip(ruled, views, strict=True)]
    tall = [(view.box[3] - view.box[1]) / scale for view in views]
    left = [i for i, view in enumerate(views) if view.place == "left"]
    right = [i for i, view in enumerate(views) if view.place == "right"]
    in_rows = [i for i, view in enumerate(views) if view.place == "row"]
    beside = max(_side(views[i]) for i in in_rows)
    roomy = [max(w, width_of(view.title, _LABEL, True)) for w, view in zip(wide, views, strict=True)]
    first = sum(roomy[i] + _side(views[i]) + _BETWEEN for i in left)
    corners: list[Point] = [(0.0, 0.0)] * len(views)
    # views beside stand in the row of the face side (of a plate: of the first)
    home = next((i for i in in_rows if views[i].title == "face side"), in_rows[-1 if right and not left else 0])
    y = 0.0
    for i in reversed(in_rows):
        group = [i, *(left + right if i == home else [])]
        foot = y + _BELOW + max(_under(views[j]) for j in group)
        for j in group:
            corners[j] = (0.0, foot)
        y = foot + max(tall[j] for j in group) + max(_over(views[j], scale) for j in group)
    x = 0.0
    for i in left:
        corners[i] = (x + _side(views[i]), corners[i][1])
        x += roomy[i] + _side(views[i]) + _BETWEEN
    end = 0.0
    for i in in_rows:
        corners[i] = (first + beside, corners[i][1])
        end = max(end, first + beside + roomy[i] + _beyond(views[i]) + 2)
    x = first + beside + roomy[home] + _beyond(views[home]) + _BETWEEN
    for i in right:
        corners[i] = (x, corners[i][1])
        x += roomy[i] + _side(views[i]) + _BETWEEN
    return _Set(scale, tuple(ruled), tuple(corners), (max(end, x if right else 0.0), y))


def _ticks(view: PartView) -> Iterator[Stroke]:
    for ordinate in view.xs:
        yield Stroke((ordinate.at, 0.0), (ordinate.at, 1.0))


def _turned(stroke: Stroke) -> Stroke:
    return replace(stroke, a=(-stroke.a[0], stroke.a[1]), b=(-stroke.b[0], stroke.b[1]),
                   centre=(-stroke.centre[0], stroke.centre[1]))


def _side(view: PartView) -> float:
    return _LEAD + 1 + max((width_of(each.text, _FIGURE) for each in view.ys), default=0.0)


def _beyond(view: PartView) -> float:
    return _LEAD + 1 + max(width_of(each.text, _FIGURE) for each in view.ys_right) if view.ys_right else 0.0


def _under(view: PartView) -> float:
    return _LEAD + 1 + max(width_of(each.text, _FIGURE) for each in view.xs_below) if view.xs_below else 0.0


def _over(view: PartView, scale: float) -> float:
    return _LEAD + 3 + max((width_of(each.text, _FIGURE) for each in view.xs), default=0.0)


def _views(views: Sequence[PartView], laid: _Set, corner: Point, area: tuple[float, float, float, float]) -> list[Record]:
    crowd = Crowd(area)
    records: list[Record] = []
    for view, ruled, at in zip(views, laid.ruled, laid.corners, strict=True):
        drawn = _Drawn(view, ruled, (corner[0] + at[0], corner[1] + at[1]), laid.scale)
        mine = [*drawn.strokes(), *drawn.centres(), *drawn.figures(), *drawn.origin(), drawn.name()]
        crowd.add(mine)
        records += mine
    for view, ruled, at in zip(views, laid.ruled, laid.corners, strict=True):
        drawn = _Drawn(view, ruled, (corner[0] + at[0], corner[1] + at[1]), laid.scale)
        for text, place, radius in drawn.numbers():
            records += crowd.put(text, _NUMBER, place, radius, bold=True, colour=(150, 60, 10))
    return records


def _hanging(marks: Sequence[tuple[float, str]], start: float) -> Iterator[Record]:
    """Figures below a view: as ``ruler``, downwards."""
    for (at, text), place in zip(marks, spread([at for at, _ in marks], _FIGURE + 0.7), strict=True):
        yield polyline("dimension", (at, start - 0.5), (at, start - 1.5), (place, start - _LEAD))
        yield Text(text, (place + _FIGURE / 2, start - _LEAD - 0.7), _FIGURE, "end", 90, colour=_BLUE)


class _Drawn:
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
        yield from ruler(across, self._top, _LEAD, upright=True, height=_FIGURE)
        below = sorted((self._x(each.at), each.text) for each in view.xs_below)
        yield from _hanging(below, self._y(view.box[1]))
        further = sorted((self._y(each.at), each.text) for each in view.ys_right)
        yield from ruler(further, self._x(view.box[2]), _LEAD, upright=False, height=_FIGURE)
        rising = sorted((self._y(each.at), each.text) for each in view.ys)
        if view.place == "right":
            yield from ruler(rising, self._x(view.box[2]), _LEAD, upright=False, height=_FIGURE)
        else:
            yield from ruler(rising, self._x(view.box[0]), -_LEAD, upright=False, height=_FIGURE)

    def name(self) -> Record:
        return Text(self._view.title, (self._at[0], self._at[1] - _under(self._view) - 4.5), _LABEL, bold=True)

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


