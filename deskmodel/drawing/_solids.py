"""Solids as closed forms: pieces that are material, cuts that are not; asked about points and about rays.

Everything is told in one frame, mm. Nothing here is a mesh or comes from the kernel.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from deskmodel._edges import Edge, Point, arc_circle
from deskmodel.features import Box3, Prism, Removal
from deskmodel.frames import Pose, Vec

__all__ = ["LEVEL", "LONGER", "Body", "Solid", "free_stretches"]

Span = tuple[float, float]

LEVEL = 1e-12

LONGER = 1e-3
"""mm of material that a ray has to meet."""


@dataclass(frozen=True, eq=False)
class Body:
    """A prism or a turned body, quick to ask. ``shape`` is in the frame of the solid."""

    shape: Removal

    @cached_property
    def box(self) -> Box3:
        return self.shape.bounds

    @cached_property
    def frame(self) -> tuple[Vec, Vec, Vec, Vec]:
        pose = self.shape.pose
        return pose.axis(0), pose.axis(1), pose.axis(2), pose.origin

    @cached_property
    def round(self) -> tuple[float, float, float] | None:
        found = self.shape.profile.as_circle if isinstance(self.shape, Prism) else None
        return None if found is None else (*found[0], found[1] ** 2)

    @cached_property
    def rectangle(self) -> tuple[float, float, float, float] | None:
        if not isinstance(self.shape, Prism):
            return None
        corners = self.shape.profile.vertices
        x0, y0, x1, y1 = self.shape.profile.bounds
        plain = len(corners) == 4 and all(bulge == 0 and x in (x0, x1) and y in (y0, y1) for x, y, bulge in corners)
        return (x0, y0, x1, y1) if plain else None

    @cached_property
    def is_level(self) -> bool:
        """Whether it looks like a rectangle along z: a box at right angles, or round about an axis square to z."""
        x, y, z = (self.shape.pose.axis(i) for i in range(3))
        if any(abs(each[i]) not in (0.0, 1.0) for each in (x, y, z) for i in range(3)):
            return False
        turned = self.round is not None or not isinstance(self.shape, Prism)
        return self.rectangle is not None or (turned and z[2] == 0.0)

    @cached_property
    def edges(self) -> tuple[Edge, ...]:
        return tuple(self.shape.profile.edges()) if isinstance(self.shape, Prism) else ()

    def _local(self, p: Vec) -> Vec:
        (ax, ay, az), (bx, by, bz), (cx, cy, cz), (ox, oy, oz) = self.frame
        x, y, z = p[0] - ox, p[1] - oy, p[2] - oz
        return ax * x + ay * y + az * z, bx * x + by * y + bz * z, cx * x + cy * y + cz * z

    def contains(self, p: Vec) -> bool:
        (x0, y0, z0), (x1, y1, z1) = self.box
        if not (x0 <= p[0] <= x1 and y0 <= p[1] <= y1 and z0 <= p[2] <= z1):
            return False
        shape = self.shape
        if not isinstance(shape, Prism):
            return shape.contains(p)
        x, y, z = self._local(p)
        if not 0.0 <= z <= shape.depth:
            return False
        if self.round:
            cx, cy, square = self.round
            return (x - cx) ** 2 + (y - cy) ** 2 <= square
        if self.rectangle:
            u0, v0, u1, v1 = self.rectangle
            return u0 <= x <= u1 and v0 <= y <= v1
        return shape.profile.contains((x, y))

    def spans(self, p: Vec, d: Vec) -> list[Span]:
        """(from, to) of t for which p + t d lies in the body, ascending. ``d``: a unit vector."""
        if d[0] == d[1] == 0.0:
            (x0, y0, _), (x1, y1, _) = self.box
            if not (x0 <= p[0] <= x1 and y0 <= p[1] <= y1):
                return []
        (ax, ay, az), (bx, by, bz), (cx, cy, cz), _ = self.frame
        local = self._local(p)
        step = (ax * d[0] + ay * d[1] + az * d[2], bx * d[0] + by * d[1] + bz * d[2], cx * d[0] + cy * d[1] + cz * d[2])
        shape = self.shape
        if not isinstance(shape, Prism):
            return self._through_turned(p, d, local, step)
        if abs(step[2]) > LEVEL:
            ends = (-local[2] / step[2], (shape.depth - local[2]) / step[2])
            slab = (min(ends), max(ends))
        elif 0.0 <= local[2] <= shape.depth:
            slab = (-math.inf, math.inf)
        else:
            return []
        if math.hypot(step[0], step[1]) <= 1e-9:
            middle = (p[0] + d[0] * (slab[0] + slab[1]) / 2, p[1] + d[1] * (slab[0] + slab[1]) / 2,
                      p[2] + d[2] * (slab[0] + slab[1]) / 2)
            return [slab] if self.contains(middle) else []
        flat = self._across(local, step)
        return [(max(low, slab[0]), min(high, slab[1])) for low, high in flat if low < slab[1] and high > slab[0]]

    def _across(self, p: Vec, d: Vec) -> list[Span]:
        """Where the line runs in the profile."""
        if self.round:
            cx, cy, square = self.round
            x, y = p[0] - cx, p[1] - cy
            a, b, c = d[0] ** 2 + d[1] ** 2, x * d[0] + y * d[1], x * x + y * y - square
            inner = b * b - a * c
            if inner <= 0:
                return []
            root = math.sqrt(inner)
            return [((-b - root) / a, (-b + root) / a)]
        found = sorted(t for edge in self.edges for t in _meetings(edge, (p[0], p[1]), (d[0], d[1])))
        return list(zip(found[::2], found[1::2], strict=False))

    def _through_turned(self, p: Vec, d: Vec, local: Vec, step: Vec) -> list[Span]:
        half = self.shape.half  # type: ignore[union-attr]  # a Revolve
        (x, y, z), (dx, dy, dz) = local, step
        if math.hypot(dx, dy) <= 1e-9:  # along the axis: the half profile cut at that radius
            heights = sorted((level - z) / dz for level in _cut(half, 0, math.hypot(x, y)))
            return list(zip(heights[::2], heights[1::2], strict=False))
        if abs(dz) <= 1e-9:  # square to it: circles
            return _chords(sorted(_cut(half, 1, z)), (x, y), (dx, dy))
        found: list[float] = []
        for (r0, z0), (r1, z1) in pairwise((*half, half[0])):
            if abs(z1 - z0) <= LEVEL:
                if abs(dz) > LEVEL:
                    found.append((z0 - z) / dz)
                continue
            slope = (r1 - r0) / (z1 - z0)
            at, grows = r0 + slope * (z - z0), slope * dz
            a, b, c = dx * dx + dy * dy - grows * grows, x * dx + y * dy - at * grows, x * x + y * y - at * at
            if abs(a) <= 1e-14:
                found += [-c / (2 * b)] if abs(b) > 1e-14 else []
            elif b * b - a * c > 0:
                root = math.sqrt(b * b - a * c)
                found += [(-b - root) / a, (-b + root) / a]
        found.sort()
        spans: list[Span] = []
        for low, high in pairwise(found):
            t = (low + high) / 2
            if high - low > 1e-9 and self.shape.contains((p[0] + t * d[0], p[1] + t * d[1], p[2] + t * d[2])):
                if spans and low - spans[-1][1] < 1e-9:
                    spans[-1] = (spans[-1][0], high)
                else:
                    spans.append((low, high))
        return spans


def _cut(half: Sequence[Point], axis: int, at: float) -> list[float]:
    """The other coordinate of each place at which the half profile crosses the line ``axis`` = ``at``."""
    return [a[1 - axis] + (at - a[axis]) / (b[axis] - a[axis]) * (b[1 - axis] - a[1 - axis])
            for a, b in pairwise((*half, half[0])) if (a[axis] > at) != (b[axis] > at)]


def _chords(radii: Sequence[float], p: Point, d: Point) -> list[Span]:
    """Where a line runs in the rings between each second pair of radii."""
    middle, square = -(p[0] * d[0] + p[1] * d[1]), p[0] ** 2 + p[1] ** 2
    found: list[Span] = []
    for inner, outer in zip(radii[::2], radii[1::2], strict=False):
        far, near = (max(0.0, r * r - square + middle * middle) ** 0.5 for r in (outer, inner))
        if far > 0:
            ends = ((middle - far, middle - near), (middle + near, middle + far))
            found += ends if near else [(ends[0][0], ends[1][1])]
    return sorted(found)


def _meetings(edge: Edge, p: Point, d: Point) -> list[float]:
    """t of each place where the endless line p + t d crosses an edge; as many, odd or even, as its ends say."""
    (x0, y0), (x1, y1), bulge = edge
    one, other = d[0] * (y0 - p[1]) - d[1] * (x0 - p[0]), d[0] * (y1 - p[1]) - d[1] * (x1 - p[0])
    crossed = (one > 0) != (other > 0)
    square = d[0] * d[0] + d[1] * d[1]
    if not bulge:
        if not crossed:
            return []
        share = one / (one - other)
        x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        return [((x - p[0]) * d[0] + (y - p[1]) * d[1]) / square]
    (cx, cy), radius, start, sweep = arc_circle(edge)
    x, y = p[0] - cx, p[1] - cy
    b, c = x * d[0] + y * d[1], x * x + y * y - radius * radius
    inner = b * b - square * c
    if inner <= 0:
        return []
    root = math.sqrt(inner)
    rated = []
    for t in ((-b - root) / square, (-b + root) / square):
        turned = (math.atan2(y + t * d[1], x + t * d[0]) - start) * math.copysign(1.0, sweep) % (2 * math.pi)
        over = max(0.0, min(turned - abs(sweep), 2 * math.pi - turned))
        rated.append((over, t))
    if crossed:
        return [min(rated)[1]]
    return [t for _, t in rated] if all(over <= 1e-9 for over, _ in rated) else []


class Solid:
    """Pieces of material less what is cut out of them all. ``adds`` may touch or overlap."""

    def __init__(self, adds: Iterable[Removal], cuts: Iterable[Removal] = ()) -> None:
        self.adds = [Body(each) for each in adds]
        self.cuts = [Body(each) for each in cuts]

    @cached_property
    def box(self) -> Box3:
        lows, highs = zip(*(body.box for body in self.adds), strict=True)
        return (tuple(min(low[i] for low in lows) for i in range(3)),
                tuple(max(high[i] for high in highs) for i in range(3)))

    @cached_property
    def _boxes(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        boxes = np.array([body.box for body in (*self.adds, *self.cuts)])
        return boxes[:, 0], boxes[:, 1]

    def seen_from(self, view: Pose) -> Solid:
        """The same in the frame whose axes are the rows of ``view``'s rotation."""
        return Solid((_moved(body.shape, view) for body in self.adds), (_moved(body.shape, view) for body in self.cuts))

    def near(self, low: Sequence[float], high: Sequence[float], margin: float = 0.01) -> Solid:
        """Only what comes near that box; it answers the same for points in it."""
        return self.near_each([(low, high)], margin)[0]

    def near_each(self, boxes: Sequence[tuple[Sequence[float], Sequence[float]]], margin: float = 0.01) -> list[Solid]:
        """As ``near``, of many boxes at once; where the same comes near two of them, it is one object."""
        asked = np.array(boxes).reshape(-1, 2, 3)
        lows, highs = self._boxes
        there = np.ones((len(asked), len(lows)), bool)
        for k in range(3):
            there &= lows[:, k] <= asked[:, 1, k, None] + margin
            there &= highs[:, k] >= asked[:, 0, k, None] - margin
        made: dict[bytes, Solid] = {}
        found = []
        bodies, n = (*self.adds, *self.cuts), len(self.adds)
        for row in there:
            key = row.tobytes()
            if key not in made:
                chosen = np.flatnonzero(row).tolist()
                solid = made[key] = Solid((), ())
                solid.adds = [bodies[i] for i in chosen if i < n]
                solid.cuts = [bodies[i] for i in chosen if i >= n]
            found.append(made[key])
        return found

    def meeting(self) -> Iterator[tuple[Body, Body]]:
        """Pairs of cuts, and pairs of pieces, whose boxes run into each other."""
        lows, highs = self._boxes
        n = len(self.adds)
        for group, low, high in ((self.adds, lows[:n], highs[:n]), (self.cuts, lows[n:], highs[n:])):
            for i, one in enumerate(group):
                later = np.all((low[i + 1:] < high[i] - 1e-6) & (high[i + 1:] > low[i] + 1e-6), axis=1)
                for j in np.flatnonzero(later):
                    yield one, group[i + 1 + j]

    def holds(self, p: Vec) -> bool:
        """Whether there is material at the point."""
        return any(body.contains(p) for body in self.adds) and not any(body.contains(p) for body in self.cuts)

    def blocks(self, p: Vec, d: Vec) -> bool:
        """Whether the ray from p along d meets material, more than a micrometre of it."""
        full = [span for body in self.adds for span in body.spans(p, d) if span[1] > LONGER]
        if not full:
            return False
        empty = sorted(span for body in self.cuts for span in body.spans(p, d))
        return any(high - low > LONGER for span in full for low, high in free_stretches((max(span[0], 0.0), span[1]), empty))


def free_stretches(span: Span, taken: Sequence[Span]) -> list[Span]:
    """What is left of a span; ``taken`` ascending."""
    low, high = span
    found = []
    for start, stop in taken:
        if stop <= low:
            continue
        if start >= high:
            break
        if start > low:
            found.append((low, start))
        low = max(low, stop)
    if low < high:
        found.append((low, high))
    return found


def _moved(shape: Removal, view: Pose) -> Removal:
    return replace(shape, pose=view @ shape.pose)
