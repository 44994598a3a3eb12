"""The sheets of one piece: its views to a scale of ISO 5455, figures from the datums, holes by number with their table,
holes in section, and the title block. The smallest paper on which all of it can be read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from deskmodel.drawing._strokes import Stroke
from deskmodel.drawing.breaks import Ruled, broken, mirrored, unbroken
from deskmodel.drawing.crowd import Crowd
from deskmodel.drawing.drawn_view import LABEL, NUMBER, DrawnView, beside, beyond, over, under
from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.paper import Paper
from deskmodel.drawing.part_views import PartView
from deskmodel.drawing.records import Drawing, Point, Record
from deskmodel.drawing.shelf import Item, shelved
from deskmodel.drawing.title_block import BLOCK, Title, area_of, drawn_sheet

__all__ = ["SCALES", "piece_sheets", "scale_text"]

SCALES = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50)
"""1 : n of ISO 5455 (from memory)."""

_BELOW = 6.5  # paper under a view for its name
_BETWEEN = 6.0
_SMALL = 2  # 1 : n; the smaller paper is for what can be drawn at least that large,
_PLAIN = 200.0  # mm; or has nothing in it that is smaller than this
_LEGIBLE = 1.4  # mm on paper: what is smaller wants larger paper
_TRIED = (*((scale, False) for scale in SCALES if scale <= _SMALL), (1, True), (2, True),
          *((scale, breaking) for scale in SCALES if scale > _SMALL for breaking in (False, True)))
"""Scales in the order in which they are tried, and whether the piece is broken: whole at 1 : 2 before broken at 1 : 1."""


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
    aside = max(beside(views[i]) for i in in_rows)
    roomy = [max(w, width_of(view.title, LABEL, True)) for w, view in zip(wide, views, strict=True)]
    first = sum(roomy[i] + beside(views[i]) + _BETWEEN for i in left)
    corners: list[Point] = [(0.0, 0.0)] * len(views)
    # views beside stand in the row of the face side (of a plate: of the first)
    home = next((i for i in in_rows if views[i].title == "face side"), in_rows[-1 if right and not left else 0])
    y = 0.0
    for i in reversed(in_rows):
        group = [i, *(left + right if i == home else [])]
        foot = y + _BELOW + max(under(views[j]) for j in group)
        for j in group:
            corners[j] = (0.0, foot)
        y = foot + max(tall[j] for j in group) + max(over(views[j], scale) for j in group)
    x = 0.0
    for i in left:
        corners[i] = (x + beside(views[i]), corners[i][1])
        x += roomy[i] + beside(views[i]) + _BETWEEN
    end = 0.0
    for i in in_rows:
        corners[i] = (first + aside, corners[i][1])
        end = max(end, first + aside + roomy[i] + beyond(views[i]) + 2)
    x = first + aside + roomy[home] + beyond(views[home]) + _BETWEEN
    for i in right:
        corners[i] = (x, corners[i][1])
        x += roomy[i] + beside(views[i]) + _BETWEEN
    return _Set(scale, tuple(ruled), tuple(corners), (max(end, x if right else 0.0), y))


def _ticks(view: PartView) -> Iterator[Stroke]:
    for ordinate in view.xs:
        yield Stroke((ordinate.at, 0.0), (ordinate.at, 1.0))


def _turned(stroke: Stroke) -> Stroke:
    return replace(stroke, a=(-stroke.a[0], stroke.a[1]), b=(-stroke.b[0], stroke.b[1]),
                   centre=(-stroke.centre[0], stroke.centre[1]))


def _views(views: Sequence[PartView], laid: _Set, corner: Point, area: tuple[float, float, float, float]) -> list[Record]:
    crowd = Crowd(area)
    records: list[Record] = []
    for view, ruled, at in zip(views, laid.ruled, laid.corners, strict=True):
        drawn = DrawnView(view, ruled, (corner[0] + at[0], corner[1] + at[1]), laid.scale)
        mine = [*drawn.strokes(), *drawn.centres(), *drawn.figures(), *drawn.origin(), drawn.name()]
        crowd.add(mine)
        records += mine
    for view, ruled, at in zip(views, laid.ruled, laid.corners, strict=True):
        drawn = DrawnView(view, ruled, (corner[0] + at[0], corner[1] + at[1]), laid.scale)
        for text, place, radius in drawn.numbers():
            records += crowd.put(text, NUMBER, place, radius, bold=True, colour=(150, 60, 10))
    return records
