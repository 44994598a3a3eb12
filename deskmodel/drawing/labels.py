"""Lettering that runs into nothing: each label is put where it covers least, in the largest size that goes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from deskmodel.drawing.dimensions import rectangle_path
from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.records import Colour, Record, Text

__all__ = ["Avoid", "Block", "Box", "Labels", "Line", "shared"]

Box = tuple[float, float, float, float]
"""(x0, y0, x1, y1) on paper, mm."""

Avoid = tuple[Box, float]
"""A thing that a label should not cover, and how much that matters."""

Floats = NDArray[np.float64]

_STEPS = 16
_LINE = 1.65  # from base line to base line, times the height of capitals
_BELOW = 0.35  # what hangs below the base line, likewise
_AIR = 0.3
_CLOSE, _ON, _ASTRIDE = 0.25, 1.0, 2.0  # what it costs to come close to a thing, to lie on it, to lie across its edge


@dataclass(frozen=True, slots=True)
class Line:
    text: str
    height: float
    bold: bool = False


@dataclass(frozen=True)
class Block:
    """Lines over each other, each centred; ``turn`` 90: read from the right."""

    lines: tuple[Line, ...]
    turn: Literal[0, 90] = 0

    @property
    def size(self) -> tuple[float, float]:
        """(width, height) on paper, as it stands."""
        width = max(width_of(line.text, line.height, line.bold) for line in self.lines)
        last = self.lines[-1].height
        height = self.lines[0].height + sum(line.height * _LINE for line in self.lines[1:]) + last * _BELOW
        return (height, width) if self.turn else (width, height)

    def records(self, x: float, y: float, colour: Colour) -> list[Record]:
        """With its lower left corner at (x, y)."""
        width, height = self.size
        found: list[Record] = []
        down = 0.0
        for i, line in enumerate(self.lines):
            down += line.height * (_LINE if i else 1.0)
            at = (x + down, y + height / 2) if self.turn else (x + width / 2, y + height - down)
            found.append(Text(line.text, at, line.height, "middle", self.turn, line.bold, colour))
        return found


@dataclass
class Labels:
    """What has been lettered so far. ``taken``: boxes that no further label may touch."""

    taken: list[Box] = field(default_factory=list)

    def put(self, area: Box, blocks: Sequence[Block], avoid: Sequence[Avoid] = (), wanted: tuple[float, float] = (0.5, 0.5),
            colour: Colour = (0, 0, 0), ground: Colour = (255, 255, 255), *, forced: bool = False) -> list[Record] | None:
        """The first of ``blocks`` that fits into ``area`` clear of ``taken`` and of ``avoid``; else the one that covers
        least of ``avoid``. ``wanted``: where in the area, as shares. None where none fits; ``forced``: then the last one,
        in the middle of the area, over whatever is there. ``ground``: the colour laid below the lettering."""
        best: tuple[float, Block, float, float] | None = None
        for block in blocks:
            found = self._place(area, block, avoid, wanted)
            if found is not None and (best is None or found[0] < best[0] - 1e-9):
                best = (found[0], block, found[1], found[2])
            if best is not None and best[0] == 0:
                break
        if best is None:
            if not forced:
                return None
            width, height = blocks[-1].size
            best = (0.0, blocks[-1], (area[0] + area[2] - width) / 2, (area[1] + area[3] - height) / 2)
        _, block, x, y = best
        width, height = block.size
        self.taken.append((x, y, x + width, y + height))
        return [rectangle_path("fill", x, y, x + width, y + height, ground),
                *block.records(x, y, colour)]

    def _place(self, area: Box, block: Block, avoid: Sequence[Avoid],
               wanted: tuple[float, float]) -> tuple[float, float, float] | None:
        """(what it covers of ``avoid``, x, y) of the best place; None where it has none."""
        width, height = block.size
        free_x, free_y = area[2] - area[0] - width - 2 * _AIR, area[3] - area[1] - height - 2 * _AIR
        if free_x < 0 or free_y < 0:
            return None
        steps = np.arange(_STEPS + 1)
        i, j = (grid.ravel() for grid in np.meshgrid(steps, steps, indexing="ij"))
        x, y = area[0] + _AIR + free_x * i / _STEPS, area[1] + _AIR + free_y * j / _STEPS
        boxes = np.stack([x - _AIR, y - _AIR, x + width + _AIR, y + height + _AIR])
        whole = (float(boxes[0].min()), float(boxes[1].min()), float(boxes[2].max()), float(boxes[3].max()))
        free = np.ones(len(x), dtype=bool)
        for other in self.taken:
            if shared(whole, other) > 0:
                free &= _shared(boxes, other) == 0
        if not free.any():
            return None
        covered = np.zeros(len(x))
        for other, weight in avoid:
            if shared(whole, other) > 0:
                covered += weight * _costs(boxes, other)
        off = (i / _STEPS - wanted[0]) ** 2 + (j / _STEPS - wanted[1]) ** 2
        best = np.flatnonzero(free)[np.lexsort((off[free], covered[free]))[0]]
        return float(covered[best]), float(x[best]), float(y[best])


def _costs(boxes: Floats, other: Box) -> Floats:
    """For each of ``boxes`` (4, n), which have their air about them, what it costs to lie there."""
    covered = _shared(boxes, other)
    bare = np.stack([boxes[0] + _AIR, boxes[1] + _AIR, boxes[2] - _AIR, boxes[3] - _AIR])
    whole = (boxes[2] - boxes[0]) * (boxes[3] - boxes[1])
    lying = np.where(covered > 0.999 * whole, _ON, _ASTRIDE + covered / whole)
    cost: Floats = np.where(covered == 0, 0.0, np.where(_shared(bare, other) == 0, _CLOSE, lying))
    return cost


def _shared(boxes: Floats, other: Box) -> Floats:
    """mm² that each of ``boxes`` (4, n) shares with another."""
    wide = np.minimum(boxes[2], other[2]) - np.maximum(boxes[0], other[0])
    high = np.minimum(boxes[3], other[3]) - np.maximum(boxes[1], other[1])
    area: Floats = np.where((wide > 0) & (high > 0), wide * high, 0.0)
    return area


def shared(a: Box, b: Box) -> float:
    """mm² that two boxes share."""
    wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return wide * high if wide > 0 and high > 0 else 0.0
