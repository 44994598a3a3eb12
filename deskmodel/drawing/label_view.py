"""Labels to be printed, cut out and stuck on: a part each, with its marks drawn as they stand on the wood."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from deskmodel.drawing.dimensions import rectangle_path
from deskmodel.drawing.flow import lines_of
from deskmodel.drawing.lettering import clipped, plain, width_of
from deskmodel.drawing.paper import Head, Paper, body_of, framed
from deskmodel.drawing.pdf import drawable
from deskmodel.drawing.piece_view import face_marks
from deskmodel.drawing.records import Drawing, Record, Text, moved

__all__ = ["Label", "label_pages"]

_PAPER: Paper = "A4"
_WIDE, _HIGH, _GAP = 93.0, 34.0, 2.0
_PAD = 2.5
_MARK = (24.0, 12.0)  # room for the little drawing of a member
_WOOD = (240, 226, 196)


@dataclass(frozen=True, slots=True)
class Label:
    """``number`` of the piece, ``name`` of the part, ``of``: "2 of 4"; ``lines``: size and the like; ``member``: with
    marks."""

    number: str
    name: str
    of: str
    lines: tuple[str, ...]
    member: bool


def label_pages(labels: Sequence[Label], desk: str, made_from: str, unreleased: bool) -> tuple[Drawing, ...]:
    """Two columns of labels, as many pages as it takes."""
    x0, y0, x1, y1 = body_of(_PAPER)
    columns, rows = int((x1 - x0 + _GAP) // (_WIDE + _GAP)), int((y1 - y0 + _GAP) // (_HIGH + _GAP))
    pages: list[list[Record]] = []
    for i, label in enumerate(labels):
        place = i % (columns * rows)
        if place == 0:
            pages.append([])
        row, column = divmod(place, columns)
        corner = column * (_WIDE + _GAP), (y1 - y0) - _HIGH - row * (_HIGH + _GAP)
        pages[-1] += [moved(record, corner) for record in _label(label, desk, made_from)]
    return framed(pages or [[]], _PAPER, Head(desk, "labels", made_from, unreleased, "1 : 1"))


def _label(label: Label, desk: str, made_from: str) -> Iterator[Record]:
    yield rectangle_path("rule", 0.0, 0.0, _WIDE, _HIGH)
    right = _WIDE - _PAD - (_MARK[0] if label.member else 0.0)
    number = width_of(label.number, 5.0, True)
    top = _HIGH - _PAD - 5.0
    yield Text(label.number, (_PAD, top), 5.0, bold=True)
    yield Text(label.of, (_PAD + number + 3.0, top), 2.5)
    name = lines_of(drawable(plain(label.name)), right - _PAD - 1.0, 3.5, True)
    shown = [name[0], " ".join(name[1:])] if len(name) > 1 else name  # the second line is clipped where it is too long
    y = top
    for text in shown:
        y -= 5.2
        yield Text(clipped(text, right - _PAD, 3.5, True), (_PAD, y), 3.5, bold=True)
    y -= 1.4
    for text in label.lines:
        for line in lines_of(drawable(text), _WIDE - 2 * _PAD, 2.2):
            y -= 3.7
            if y > 4.5:
                yield Text(line, (_PAD, y), 2.2)
    yield Text(clipped(drawable(plain(f"{desk}, {made_from}")), _WIDE - 2 * _PAD, 2.0), (_PAD, 1.8), 2.0)
    if label.member:
        yield from _marks(_WIDE - _PAD - _MARK[0] + 3.0, _HIGH - _PAD - _MARK[1] - 1.0)


def _marks(x: float, y: float) -> Iterator[Record]:
    """A stretch of a member, face edge above face side, its datum end to the left."""
    wide, side, edge = _MARK[0] - 4.0, 7.5, 4.5
    yield rectangle_path("thin", x, y, x + wide, y + side, _WOOD)
    yield rectangle_path("thin", x, y + side, x + wide, y + side + edge, _WOOD)
    yield rectangle_path("fill", x - 1.2, y, x, y + side + edge, (0, 0, 0))
    triangle, *strokes = face_marks(0.0, side)
    yield moved(triangle, (x + wide / 2, y))
    for stroke in strokes:
        yield moved(stroke, (x + wide / 2, y + side))
