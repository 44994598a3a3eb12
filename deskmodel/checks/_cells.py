"""Things by the cells of space that they pass: of a desk's millions of pairs, a screw has a handful of neighbours."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import product
from typing import Generic, TypeVar

from deskmodel.frames import Vec

__all__ = ["Cells"]

T = TypeVar("T")

_Cell = tuple[int, int, int]


class Cells(Generic[T]):
    """``add`` and ``near`` take two opposite corners of a box, desk frame, mm; ``near`` answers with all things whose cells
    the box touches, each once, in the order in which they were added."""

    def __init__(self, size: float = 50.0) -> None:
        self._size = size
        self._things: list[T] = []
        self._cells: dict[_Cell, list[int]] = {}

    def add(self, low: Vec, high: Vec, thing: T) -> None:
        for cell in self._touched(low, high):
            self._cells.setdefault(cell, []).append(len(self._things))
        self._things.append(thing)

    def near(self, low: Vec, high: Vec) -> list[T]:
        return [self._things[i] for i in sorted({i for cell in self._touched(low, high) for i in self._cells.get(cell, ())})]

    def _touched(self, low: Vec, high: Vec) -> Iterator[_Cell]:
        spans = [range(math.floor((min(a, b) - 1.0) / self._size), math.floor((max(a, b) + 1.0) / self._size) + 1)
                 for a, b in zip(low, high, strict=True)]
        return ((i, j, k) for i, j, k in product(*spans))
