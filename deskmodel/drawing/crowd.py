"""Which places of a sheet are taken: lines that lettering should keep off, and lettering that it must keep off.

A grid of half millimetres; what is asked for is a box of lettering near a point.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np

from deskmodel.drawing.dimensions import polyline
from deskmodel.drawing.labels import Box
from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.records import Colour, Outline, Path, Point, Record, Text
from deskmodel.profiles import Profile

__all__ = ["Crowd", "text_box"]

_CELL = 0.5
_AIR = 0.5  # mm round lettering
_RINGS = (0.0, 1.0, 2.0, 3.5, 5.5, 8.0, 11.0, 15.0, 20.0, 26.0)
_FAR = (0.0, 6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 25.0, 31.0, 38.0, 46.0, 56.0, 68.0)
_BALLOON = 3.6  # mm, radius
_INK: Colour = (20, 60, 130)
_LED = 3.0  # mm from its thing on, a label has a leader


def text_box(text: Text) -> Box:
    """The box about a text, with what hangs below its base line."""
    wide = width_of(text.text, text.height, text.bold)
    start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[text.anchor]
    (x, y), tall, drop = text.at, text.height, text.height * 0.3
    if text.turn:
        return x - tall, y + start, x + drop, y + start + wide
    return x + start, y - drop, x + start + wide, y + tall


class Crowd:
    def __init__(self, area: Box) -> None:
        """``area``: the part of the sheet that may be lettered."""
        self._area = area
        shape = (math.ceil((area[2] - area[0]) / _CELL) + 1, math.ceil((area[3] - area[1]) / _CELL) + 1)
        self._lines = np.zeros(shape, np.int16)
        self._texts = np.zeros(shape, bool)

    def add(self, records: Iterable[Record]) -> None:
        for record in records:
            if isinstance(record, Text):
                self.take(text_box(record))
            elif isinstance(record, Path) and record.layer != "fill":
                for outline in record.outlines:
                    if self._small(outline):
                        continue
                    points = Profile(outline).points() if len(outline) > 2 or any(b for _, _, b in outline) else [
                        (x, y) for x, y, _ in outline]
                    if record.closed:
                        points = [*points, points[0]]
                    elif points[-1] != outline[-1][:2]:
                        points = [*points, outline[-1][:2]]
                    self.mark(points)

    def _small(self, outline: Outline) -> bool:
        """Marks an outline that is no larger than a few cells at once: vents come by the hundred."""
        x, y = [p[0] for p in outline], [p[1] for p in outline]
        wide = max(max(x) - min(x), max(y) - min(y))
        if len(outline) != 2 or not outline[0][2] or wide > 2.0:
            return False
        r, cx, cy = wide / 2, (min(x) + max(x)) / 2, (min(y) + max(y)) / 2
        a, b, c, d = self._cells((cx - r, cy - r, cx + r, cy + r))
        self._lines[max(0, a):max(0, c), max(0, b):max(0, d)] += 1
        return True

    def mark(self, points: Sequence[Point]) -> None:
        """A line that lettering should not lie on."""
        if len(points) < 2:
            return
        corners = np.array(points)
        start, way = corners[:-1], corners[1:] - corners[:-1]
        n = np.maximum(1, np.ceil(np.hypot(way[:, 0], way[:, 1]) / _CELL * 1.5)).astype(int)
        which = np.repeat(np.arange(len(n)), n + 1)
        number = np.arange(len(which)) - np.repeat(np.cumsum(n + 1) - (n + 1), n + 1)
        t = (number / n[which])[:, None]
        cells = ((start[which] + t * way[which] - self._area[:2]) / _CELL).astype(int)
        # a straight line never comes back to a cell: what it counts there once, its neighbours in the row say
        fresh = np.ones(len(which), bool)
        fresh[1:] = (which[1:] != which[:-1]) | (cells[1:] != cells[:-1]).any(axis=1)
        there = fresh & (cells >= 0).all(axis=1) & (cells < self._lines.shape).all(axis=1)
        np.add.at(self._lines, (cells[there, 0], cells[there, 1]), 1)

    def take(self, box: Box) -> None:
        """No lettering may come here."""
        x0, y0, x1, y1 = self._cells(box)
        self._texts[max(0, x0):max(0, x1), max(0, y0):max(0, y1)] = True

    def give_back(self, box: Box) -> None:
        """Lettering may come here after all."""
        x0, y0, x1, y1 = self._cells(box)
        self._texts[max(0, x0):max(0, x1), max(0, y0):max(0, y1)] = False

    def cost(self, box: Box) -> float | None:
        """How much of lines a box would lie on; None where it may not lie at all."""
        x0, y0, x1, y1 = box
        if x0 < self._area[0] or y0 < self._area[1] or x1 > self._area[2] or y1 > self._area[3]:
            return None
        a, b, c, d = self._cells((x0 - _AIR, y0 - _AIR, x1 + _AIR, y1 + _AIR))
        a, b = max(0, a), max(0, b)
        if self._texts[a:c, b:d].any():
            return None
        return float(np.minimum(self._lines[a:c, b:d], 3).sum())

    def put(self, text: str, height: float, about: Point, radius: float = 0.0, *, bold: bool = False,
            colour: Colour = (0, 0, 0), leader: bool = True) -> list[Record]:
        """A label beside the disc of ``radius`` about a point, where it lies on as few lines as can be, with a leader where
        it is far. Nothing where the whole sheet is full."""
        wide = width_of(text, height, bold)
        best: tuple[float, float, Box] | None = None
        for ring in _RINGS:
            gap = radius + 0.8 + ring
            for k in range(16):
                angle = math.pi / 4 + k * math.pi / 8
                dx, dy = math.cos(angle), math.sin(angle)
                # the box touches the ring with the side or corner that looks at the point
                x = about[0] + gap * dx - (wide / 2 if abs(dx) <= 0.3 else wide if dx < 0 else 0.0)
                y = about[1] + gap * dy - (height / 2 if abs(dy) <= 0.3 else height if dy < 0 else 0.0)
                box = (x, y - 0.2, x + wide, y + height)
                cost = self.cost(box)
                if cost is None:
                    continue
                total = cost + ring * 1.5 + 0.05 * k
                if best is None or total < best[0] - 1e-9:
                    best = (total, ring, box)
            if best is not None and ring * 1.5 >= best[0]:
                break
        if best is None:
            return []
        _, ring, box = best
        self.take(box)
        found: list[Record] = [Text(text, (box[0], box[1] + 0.2), height, bold=bold, colour=colour)]
        if leader and ring >= _LED:
            near = (min(max(about[0], box[0]), box[2]), min(max(about[1], box[1]), box[3]))
            away = math.dist(about, near)
            if away > radius + 0.5:
                start = tuple(about[i] + (near[i] - about[i]) * radius / away for i in (0, 1))
                line = polyline("dimension", (start[0], start[1]), near)
                self.mark([(start[0], start[1]), near])
                found.append(line)
        return found

    def balloon(self, text: str, about: Point, height: float = 2.2) -> list[Record]:
        """A number in a ring with a leader to a dot at ``about`` (ISO 6433, from memory); in the part itself where nothing
        else is drawn there. Nothing where the whole sheet is full."""
        wide = max(width_of(text, height, True) + 2.6, 2 * _BALLOON)
        best: tuple[float, Point, bool] | None = None
        for ring in _FAR:
            for k in range(24 if ring else 1):
                angle = math.pi / 12 * (k + 0.5)
                off = ring + wide / 2 - _BALLOON if ring else 0.0
                x, y = about[0] + off * math.cos(angle), about[1] + ring * math.sin(angle)
                cost = self.cost((x - wide / 2, y - _BALLOON, x + wide / 2, y + _BALLOON))
                if cost is None:
                    continue
                led = ring > 0
                crossed = self._crossed(about, (x, y)) if led else 0.0
                if crossed is None:
                    continue
                total = 2.0 * cost + ring * 0.8 + crossed + (2.0 if led else 0.0)
                if best is None or total < best[0] - 1e-9:
                    best = (total, (x, y), led)
            if best is not None and ring * 0.8 > best[0]:
                break
        if best is None:
            return []
        _, (x, y), led = best
        box = (x - wide / 2, y - _BALLOON, x + wide / 2, y + _BALLOON)
        records: list[Record] = []
        if led:
            records.append(polyline("dimension", about, self._rim(about, (x, y), wide)))
            records.append(Path("fill", (((about[0] + 0.6, about[1], 1.0), (about[0] - 0.6, about[1], 1.0)),), _INK))
            self.mark([about, (x, y)])
        a, b = x - wide / 2 + _BALLOON, x + wide / 2 - _BALLOON
        ring_ = ((a, y - _BALLOON, 0.0), (b, y - _BALLOON, 1.0), (b, y + _BALLOON, 0.0), (a, y + _BALLOON, 1.0))
        if b - a < 0.01:
            ring_ = ((x + _BALLOON, y, 1.0), (x - _BALLOON, y, 1.0))  # type: ignore[assignment]
        records.append(Path("dimension", (ring_,), (255, 255, 255)))
        records.append(Text(text, (x, y - height / 2), height, "middle", bold=True))
        self.take(box)
        return records

    def _rim(self, about: Point, at: Point, wide: float) -> Point:
        """Where a leader from ``about`` meets the ring round ``at``."""
        middle = min(max(about[0], at[0] - wide / 2 + _BALLOON), at[0] + wide / 2 - _BALLOON)
        away = math.dist(about, (middle, at[1]))
        share = _BALLOON / away if away else 0.0
        return middle + (about[0] - middle) * share, at[1] + (about[1] - at[1]) * share

    def _crossed(self, a: Point, b: Point) -> float | None:
        """What a leader costs; None where it would run through lettering."""
        n = max(2, math.ceil(math.dist(a, b) / _CELL))
        t = np.linspace(0.0, 1.0, n)
        i = ((a[0] + t * (b[0] - a[0]) - self._area[0]) / _CELL).astype(int)
        j = ((a[1] + t * (b[1] - a[1]) - self._area[1]) / _CELL).astype(int)
        if i.min() < 0 or j.min() < 0 or i.max() >= self._lines.shape[0] or j.max() >= self._lines.shape[1]:
            return None
        if self._texts[i, j].any():
            return None
        return float((self._lines[i, j] > 0).sum()) * 0.15

    def _cells(self, box: Box) -> tuple[int, int, int, int]:
        return (math.floor((box[0] - self._area[0]) / _CELL), math.floor((box[1] - self._area[1]) / _CELL),
                math.floor((box[2] - self._area[0]) / _CELL) + 1, math.floor((box[3] - self._area[1]) / _CELL) + 1)
