"""A long piece on short paper: stretches in which nothing happens are cut out, and break lines say so (ISO 128-3)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from deskmodel._edges import Point
from deskmodel.drawing._strokes import Stroke

__all__ = ["Ruled", "break_lines", "broken", "mirrored", "unbroken"]

_GAP = 3.0  # mm of paper between the two break lines
_QUIET = 12.0  # mm of paper; a shorter quiet stretch is not worth a break
_MARGIN = 4.0  # mm of paper that stay on either side of what is drawn
_AMPLITUDE = 1.2


@dataclass(frozen=True, slots=True)
class Ruled:
    """From mm of the piece to mm of paper: 1 : ``scale``, less what is ``cut``: (from, to) in mm of the piece, ascending."""

    low: float
    scale: float
    cut: tuple[tuple[float, float], ...] = ()

    def __call__(self, at: float) -> float:
        paper = (at - self.low) / self.scale
        for start, stop in self.cut:
            if at >= stop:
                paper -= (stop - start) / self.scale - _GAP
            elif at > start:
                paper += (start - at) / self.scale + _GAP / 2
                break
        return paper

    def pieces(self, stroke: Stroke) -> list[tuple[Point, Point]]:
        """A straight stroke in its stretches that are drawn: mm of paper along x, of the piece along y."""
        if stroke.a[0] > stroke.b[0]:
            stroke = Stroke(stroke.b, stroke.a)
        (x0, y0), (x1, y1) = stroke.a, stroke.b
        if x1 - x0 < 1e-9:
            return [((self(x0), y0), (self(x1), y1))]
        found = []
        at = x0
        for start, stop in self.cut:
            if x0 < start and x1 > stop:
                found.append((at, start))
                at = stop
        found.append((at, x1))

        def y(x: float) -> float:
            return y1 if x == x1 else y0 + (x - x0) * (y1 - y0) / (x1 - x0)

        out = []
        for low, high in found:
            out.append(((self(low), y(low)), (self(high), y(high))))
        return out


def unbroken(low: float, scale: float) -> Ruled:
    return Ruled(low, scale)


def broken(low: float, high: float, scale: float, strokes: Iterable[Stroke], room: float) -> Ruled | None:
    """Quiet stretches (no line begins, ends or bends there) cut out, so that ``room`` mm of paper is enough and as little as
    can be is lost. None where it is enough without, or not enough with all of them cut out."""
    busy = [low, high]
    for stroke in strokes:
        if stroke.radius:
            busy += [stroke.centre[0] - stroke.radius, stroke.centre[0], stroke.centre[0] + stroke.radius]
        else:
            busy += [stroke.a[0], stroke.b[0]]
    places = sorted(busy)
    cut = []
    for left, right in pairwise(places):
        start, stop = left + _MARGIN * scale, right - _MARGIN * scale
        if stop - start > _QUIET * scale:
            cut.append((start, stop))
    ruled = Ruled(low, scale, tuple(cut))
    if not cut or ruled(high) > room or (high - low) / scale <= room:
        return None
    for span in sorted(cut, key=lambda each: each[1] - each[0]):  # the shortest are spared where they can be
        fewer = Ruled(low, scale, tuple(each for each in ruled.cut if each != span))
        if fewer(high) <= room:
            ruled = fewer
    spare = (room - ruled(high)) * scale / len(ruled.cut) / 2
    longest = min(stop - start for start, stop in ruled.cut) / 2 - _GAP * scale
    more = max(0.0, min(spare, longest))
    return Ruled(low, scale, tuple((start + more, stop - more) for start, stop in ruled.cut))


def break_lines(ruled: Ruled, y0: float, y1: float) -> list[list[Point]]:
    """Zigzag lines at both sides of each cut, from ``y0`` to ``y1`` mm of paper and a little beyond."""
    lines = []
    low, high = y0 - 2.0, y1 + 2.0
    middle, third = (y0 + y1) / 2, min(2.0, (y1 - y0) / 4)
    for start, stop in ruled.cut:
        for x in (ruled(start), ruled(stop)):
            lines.append([(x, low), (x, middle - third), (x + _AMPLITUDE, middle - third / 3),
                          (x - _AMPLITUDE, middle + third / 3), (x, middle + third), (x, high)])
    return lines


def mirrored(ruled: Ruled, high: float) -> Ruled:
    """For a view in which the piece runs the other way: places are -x there. ``high``: its far end."""
    return Ruled(-high, ruled.scale, tuple((-stop, -start) for start, stop in reversed(ruled.cut)))
