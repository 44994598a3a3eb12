"""Curves in space: the edges of single bodies."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from deskmodel._edges import arc_circle
from deskmodel.drawing._solids import Body
from deskmodel.features import Prism
from deskmodel.frames import Pose, Vec, add, dot, norm, scale, sub, unit

__all__ = ["Arc3", "Curve", "Line3", "candidates", "outlines_of"]

_TURN = 2 * math.pi
_SHORT = 1e-6


@dataclass(frozen=True)
class Line3:
    a: Vec
    b: Vec

    @property
    def length(self) -> float:
        return norm(sub(self.b, self.a))

    def at(self, t: float) -> Vec:
        return (self.a[0] + t * (self.b[0] - self.a[0]), self.a[1] + t * (self.b[1] - self.a[1]),
                self.a[2] + t * (self.b[2] - self.a[2]))

    def along(self, t: float) -> Vec:
        return unit(sub(self.b, self.a))

    @cached_property
    def box(self) -> tuple[Vec, Vec]:
        return tuple(map(min, self.a, self.b)), tuple(map(max, self.a, self.b))  # type: ignore[return-value]

    def part(self, start: float, stop: float) -> Line3:
        return self if (start, stop) == (0.0, 1.0) else Line3(self.at(start), self.at(stop))

    def moved(self, pose: Pose) -> Line3:
        return Line3(pose.apply(self.a), pose.apply(self.b))


@dataclass(frozen=True)
class Arc3:
    """Round ``centre`` from the angle ``start`` over ``sweep`` (above 0), angles from x towards y: unit vectors square to
    each other for a circle, any others for an ellipse."""

    centre: Vec
    x: Vec
    y: Vec
    radius: float
    start: float = 0.0
    sweep: float = _TURN

    @property
    def length(self) -> float:
        return self.radius * self.sweep

    @property
    def is_circle(self) -> bool:
        return abs(norm(self.x) - 1) < 1e-9 and abs(norm(self.y) - 1) < 1e-9

    def at(self, t: float) -> Vec:
        angle = self.start + t * self.sweep
        c, s = self.radius * math.cos(angle), self.radius * math.sin(angle)
        return add(self.centre, add(scale(self.x, c), scale(self.y, s)))

    def along(self, t: float) -> Vec:
        angle = self.start + t * self.sweep
        return unit(add(scale(self.x, -math.sin(angle)), scale(self.y, math.cos(angle))))

    @cached_property
    def box(self) -> tuple[Vec, Vec]:
        a, b, c = (self.radius * math.hypot(self.x[i], self.y[i]) for i in range(3))
        return sub(self.centre, (a, b, c)), add(self.centre, (a, b, c))

    def part(self, start: float, stop: float) -> Arc3:
        if (start, stop) == (0.0, 1.0):
            return self
        return Arc3(self.centre, self.x, self.y, self.radius, self.start + start * self.sweep, (stop - start) * self.sweep)

    def moved(self, pose: Pose) -> Arc3:
        return Arc3(pose.apply(self.centre), pose.turn(self.x), pose.turn(self.y), self.radius, self.start, self.sweep)


Curve = Line3 | Arc3


def candidates(body: Body) -> Iterator[Curve]:
    """The edges of a prism or a turned body. A whole circle is one curve."""
    shape = body.shape
    pose = shape.pose
    if not isinstance(shape, Prism):
        for r, z in shape.half:
            if r > _SHORT:
                yield Arc3(pose.apply((0.0, 0.0, z)), pose.axis(0), pose.axis(1), r)
        return
    for z in (0.0, shape.depth):
        if shape.profile.as_circle:
            (cx, cy), r = shape.profile.as_circle
            yield Arc3(pose.apply((cx, cy, z)), pose.axis(0), pose.axis(1), r)
            continue
        for edge in shape.profile.edges():
            if edge[2]:
                (cx, cy), r, start, sweep = arc_circle(edge)
                yield Arc3(pose.apply((cx, cy, z)), pose.axis(0), pose.axis(1), r, start if sweep > 0 else start + sweep,
                           abs(sweep))
            else:
                yield Line3(pose.apply((*edge[0], z)), pose.apply((*edge[1], z)))
    if not shape.profile.as_circle:
        for x, y, _ in shape.profile.vertices:
            yield Line3(pose.apply((x, y, 0.0)), pose.apply((x, y, shape.depth)))


def outlines_of(body: Body, d: Vec) -> Iterator[Line3]:
    """The lines at which the round faces of a body turn away from an eye that looks along -d: the sides of a cylinder."""
    shape = body.shape
    pose = shape.pose
    x, y, z = dot(pose.axis(0), d), dot(pose.axis(1), d), dot(pose.axis(2), d)
    flat = math.hypot(x, y)
    if flat < 1e-9:
        return
    towards = math.atan2(y, x)
    if isinstance(shape, Prism):
        for edge in shape.profile.edges():
            if not edge[2]:
                continue
            (cx, cy), r, start, sweep = arc_circle(edge)
            for angle in (towards + math.pi / 2, towards - math.pi / 2):
                turned = (angle - start) * math.copysign(1.0, sweep) % _TURN
                if turned <= abs(sweep) + 1e-9 or turned >= _TURN - 1e-9:
                    px, py = cx + r * math.cos(angle), cy + r * math.sin(angle)
                    yield Line3(pose.apply((px, py, 0.0)), pose.apply((px, py, shape.depth)))
        return
    for (r0, z0), (r1, z1) in pairwise((*shape.half, shape.half[0])):
        if abs(z1 - z0) < _SHORT or max(r0, r1) < _SHORT:
            continue
        lean = (r1 - r0) * z / ((z1 - z0) * flat)
        if abs(lean) <= 1.0:
            for angle in (towards + math.acos(lean), towards - math.acos(lean)):
                c, s = math.cos(angle), math.sin(angle)
                yield Line3(pose.apply((r0 * c, r0 * s, z0)), pose.apply((r1 * c, r1 * s, z1)))
