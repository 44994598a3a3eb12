"""A layout made board by board, each filled as well as can be with what is left: patterns that are known to go together.

Column generation makes patterns for the relaxation, among which no good whole-numbered choice need be; these make one."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from deskmodel.plans._patterns import best_pattern

if TYPE_CHECKING:
    from deskmodel.plans._master import Columns

__all__ = ["add_greedy"]


def add_greedy(columns: Columns) -> None:
    """Adds the patterns of that layout to the columns."""
    left = [each.count for each in columns.wanted]
    stock = [raw.count for raw in columns.raws]
    while any(left):
        best = None
        worth = {key: _fill(columns, key, left)[1] for key in range(len(columns.keys))}
        for number, (raw, rips) in enumerate(columns.board_columns):
            value = sum(worth[key] * count for key, count in rips)
            rank = value / max(columns.raws[raw].cost, 1e-9)
            if stock[raw] != 0 and value > 0 and (best is None or rank > best[0]):
                best = rank, number
        if best is None:
            return
        raw, rips = columns.board_columns[best[1]]
        stock[raw] = None if (there := stock[raw]) is None else there - 1
        for key, count in rips:
            for _ in range(count):
                pattern, value = _fill(columns, key, left)
                if value > 0:
                    columns.add(key, pattern)
                    for i, taken in zip(columns.keys[key].allowed, pattern, strict=True):
                        left[i] -= taken


def _fill(columns: Columns, key: int, left: list[int]) -> tuple[tuple[int, ...], float]:
    """The pattern that covers most wood of what is left."""
    allowed = columns.keys[key].allowed
    strip = replace(columns.strips[key], most=tuple(left[i] for i in allowed))
    return best_pattern(strip, [columns.wanted[i].length * (columns.wanted[i].width or 1.0) for i in allowed])
