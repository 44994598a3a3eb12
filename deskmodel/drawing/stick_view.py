"""Story sticks on paper, 1 : 1: a sheet with the figures, then strips to be cut out and joined end to end.

    labels         3: 144, J2          turned, spread where they would touch
                      | rail A2
              +-----|---------------+
    ruler     |100  |               |  every 10, figures every 50, from the datum end
    marks     |     | X             |  the line, and an X where the part lies that is joined there
              +-----|---------------+  the edge that is laid along the member
                 join A
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from deskmodel.drawing.check_bars import bar_text, check_bar_x, check_bar_y
from deskmodel.drawing.dimensions import figure, polyline, rectangle_path, spread
from deskmodel.drawing.flow import Block, Column, Heading, Paragraph, Space, Table, bodies
from deskmodel.drawing.lettering import clipped, plain, width_of
from deskmodel.drawing.paper import Head, Paper, body_of, framed
from deskmodel.drawing.pdf import drawable
from deskmodel.drawing.records import Drawing, Path, Record, Text, moved
from deskmodel.plans import StickMark, StorySticks, Tile, tiles_of

__all__ = ["stick_pages", "stick_plate"]

BAND, RULE = 15.0, 5.0  # height of the stick, and of the ruler along its upper edge
_LABEL = 28.0  # length of turned labels
_LEAD = 4.0
_BELOW = 6.0  # below the stick: joins
_STRIP = BAND + _LEAD + _LABEL + _BELOW
_TEXT = 2.2
_SIDE = 14.0  # at the right of each sheet, for the upright check bar
_BAR_X, _BAR_Y = 200.0, 100.0
_GROUND = (226, 220, 208)
_NOTCH = 4.0
_STEPS = (
    "Mark face side, face edge and datum end on the wood before anything else.",
    "Cut the strips out along the lower edge, lay join on join (A on A, line upon line), glue them to a straight batten. "
    "Check the whole length against the figures with a tape.",
    "Lay the stick along the face that it names, its zero flush with the datum end. Draw every mark across the face with a "
    "square and a knife or a sharp pencil; the X says on which side of the line the part lies.",
    "Where a jig is named, lay its sight edge to the line, its lip against the face or edge that its page names, clamp, "
    "drill. Where none is, the line is the axis of the hole: set off its distance from the face edge or face side, punch, "
    "drill.",
)


def stick_pages(sticks: StorySticks, paper: Paper, desk: str, made_from: str, unreleased: bool) -> tuple[Drawing, ...]:
    """Figures first, then the strips of each face."""
    x0, y0, x1, y1 = body_of(paper)
    wide, high = x1 - x0, y1 - y0
    head = Head(desk, f"story stick, {_who(sticks)}", made_from, unreleased, "1 : 1")
    strips = [(place, tile, tiles) for place in sticks.places for tiles in [_used(sticks, place, wide - _SIDE)]
              for tile in tiles]
    each = int((high - 10.0) // _STRIP)
    sheets = []
    for first in range(0, len(strips), each):
        records = [*check_bar_x(0.0, 4.0, min(_BAR_X, wide - _SIDE)), *check_bar_y(wide - 3.0, 20.0, _BAR_Y)]
        for i, (place, tile, tiles) in enumerate(strips[first:first + each]):
            records += [moved(record, (-tile.start, high - (i + 1) * _STRIP + _BELOW))
                        for record in _strip(sticks, place, tile, tiles)]
        sheets.append(records)
    bar = min(_BAR_X, wide - _SIDE)
    return framed([*bodies(_figures(sticks, bar), paper), *sheets], paper, head)


def stick_plate(sticks: StorySticks, place: str, remark: str) -> Drawing:
    """The stick of one face in one piece, to be cut by a laser: its outline with a notch for each mark; lettering on the
    layer "dimension", to be engraved or left away."""
    marks = sorted(sticks.on(place), key=lambda mark: mark.at)
    wide, margin = sticks.length, 3.0
    labels = [f"{figure(mark.at)} {mark.jig}".strip() for mark in marks]
    high = _NOTCH + 4.0 + max(width_of(label, _TEXT) for label in labels)
    edge: list[tuple[float, float, float]] = []
    for mark in marks:
        if 1.0 < mark.at < wide - 1.0 and (not edge or mark.at - edge[-1][0] > 1.0):
            edge += [(mark.at - 0.7, 0.0, 0.0), (mark.at, _NOTCH, 0.0), (mark.at + 0.7, 0.0, 0.0)]
    records: list[Record] = [Path("cut", (((0.0, 0.0, 0.0), *edge, (wide, 0.0, 0.0), (wide, high, 0.0), (0.0, high, 0.0)),))]
    places = _spread([mark.at for mark in marks], _TEXT + 1.0, _TEXT, wide - _TEXT)
    for mark, label, x in zip(marks, labels, places, strict=True):
        records.append(polyline("dimension", (mark.at, _NOTCH), (mark.at, _NOTCH + 0.5), (x, _NOTCH + 2.0)))
        records.append(Text(label, (x + _TEXT / 2, _NOTCH + 2.6), _TEXT, turn=90))
    return Drawing((wide + 2 * margin, high + 2 * margin), plain(f"story stick, {sticks.members[0]}, {place}"), remark,
                   tuple(moved(record, (margin, margin)) for record in records))


def _who(sticks: StorySticks) -> str:
    more = len(sticks.members) - 1
    return f"{sticks.members[0]} and {more} more" if more else sticks.members[0]


def _used(sticks: StorySticks, place: str, room: float) -> tuple[Tile, ...]:
    """The tiles up to the last mark: what comes after tells nothing."""
    tiles = tiles_of(sticks.length, room)
    last = max(i for i, tile in enumerate(tiles) if any(tile.start <= mark.at <= tile.stop for mark in sticks.on(place)))
    kept = tiles[:last + 1]
    return (*kept[:-1], replace(kept[-1], joins=kept[-1].joins[:1 if last else 0]))


def _figures(sticks: StorySticks, bar: float) -> Iterator[Block]:
    one = len(sticks.members) == 1
    who = sticks.members[0] if one else f"{len(sticks.members)} members that are alike"
    yield Heading(f"Story stick for {who}")
    yield Paragraph(f"{sticks.stock}. All places are measured from the datum end, never from one mark to the next.")
    if one:
        yield Paragraph(f"In the desk: {sticks.faces[0]}.")
    else:
        yield Table((Column("member", 2), Column("in the desk", 3)), tuple(zip(sticks.members, sticks.faces, strict=True)))
    numbers = _numbers(sticks)
    shared = all(len(set(mark.names)) == 1 for mark in sticks.marks)
    names = [] if shared else [Column(plain(member), 2) for member in sticks.members]
    columns = (Column("mark", 0.6), Column("face", 1.3), Column("from the datum end (mm)", 1.2, "end"),
               Column("the part lies towards the", 1.4), Column("jig", 0.6), Column("holes", 1.8),
               *(names or [Column("what is joined there", 2.5)]))
    rows = tuple((str(numbers[mark]), mark.place, figure(mark.at), mark.towards or "(axis of the hole)", mark.jig or "none",
                  mark.holes, *(mark.names[:1] if shared else mark.names)) for mark in sticks.marks)
    if len(names) > 6:  # too many columns to be read: the names in a row of their own below
        columns = (*columns[:6], Column("what is joined there", 4.0))
        told = ("; ".join(f"{member}: {name}" for member, name in zip(sticks.members, mark.names, strict=True))
                for mark in sticks.marks)
        rows = tuple((*row[:6], each) for row, each in zip(rows, told, strict=True))
    yield Table(columns, rows)
    for i, step in enumerate(_STEPS, 1):
        yield Paragraph(step, mark=str(i))
    yield Paragraph(bar_text(bar, _BAR_Y))
    yield Space()


def _numbers(sticks: StorySticks) -> dict[StickMark, int]:
    return {mark: i for i, mark in enumerate(sticks.marks, 1)}


def _strip(sticks: StorySticks, place: str, tile: Tile, tiles: Sequence[Tile]) -> Iterator[Record]:
    """x: mm from the datum end; y = 0: the edge laid along the member."""
    low, high = max(tile.start, 0.0), min(tile.stop, sticks.length)
    marks = [mark for mark in sorted(sticks.on(place), key=lambda mark: mark.at) if tile.start <= mark.at <= tile.stop]
    for mark in sticks.on(place):
        a, b = (min(max(x, low), high) for x in mark.span)
        if mark.towards and mark.breadth is None and low <= mark.at <= high:
            yield from _cross(mark.at + (6.0 if mark.towards == "far end" else -6.0), (BAND - RULE) / 2)
        if b - a > 0.5:
            yield rectangle_path("fill", a, 0.0, b, BAND - RULE, _GROUND)
            if b - a > 6.0:
                yield from _cross((a + b) / 2, (BAND - RULE) / 2)
    yield rectangle_path("thin", tile.start, 0.0, tile.stop, BAND)
    yield from _ruler(low, high, [mark.at for mark in marks])
    for x, text in ((0.0, "datum end"), (sticks.length, "far end")):
        if tile.start < x < tile.stop:
            yield polyline("cut", (x, -2.0), (x, BAND + 2.0))
            inward = 1 if x == 0 else -1
            yield Text(text, (x + inward * 1.5, -4.0), _TEXT, "start" if inward > 0 else "end", bold=True)
    for join in tile.joins:
        yield polyline("centre", (join, -2.0), (join, BAND))
        letter = _letter(next(i for i, each in enumerate(tiles[:-1]) if join in each.joins and join in tiles[i + 1].joins))
        right = join > (tile.start + tile.stop) / 2
        yield Text(f"join {letter}, {figure(join)}", (join + (1.5 if not right else -1.5), -4.0), _TEXT,
                   "end" if right else "start")
    yield from _name(f"{place}, {tiles.index(tile) + 1} of {len(tiles)}, {_who(sticks)}", low, high,
                     [*(mark.span for mark in sticks.on(place)), *((join, join) for join in tile.joins)])
    yield from _labels(sticks, marks, tile)


def _name(text: str, low: float, high: float, taken: Sequence[tuple[float, float]]) -> Iterator[Record]:
    """What strip this is, in the widest stretch of it that nothing is drawn in."""
    ends = [low, *(max(low, b) for a, b in sorted(taken) if a < high)]
    widest = max(((start, min([high, *(a for a, b in taken if b > start + 1e-6 and a >= start - 1e-6)])) for start in ends),
                 key=lambda gap: gap[1] - gap[0])
    shown = clipped(drawable(plain(text)), widest[1] - widest[0] - 4.0, _TEXT, True)
    yield Text(shown, (sum(widest) / 2, (BAND - RULE - _TEXT) / 2), _TEXT, "middle", bold=True)


def _labels(sticks: StorySticks, marks: Sequence[StickMark], tile: Tile) -> Iterator[Record]:
    numbers = _numbers(sticks)
    step = 2 * _TEXT + 3.2
    places = _spread([mark.at for mark in marks], step, tile.start + step, tile.stop)
    for mark, x in zip(marks, places, strict=True):
        yield polyline("visible", (mark.at, 0.0), (mark.at, BAND))
        yield polyline("thin", (mark.at, BAND), (mark.at, BAND + 1.0), (x, BAND + _LEAD - 0.5), (x, BAND + _LEAD + _LABEL))
        told = f"{mark.jig} {' / '.join(dict.fromkeys(mark.names))}"
        for text, at, bold in ((f"{numbers[mark]}: {figure(mark.at)}", x - _TEXT - 2.4, True), (told, x - 1.1, False)):
            yield Text(clipped(drawable(plain(text)), _LABEL, _TEXT, bold), (at, BAND + _LEAD), _TEXT, turn=90, bold=bold)


def _spread(places: Sequence[float], apart: float, low: float, high: float) -> list[float]:
    """``spread`` within the paper from ``low`` to ``high``."""
    last = len(places) - 1
    moved_in = [max(place, low + i * apart) for i, place in enumerate(spread(places, apart))]
    return [min(place, high - (last - i) * apart) for i, place in enumerate(moved_in)]


def _cross(x: float, y: float) -> Iterator[Record]:
    for sign in (1, -1):
        yield polyline("visible", (x - 2.5, y - 2.5 * sign), (x + 2.5, y + 2.5 * sign))


def _ruler(low: float, high: float, keep_off: Sequence[float]) -> Iterator[Record]:
    """Ticks every 10 mm; figures every 50 where no line runs through them."""
    for i in range(math.ceil(low / 10 - 1e-9), math.floor(high / 10 + 1e-9) + 1):
        x = 10.0 * i
        yield polyline("rule", (x, BAND), (x, BAND - (2.6 if i % 5 == 0 else 1.5)))
        half = width_of(str(10 * i), 2.0) / 2 + 0.6
        if i % 5 == 0 and low + half < x < high - half and all(abs(x - mark) > half for mark in keep_off):
            yield Text(str(10 * i), (x, BAND - RULE), 2.0, "middle", colour=(90, 90, 90))


def _letter(i: int) -> str:
    """A to Z, then AA."""
    return (_letter(i // 26 - 1) if i >= 26 else "") + chr(ord("A") + i % 26)
