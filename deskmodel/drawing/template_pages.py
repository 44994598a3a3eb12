"""Templates on paper: true size, corrected by what the shop's printer makes of a bar of 100, several sheets where one is too
small, with marks that lay one upon the next."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from deskmodel._edges import Point
from deskmodel.drawing._strokes import Stroke
from deskmodel.drawing.check_bars import TOLERANCE, check_bar_x, check_bar_y
from deskmodel.drawing.crowd import Crowd
from deskmodel.drawing.dimensions import figure, polyline
from deskmodel.drawing.flow import lines_of
from deskmodel.drawing.lettering import clipped, plain, width_of
from deskmodel.drawing.paper import Head, Paper, body_of, framed
from deskmodel.drawing.pdf import drawable
from deskmodel.drawing.records import Drawing, Path, Record, Text
from deskmodel.drawing.template_shapes import Template
from deskmodel.workshop import PrintScale

__all__ = ["BAR", "template_pages"]

BAR = 100.0
"""mm, the length of the check bars, along the page and across it."""

_TEXT, _NAME = 2.2, 2.5
_HEAD = 26.0  # paper above a template for its name, notes and the figures of its reference lines
_FOOT = 12.0  # below it, for the level check bar
_SIDE = 12.0  # beside it, for the upright one
_OVERLAP = 10.0
_PAPERS: tuple[Paper, ...] = ("A4", "A4 landscape")
_CROSS = 3.0
_WIDE = 30.0  # mm: what is wider has its figure beside its middle


@dataclass(frozen=True, slots=True)
class _Tile:
    """The stretch of a template on one sheet: x and y from to, mm. ``column`` from the left and ``row`` from below, of
    ``grid`` (columns, rows)."""

    x: tuple[float, float]
    y: tuple[float, float]
    column: int
    row: int
    grid: tuple[int, int]


def template_pages(made: Sequence[Template], paper: PrintScale | None, desk: str, made_from: str,
                   unreleased: bool) -> tuple[Drawing, ...]:
    """A sheet or more for each. ``paper``: how large bars of 100 come out of the printer; None: not measured."""
    kx, ky = (BAR / paper.bar[0], BAR / paper.bar[1]) if paper else (1.0, 1.0)
    pages: list[Drawing] = []
    for template in made:
        sheet, tiles = min((_tiled(template, paper_, kx, ky) for paper_ in _PAPERS), key=lambda each: len(each[1]))
        x0, y0, x1, y1 = body_of(sheet)
        bodies = [_sheet(template, tile, i, len(tiles), (kx, ky), (x1 - x0, y1 - y0), paper)
                  for i, tile in enumerate(tiles, 1)]
        head = Head(desk, f"template: {template.group}", made_from, unreleased, "1 : 1")
        pages += framed(bodies, sheet, head)
    return tuple(pages)


def _tiled(template: Template, paper: Paper, kx: float, ky: float) -> tuple[Paper, list[_Tile]]:
    x0, y0, x1, y1 = body_of(paper)
    columns = _stretches(template.size[0], (x1 - x0 - _SIDE) / kx)
    rows = _stretches(template.size[1], (y1 - y0 - _HEAD - _FOOT) / ky)
    grid = len(columns), len(rows)
    return paper, [_Tile(x, y, i, k, grid) for k, y in enumerate(rows, 1) for i, x in enumerate(columns, 1)]


def _stretches(length: float, room: float) -> list[tuple[float, float]]:
    """Stretches of at most ``room`` that overlap, all of one length."""
    if length <= room:
        return [(0.0, length)]
    count = math.ceil((length - _OVERLAP) / (room - _OVERLAP))
    each = (length + (count - 1) * _OVERLAP) / count
    return [(i * (each - _OVERLAP), i * (each - _OVERLAP) + each) for i in range(count)]


def _sheet(template: Template, tile: _Tile, number: int, count: int, k: tuple[float, float], body: tuple[float, float],
           paper: PrintScale | None) -> list[Record]:
    left, foot = 1.0, _FOOT

    def at(p: Point) -> Point:
        return left + (p[0] - tile.x[0]) * k[0], foot + (p[1] - tile.y[0]) * k[1]

    records: list[Record] = []
    for stroke in template.visible:
        for points in _drawn(stroke, tile):
            ring = len(points) > 3 and math.dist(points[0], points[-1]) < 1e-6
            path = tuple((*at(p), 0.0) for p in (points[:-1] if ring else points))
            records.append(Path("thin", (path,), closed=ring))
    for fold in template.folds:
        if tile.y[0] <= fold <= tile.y[1]:
            records.append(polyline("phantom", at((tile.x[0], fold)), at((tile.x[1], fold))))
    labels: list[tuple[str, Point, float, bool]] = []
    for place, diameter, text in template.centres:
        if _inside(place, tile):
            labels.append((text, at(place), diameter / 2 if diameter <= _WIDE else 1.0, False))
        records += _centre(place, max(2.0, diameter / 2 + 1.5), tile, at)
    if count > 1:  # over all other lines
        records += _registers(template, tile, at)
    records += _references(template, tile, at)
    records += _notes(template, tile, (number, count), body, paper)
    records += _bars(left, body, k)
    labels += _faces(template, tile, at)
    crowd = Crowd((0.0, 0.0, *body))
    crowd.add(records)
    for text, place, radius, bold in labels:
        records += crowd.put(text, _NAME if bold else _TEXT, place, radius, bold=bold, colour=(90, 90, 90))
    return records


def _centre(place: Point, reach: float, tile: _Tile, at: Callable[[Point], Point]) -> Iterator[Record]:
    """The lines through the middle of a hole, as far as they lie on the tile."""
    x, y = place
    for a, b in (((x - reach, y), (x + reach, y)), ((x, y - reach), (x, y + reach))):
        part = _clipped(a, b, tile)
        if part is not None:
            yield polyline("thin", at(part[0]), at(part[1]))


def _bars(left: float, body: tuple[float, float], k: tuple[float, float]) -> Iterator[Record]:
    """Bars that measure 100 on paper where the printer is as it was measured."""
    for record in (*check_bar_x(left, 3.5, BAR * k[0]), *check_bar_y(body[0] - 3.0, 14.0, BAR * k[1])):
        if isinstance(record, Text):
            yield Text(f"check: this bar is {BAR:g} long", record.at, record.height, record.anchor, record.turn)
        else:
            yield record


def _drawn(stroke: Stroke, tile: _Tile) -> Iterator[list[Point]]:
    """The stroke as points, as far as it lies on the tile; arcs in steps that stray less than 0.01 mm."""
    if not stroke.radius:
        points = [stroke.a, stroke.b]
    else:
        step = 2 * math.acos(max(-1.0, 1 - 0.01 / max(stroke.radius, 0.02)))
        n = max(8, math.ceil(stroke.sweep / step))
        points = [stroke.at(i / n) for i in range(n + 1)]
    run: list[Point] = []
    for a, b in pairwise(points):
        part = _clipped(a, b, tile)
        if part is None:
            if len(run) > 1:
                yield run
            run = []
            continue
        if not run or math.dist(run[-1], part[0]) > 1e-9:
            if len(run) > 1:
                yield run
            run = [part[0]]
        if math.dist(run[-1], part[1]) > 1e-6:
            run.append(part[1])
    if len(run) > 1:
        yield run


def _clipped(a: Point, b: Point, tile: _Tile) -> tuple[Point, Point] | None:
    """What of a straight line lies on the tile (Liang and Barsky)."""
    low, high = 0.0, 1.0
    for i, (start, stop) in enumerate((tile.x, tile.y)):
        d = b[i] - a[i]
        if abs(d) < 1e-12:
            if not start - 1e-9 <= a[i] <= stop + 1e-9:
                return None
            continue
        t0, t1 = sorted(((start - a[i]) / d, (stop - a[i]) / d))
        low, high = max(low, t0), min(high, t1)
    if high <= low:
        return None
    return ((a[0] + low * (b[0] - a[0]), a[1] + low * (b[1] - a[1])), (a[0] + high * (b[0] - a[0]),
                                                                      a[1] + high * (b[1] - a[1])))


def _registers(template: Template, tile: _Tile, at: Callable[[Point], Point]) -> Iterator[Record]:
    """Crosses in the middle of each overlap, the same on both sheets: lay one on the other."""
    for axis, span, size in ((0, tile.x, template.size[0]), (1, tile.y, template.size[1])):
        other = tile.y if axis == 0 else tile.x
        for middle, there in ((span[0] + _OVERLAP / 2, span[0] > 1e-6), (span[1] - _OVERLAP / 2, span[1] < size - 1e-6)):
            if not there:
                continue
            for share in (0.15, 0.85):
                along = other[0] + share * (other[1] - other[0])
                x, y = at((middle, along) if axis == 0 else (along, middle))
                yield polyline("warning", (x - _CROSS, y), (x + _CROSS, y))
                yield polyline("warning", (x, y - _CROSS), (x, y + _CROSS))


def _faces(template: Template, tile: _Tile, at: Callable[[Point], Point]) -> Iterator[tuple[str, Point, float, bool]]:
    """Names of the faces in them, and what the lines between them are: (text, place, 0, bold)."""
    for area in template.faces:
        low, high = max(area.low, tile.y[0]), min(area.high, tile.y[1])
        if high - low > 3:
            yield area.name, at((tile.x[0] + (tile.x[1] - tile.x[0]) * 0.3, (low + high) / 2)), 0.0, True
    for fold in template.folds:
        if tile.y[0] <= fold <= tile.y[1]:
            yield "fold here", at((tile.x[0] + (tile.x[1] - tile.x[0]) * 0.7, fold)), 1.2, False


def _references(template: Template, tile: _Tile, at: Callable[[Point], Point]) -> Iterator[Record]:
    """Lines over the template, at the places along the piece that its figures tell."""
    _, top = at((0.0, tile.y[1]))
    before, level = math.inf, 0
    for place, text in sorted(template.references, reverse=True):  # from the right: what is to the left goes over it
        if not tile.x[0] - 1e-6 <= place <= tile.x[1] + 1e-6:
            continue
        x, _ = at((place, 0.0))
        level = level + 1 if x + 2.2 + width_of(text, _TEXT) > before else 0
        tip = top + 4.5 + 3.6 * level
        yield polyline("dimension", (x, top + 0.5), (x, tip))
        yield Text(text, (x + 1.2, tip - 2.4), _TEXT, colour=(20, 60, 130))
        before = x


def _notes(template: Template, tile: _Tile, sheet: tuple[int, int], body: tuple[float, float],
           paper: PrintScale | None) -> Iterator[Record]:
    (wide, high), (number, count) = body, sheet
    sheets = f", sheet {number} of {count}" if count > 1 else ""
    yield Text(clipped(drawable(plain(f"{template.title}{sheets}")), wide - 2, 3.5, True), (1.0, high - 3.8), 3.5, bold=True)
    if paper:
        told = (f"Corrected: bars of {BAR:g} came out {figure(paper.bar[0])} along and {figure(paper.bar[1])} across. ")
    else:
        told = "Not corrected: no bar has been measured (workshop.toml, [paper] bar). "
    told = f"{template.note} {told}" if template.note else told
    told += (f"Print at 100 %. Both check bars must measure {BAR:g}, within {TOLERANCE:g}; else do not use this sheet."
             + (f" {_laid(tile)}" if count > 1 else ""))
    for i, line in enumerate(lines_of(told, wide - 2, _TEXT)):
        yield Text(line, (1.0, high - 8.2 - 3.6 * i), _TEXT)


def _laid(tile: _Tile) -> str:
    """How the sheets make one: "… this one is the 1st from the left …"."""
    columns, rows = tile.grid
    told = [f"number {tile.column} of {columns} from the left" if columns > 1 else "",
            f"number {tile.row} of {rows} from below" if rows > 1 else ""]
    return ("Lay the sheets upon each other so that the red crosses meet; this one is "
            f"{', '.join(text for text in told if text)}.")


def _inside(p: Point, tile: _Tile) -> bool:
    return tile.x[0] <= p[0] <= tile.x[1] and tile.y[0] <= p[1] <= tile.y[1]
