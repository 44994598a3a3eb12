"""Tables and details of a sheet, set into the room that its views leave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from deskmodel.drawing.dimensions import polyline, rectangle_path
from deskmodel.drawing.labels import Box
from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.pdf import drawable
from deskmodel.drawing.records import Record, Text, moved

__all__ = ["Detail", "Grid", "Item", "shelved"]

HEIGHT, STEP, PAD = 2.2, 4.0, 1.2
_GAP = 5.0
_GROUND = (232, 232, 232)
_LEAST = 3  # rows of a table that are worth a column of their own


@dataclass(frozen=True, slots=True)
class Detail:
    """``records`` from (0, 0) to ``size``."""

    size: tuple[float, float]
    records: tuple[Record, ...] = field(repr=False)


@dataclass(frozen=True)
class Grid:
    """A table with a title; it may be parted between rows, each part gets the head again. Columns as wide as their widest
    cell; numbers stand at the right of theirs."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: frozenset[int] = frozenset()

    @cached_property
    def widths(self) -> list[float]:
        return [max(width_of(drawable(row[i]), HEIGHT, bold) for row, bold in
                    ((self.head, True), *((row, False) for row in self.rows))) + 2 * PAD for i in range(len(self.head))]

    @property
    def width(self) -> float:
        return max(sum(self.widths), width_of(self.title, HEIGHT, True))

    def fitting(self, height: float) -> int:
        """How many of its rows go into that height."""
        return max(0, int((height - 2 * STEP) // STEP))

    def first(self, count: int) -> tuple[Detail, Grid | None]:
        rows, rest = self.rows[:count], self.rows[count:]
        high = STEP * (len(rows) + 2)
        widths = self.widths
        records: list[Record] = [
            Text(drawable(self.title), (0.0, high - STEP + 1.2), HEIGHT, bold=True),
            rectangle_path("fill", 0.0, high - 2 * STEP, sum(widths), high - STEP, _GROUND)]
        for i, (row, bold) in enumerate(((self.head, True), *((row, False) for row in rows))):
            y = high - STEP * (i + 2)
            x = 0.0
            for j, (cell, width) in enumerate(zip(row, widths, strict=True)):
                at = (x + width - PAD, y + 1.0) if j in self.right else (x + PAD, y + 1.0)
                if cell:
                    records.append(Text(drawable(cell), at, HEIGHT, "end" if j in self.right else "start", bold=bold))
                x += width
            records.append(polyline("rule", (0.0, y), (sum(widths), y)))
        return Detail((self.width, high), tuple(records)), Grid(self.title, self.head, rest, self.right) if rest else None


Item = Detail | Grid


def shelved(items: Sequence[Item], area: Box, keep_out: Box, above: Box | None = None) -> tuple[list[Record], list[Item]]:
    """(what was set into the area, what found no room): in columns from the left, clear of ``keep_out``, which lies in the
    lower right corner, and of ``above``, in the upper left one. Grids are parted where they have to be."""
    records: list[Record] = []
    left: list[Item] = []
    def ceiling(at: float) -> float:
        return above[1] - _GAP if above and at < above[2] + _GAP else area[3]

    def floor(at: float, width: float) -> float:
        return keep_out[3] + _GAP if at + width > keep_out[0] - 2 else area[1]

    x, y, wide = area[0], ceiling(area[0]), 0.0
    behind: list[tuple[float, float, float]] = []  # (x, y, width) of what is left below in columns that are done with
    for index, given in enumerate(items):
        item: Item | None = given
        while item is not None:
            width = item.size[0] if isinstance(item, Detail) else item.width
            beside = x + wide + _GAP if wide else x
            past = max(beside, above[2] + 2 * _GAP) if above else beside
            places = [(x, y), (beside, ceiling(beside)), (past, ceiling(past))]
            places = [(at, top) for at, top in places if at + width <= area[2] + 1e-6]
            spare = [(at, top) for at, top, broad in behind if width <= broad + 1e-6]
            placed = _placed(item, [(at, top, top - floor(at, width)) for at, top in (*places, *spare)])
            if placed is None:
                left += [item, *items[index + 1:]]
                return records, left
            at, top, piece, rest = placed
            records += [moved(record, (at, top - piece.size[1])) for record in piece.records]
            after = top - piece.size[1] - _GAP
            if at < x:
                behind = [(a, after if a == at else b, c) for a, b, c in behind]
            else:
                if at > x:
                    behind.append((x, y, at - x - _GAP))
                    x, wide = at, 0.0
                y, wide = after, max(wide, piece.size[0])
            item = rest
    return records, left


def _placed(item: Item, places: Sequence[tuple[float, float, float]]) -> tuple[float, float, Detail, Grid | None] | None:
    """(x, y, what goes there, what is left of it): the first of the places (x, y, room below) that holds all of it, else the
    first that holds a few rows."""
    parted = None
    for x, y, room in places:
        if isinstance(item, Detail):
            if item.size[1] <= room + 1e-6:
                return x, y, item, None
            continue
        count = item.fitting(room)
        if count >= len(item.rows):
            return x, y, *item.first(count)
        if count >= _LEAST and parted is None:
            parted = (x, y, *item.first(count))
    return parted
