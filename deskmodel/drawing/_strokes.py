"""Strokes of a view: straight lines and arcs in a plane, laid together so that nothing is drawn twice."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from deskmodel._edges import Point
from deskmodel.drawing._solids import free_stretches
from deskmodel.drawing.records import Outline

__all__ = ["Stroke", "chords", "merged", "outline_of"]

_TURN = 2 * math.pi
_SAME = 2e-4  # mm
_SHORTEST = 0.01  # mm; less of a line than this is not drawn

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Stroke:
    """From ``a`` to ``b``; with a ``radius`` the arc about ``centre`` from the angle ``start`` anticlockwise over ``sweep``,
    and ``a`` and ``b`` mean nothing."""

    a: Point
    b: Point
    centre: Point = (0.0, 0.0)
    radius: float = 0.0
    start: float = 0.0
    sweep: float = 0.0

    @property
    def whole(self) -> bool:
        return self.radius > 0 and self.sweep > _TURN - 1e-6

    @property
    def length(self) -> float:
        return self.radius * self.sweep if self.radius else math.dist(self.a, self.b)

    def at(self, t: float) -> Point:
        if self.radius:
            angle = self.start + t * self.sweep
            return self.centre[0] + self.radius * math.cos(angle), self.centre[1] + self.radius * math.sin(angle)
        return self.a[0] + t * (self.b[0] - self.a[0]), self.a[1] + t * (self.b[1] - self.a[1])


def chords(points: Sequence[Point]) -> Iterator[Stroke]:
    for a, b in pairwise(points):
        if math.dist(a, b) > 1e-9:
            yield Stroke(a, b)


def outline_of(stroke: Stroke) -> tuple[Outline, bool]:
    """(vertices with bulges, whether closed)."""
    if stroke.whole:
        (x, y), r = stroke.centre, stroke.radius
        return ((x + r, y, 1.0), (x - r, y, 1.0)), True
    if stroke.radius:
        half = stroke.sweep / 2  # two arcs: a bulge grows beyond all bounds as the sweep nears a whole turn
        bulge = math.tan(half / 4)
        return tuple((*stroke.at(t), bulge if t < 1 else 0.0) for t in (0.0, 0.5, 1.0)), False
    return ((*stroke.a, 0.0), (*stroke.b, 0.0)), False


def merged(strokes: Iterable[Stroke], over: Iterable[Stroke] = ()) -> list[Stroke]:
    """The strokes without repetitions, pieces of one line joined, less what is drawn ``over`` them already."""
    lines: dict[tuple[int, ...], tuple[list[Stroke], list[Stroke]]] = {}
    for which, group in enumerate((strokes, over)):
        for stroke in group:
            if stroke.length > 1e-6:
                lines.setdefault(_carrier(stroke), ([], []))[which].append(stroke)
    found: list[Stroke] = []
    for key in sorted(lines):
        mine, theirs = lines[key]
        if mine:
            found += _round(mine, theirs) if mine[0].radius else _straight(mine, theirs)
    return found


def _carrier(stroke: Stroke) -> tuple[int, ...]:
    """Equal for strokes on one line or one circle."""
    if stroke.radius:
        return 1, round(stroke.centre[0] / _SAME), round(stroke.centre[1] / _SAME), round(stroke.radius / _SAME)
    dx, dy = _direction(stroke)
    return 0, round(math.atan2(dy, dx) * 1e5), round((stroke.a[1] * dx - stroke.a[0] * dy) / _SAME), 0


def _direction(stroke: Stroke) -> Point:
    dx, dy = stroke.b[0] - stroke.a[0], stroke.b[1] - stroke.a[1]
    length = math.hypot(dx, dy)
    dx, dy = dx / length, dy / length
    return (dx, dy) if dx > 1e-7 or (abs(dx) <= 1e-7 and dy > 0) else (-dx, -dy)


def _straight(mine: Sequence[Stroke], theirs: Sequence[Stroke]) -> Iterator[Stroke]:
    dx, dy = _direction(mine[0])
    across = mine[0].a[1] * dx - mine[0].a[0] * dy

    def span(stroke: Stroke) -> Span:
        one, other = (p[0] * dx + p[1] * dy for p in (stroke.a, stroke.b))
        return min(one, other), max(one, other)

    for low, high in _left(map(span, mine), map(span, theirs)):
        yield Stroke((low * dx - across * dy, low * dy + across * dx), (high * dx - across * dy, high * dy + across * dx))


def _round(mine: Sequence[Stroke], theirs: Sequence[Stroke]) -> Iterator[Stroke]:
    centre, radius = mine[0].centre, mine[0].radius

    def spans(strokes: Iterable[Stroke]) -> Iterator[Span]:
        for stroke in strokes:
            start = stroke.start % _TURN
            stop = start + min(stroke.sweep, _TURN)
            yield start * radius, min(stop, _TURN) * radius
            if stop > _TURN + 1e-9:
                yield 0.0, (stop - _TURN) * radius

    left = _left(spans(mine), spans(theirs))
    full = _TURN * radius
    if len(left) > 1 and left[0][0] < _SAME and left[-1][1] > full - _SAME:  # one arc across the angle 0
        left = [*left[1:-1], (left[-1][0], left[0][1] + full)]
    for low, high in left:
        yield Stroke(centre, centre, centre, radius, low / radius, min(_TURN, (high - low) / radius))


def _left(mine: Iterable[Span], theirs: Iterable[Span]) -> list[Span]:
    taken = _joined(theirs)
    found = [piece for span in _joined(mine) for piece in free_stretches(span, taken)]
    return [(low, high) for low, high in found if high - low > _SHORTEST]


def _joined(spans: Iterable[Span]) -> list[Span]:
    found: list[Span] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1] + _SAME:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found
