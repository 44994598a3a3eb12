"""Text, tables and figures set one below the other over as many pages as they take. Nothing is cut off: texts wrap, words
that are too long break, tables go on under their heading again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

from deskmodel.drawing.dimensions import polyline, rectangle_path
from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.paper import Head, Paper, body_of, framed
from deskmodel.drawing.pdf import drawable
from deskmodel.drawing.records import LAYERS, Colour, Drawing, Record, Text, moved
from deskmodel.errors import BuildFault

__all__ = ["Block", "Column", "Figure", "Heading", "NewPage", "Paragraph", "Space", "Table", "bodies", "document",
           "lines_of"]

TEXT = 2.5
"""Height of capitals in mm, for reading at arm's length."""

_LEADING = 1.75  # from line to line, in heights of capitals
_PAD = 1.4  # round the text of a cell
_PIECE = 12  # lines of a row that stay on one page
_GROUND: Colour = (232, 232, 232)


@dataclass(frozen=True, slots=True)
class Heading:
    text: str
    height: float = 3.5


@dataclass(frozen=True, slots=True)
class Paragraph:
    """``mark``: a number or a dash that hangs to the left of the text."""

    text: str
    height: float = TEXT
    bold: bool = False
    mark: str = ""
    warning: bool = False


@dataclass(frozen=True, slots=True)
class Column:
    """``share`` of the width, beside the others' shares."""

    title: str
    share: float = 1.0
    align: Literal["start", "end"] = "start"


@dataclass(frozen=True, slots=True)
class Table:
    """``bold``: numbers of the rows in bold type."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    height: float = 2.2
    bold: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Figure:
    """Drawn records, (0, 0) the lower left corner of ``size`` (width, height) mm; stays on one page."""

    records: tuple[Record, ...] = field(repr=False)
    size: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Space:
    height: float = 3.0


@dataclass(frozen=True, slots=True)
class NewPage:
    pass


Block = Heading | Paragraph | Table | Figure | Space | NewPage


@dataclass(frozen=True, slots=True)
class _Slab:
    """What is not divided. Records hang below y = 0. ``keep``: on the page of the next one. ``head``: of the table that it
    belongs to, to be repeated on a new page; ``breaks``: a new page."""

    height: float
    records: tuple[Record, ...] = ()
    keep: bool = False
    head: _Slab | None = None
    breaks: bool = False


def document(blocks: Iterable[Block], paper: Paper, head: Head) -> tuple[Drawing, ...]:
    """The pages, one at least. BuildFault where a figure is larger than a page."""
    return framed(bodies(blocks, paper) or [[]], paper, head)


def bodies(blocks: Iterable[Block], paper: Paper) -> list[list[Record]]:
    """What ``framed`` gets, for pages that others are put to. Empty where nothing is to be seen."""
    x0, y0, x1, y1 = body_of(paper)
    wide, high = x1 - x0, y1 - y0
    slabs = [slab for block in blocks for slab in _slabs(block, wide, high)]
    return [_hung(page, high) for page in _paged(slabs, high)]


def lines_of(text: str, width: float, height: float, bold: bool = False) -> list[str]:
    """As many lines as it takes, none wider than ``width`` mm; a word that is wider is broken. At least one line."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if width_of(longer, height, bold) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while width_of(line, height, bold) > width and len(line) > 1:
            n = next((n for n in range(len(line) - 1, 1, -1) if width_of(line[:n], height, bold) <= width), 1)
            lines.append(line[:n])
            line = line[n:]
    return [*lines, line] if line or not lines else lines


def _slabs(block: Block, wide: float, high: float) -> Iterator[_Slab]:
    if isinstance(block, NewPage):
        yield _Slab(0.0, breaks=True)
    elif isinstance(block, Space):
        yield _Slab(block.height)
    elif isinstance(block, Heading):
        yield _Slab(block.height * 0.6, keep=True)
        yield from _lines(block.text, 0.0, wide, block.height, True, (0, 0, 0), "", keep=True)
        yield _Slab(block.height * 0.3, keep=True)
    elif isinstance(block, Paragraph):
        hang = width_of(drawable(block.mark), block.height, True) + 2 if block.mark else 0.0
        colour = LAYERS["warning"].colour if block.warning else (0, 0, 0)
        yield from _lines(block.text, hang, wide, block.height, block.bold, colour, block.mark, keep=False)
        yield _Slab(block.height * 0.4)
    elif isinstance(block, Figure):
        if block.size[0] > wide + 1e-6 or block.size[1] > high + 1e-6:
            raise BuildFault(f"a figure {block.size[0]:g} × {block.size[1]:g} does not go onto a page with room for "
                             f"{wide:g} × {high:g}")
        yield _Slab(block.size[1], tuple(moved(record, (0.0, -block.size[1])) for record in block.records))
        yield _Slab(2.0)
    else:
        yield from _table(block, wide)
        yield _Slab(3.0)


def _lines(text: str, hang: float, wide: float, height: float, bold: bool, colour: Colour, mark: str, *,
           keep: bool) -> Iterator[_Slab]:
    lines = lines_of(drawable(text), wide - hang, height, bold)
    for i, line in enumerate(lines):
        records = [Text(line, (hang, -height * 1.25), height, bold=bold, colour=colour)]
        if mark and i == 0:
            records.append(Text(drawable(mark), (0.0, -height * 1.25), height, bold=True, colour=colour))
        together = i < len(lines) - 1 and len(lines) <= _PIECE
        yield _Slab(height * _LEADING, tuple(records), keep=keep or together)


def _table(table: Table, wide: float) -> Iterator[_Slab]:
    total = sum(column.share for column in table.columns)
    widths = [wide * column.share / total for column in table.columns]
    head, = _row(table, [column.title for column in table.columns], widths, bold=True, ground=_GROUND, piece=10**6)
    head = _Slab(head.height, head.records, keep=True)
    yield head
    for i, row in enumerate(table.rows):
        for slab in _row(table, row, widths, bold=i in table.bold, ground=None, piece=_PIECE):
            yield _Slab(slab.height, slab.records, head=head)


def _row(table: Table, row: Sequence[str], widths: Sequence[float], *, bold: bool, ground: Colour | None,
         piece: int) -> Iterator[_Slab]:
    """The row in pieces of at most ``piece`` lines, ruled off below the last."""
    height, step = table.height, table.height * 1.6
    cells = [lines_of(drawable(text), width - 2 * _PAD, height, bold) for text, width in zip(row, widths, strict=True)]
    count = max(len(cell) for cell in cells)
    for start in range(0, count, piece):
        some = min(count - start, piece)
        tall = some * step + 2 * _PAD - (step - height) / 2
        records: list[Record] = [rectangle_path("fill", 0.0, -tall, sum(widths), 0.0, ground)] if ground else []
        x = 0.0
        for cell, width, column in zip(cells, widths, table.columns, strict=True):
            at = x + _PAD if column.align == "start" else x + width - _PAD
            records += [Text(line, (at, -_PAD - height - i * step), height, column.align, bold=bold)
                        for i, line in enumerate(cell[start:start + some]) if line]
            x += width
        if start + some == count:
            records.append(polyline("rule", (0.0, -tall), (sum(widths), -tall)))
        yield _Slab(tall, tuple(records))


def _paged(slabs: Sequence[_Slab], high: float) -> Iterator[list[_Slab]]:
    """Slabs by pages: what is to stay together goes on to the next page together, unless a whole page could not hold it."""
    page: list[_Slab] = []
    used = 0.0
    i = 0
    while i < len(slabs):
        end = i
        while slabs[end].keep and end + 1 < len(slabs) and not slabs[end + 1].breaks:
            end += 1
        chain = slabs[i:end + 1]
        need = sum(slab.height for slab in chain)
        if need > high:
            chain, need = chain[:1], chain[0].height
        if chain[0].breaks or (page and used + need > high + 1e-9):
            if page:
                yield page
            head = chain[0].head
            page, used = ([head], head.height) if head else ([], 0.0)
        if page or any(slab.records for slab in chain):  # no empty space at the top of a page
            page += chain
            used += need
        i += len(chain)
    if any(slab.records for slab in page):
        yield page


def _hung(page: Sequence[_Slab], high: float) -> list[Record]:
    records: list[Record] = []
    y = high
    for slab in page:
        records += [moved(record, (0.0, y)) for record in slab.records]
        y -= slab.height
    return records
