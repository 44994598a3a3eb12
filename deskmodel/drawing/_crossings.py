"""Where the surfaces of two bodies cross: edges that neither has of its own, such as the mouth of a bore in a notch's wall.

Planes with planes, planes with cylinders at any angle, planes square to cones. Not known: cylinders with cylinders or cones,
which meet only where one hole runs into another.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise, product

from deskmodel._edges import arc_circle
from deskmodel.drawing._curves import Arc3, Curve, Line3
from deskmodel.drawing._solids import Body
from deskmodel.features import Prism
from deskmodel.frames import Vec, add, cross, dot, norm, scale, sub, unit

__all__ = ["crossings"]

_SQUARE = 1e-9


@dataclass(frozen=True, slots=True)
class _Plane:
    point: Vec
    normal: Vec


@dataclass(frozen=True, slots=True)
class _Tube:
    """A cylinder or cone about ``axis``: at the height h over ``point`` its radius is ``radius`` + ``slope`` h."""

    point: Vec
    axis: Vec
    radius: float
    slope: float


def crossings(a: Body, b: Body) -> Iterator[Curve]:
    """Candidates for edges: wherever they lie beside both bodies they are none."""
    low = tuple(max(p, q) - 1e-6 for p, q in zip(a.box[0], b.box[0], strict=True))
    high = tuple(min(p, q) + 1e-6 for p, q in zip(a.box[1], b.box[1], strict=True))
    flat_a, flat_b = list(_planes(a)), list(_planes(b))
    for one, other in product(flat_a, flat_b):
        line = _plane_plane(one, other, low, high)
        if line is not None:
            yield line
    for planes, tubes in ((flat_a, _tubes(b)), (flat_b, _tubes(a))):
        for plane, tube in product(planes, list(tubes)):
            yield from _plane_tube(plane, tube, low, high)


def _planes(body: Body) -> Iterator[_Plane]:
    shape = body.shape
    pose = shape.pose
    if isinstance(shape, Prism):
        for z in (0.0, shape.depth):
            yield _Plane(pose.apply((0.0, 0.0, z)), pose.axis(2))
        for (x0, y0), (x1, y1), bulge in shape.profile.edges():
            if not bulge:
                length = math.hypot(x1 - x0, y1 - y0)
                yield _Plane(pose.apply((x0, y0, 0.0)), pose.turn(((y1 - y0) / length, (x0 - x1) / length, 0.0)))
        return
    for (_, z0), (_, z1) in pairwise((*shape.half, shape.half[0])):
        if abs(z1 - z0) < _SQUARE:
            yield _Plane(pose.apply((0.0, 0.0, z0)), pose.axis(2))


def _tubes(body: Body) -> Iterator[_Tube]:
    shape = body.shape
    pose = shape.pose
    if isinstance(shape, Prism):
        if shape.profile.as_circle:
            (x, y), r = shape.profile.as_circle
            yield _Tube(pose.apply((x, y, 0.0)), pose.axis(2), r, 0.0)
            return
        for edge in shape.profile.edges():
            if edge[2]:
                (x, y), r, _, _ = arc_circle(edge)
                yield _Tube(pose.apply((x, y, 0.0)), pose.axis(2), r, 0.0)
        return
    for (r0, z0), (r1, z1) in pairwise((*shape.half, shape.half[0])):
        if abs(z1 - z0) > _SQUARE and max(r0, r1) > _SQUARE:
            slope = (r1 - r0) / (z1 - z0)
            yield _Tube(pose.apply((0.0, 0.0, z0)), pose.axis(2), r0, slope)


def _plane_plane(a: _Plane, b: _Plane, low: tuple[float, ...], high: tuple[float, ...]) -> Line3 | None:
    along = cross(a.normal, b.normal)
    if norm(along) < 1e-6:
        return None
    along = unit(along)
    # the point of both planes nearest to the box's middle
    middle = tuple((p + q) / 2 for p, q in zip(low, high, strict=True))
    start: Vec = (middle[0], middle[1], middle[2])
    fall = dot(a.normal, b.normal)
    da, db = dot(sub(a.point, start), a.normal), dot(sub(b.point, start), b.normal)
    inner = 1 - fall * fall
    start = add(start, add(scale(a.normal, (da - fall * db) / inner), scale(b.normal, (db - fall * da) / inner)))
    first, last = -math.inf, math.inf
    for i in range(3):
        if abs(along[i]) < _SQUARE:
            if not low[i] <= start[i] <= high[i]:
                return None
            continue
        ends = sorted(((low[i] - start[i]) / along[i], (high[i] - start[i]) / along[i]))
        first, last = max(first, ends[0]), min(last, ends[1])
    if last - first < 1e-4:
        return None
    return Line3(add(start, scale(along, first)), add(start, scale(along, last)))


def _plane_tube(plane: _Plane, tube: _Tube, low: tuple[float, ...], high: tuple[float, ...]) -> Iterator[Curve]:
    lean = dot(plane.normal, tube.axis)
    offset = dot(sub(plane.point, tube.point), plane.normal)
    other = (1.0, 0.0, 0.0) if abs(tube.axis[0]) < 0.9 else (0.0, 1.0, 0.0)
    u = unit(cross(tube.axis, other))
    v = cross(tube.axis, u)
    if abs(lean) > 1 - _SQUARE:
        height = offset / lean
        radius = tube.radius + tube.slope * height
        if radius > 1e-3:
            yield Arc3(add(tube.point, scale(tube.axis, height)), u, v, radius)
    elif tube.slope:
        return
    elif abs(lean) < _SQUARE:  # along the axis: two lines
        half = tube.radius ** 2 - offset ** 2
        if half <= 1e-9:
            return
        across = unit(cross(tube.axis, plane.normal))
        for side in (1, -1):
            p = add(tube.point, add(scale(plane.normal, offset), scale(across, side * math.sqrt(half))))
            spread = [dot(sub((x, y, z), p), tube.axis) for x in (low[0], high[0]) for y in (low[1], high[1])
                      for z in (low[2], high[2])]
            if max(spread) - min(spread) > 1e-4:
                yield Line3(add(p, scale(tube.axis, min(spread))), add(p, scale(tube.axis, max(spread))))
    else:  # an ellipse, told as a circle about axes that lean with the plane
        centre = add(tube.point, scale(tube.axis, offset / lean))
        x, y = (sub(each, scale(tube.axis, dot(each, plane.normal) / lean)) for each in (u, v))
        yield Arc3(centre, x, y, tube.radius)
