"""Whether what was cut away lies within what is to be cut away, in closed form.

    proved      a cut lies within another wherever both are in the blank: the limits of the other one that the blank itself
                keeps (the mouth of a hole, the open ends of a notch) need no proof
    refuted     a point of the cut where the new piece has wood or metal

Not known: a cut that lies within several others together, but in none of them alone, is neither proved nor refuted.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from deskmodel._edges import point_at
from deskmodel.errors import InputFault
from deskmodel.features import Box3, Prism, Removal, Revolve
from deskmodel.features._base import span
from deskmodel.frames import Vec, dot, scale, sub
from deskmodel.part import BoxBlank, SheetBlank
from deskmodel.profiles import Profile, circle, inside, polygon, rectangle

__all__ = ["Flat", "missing_point", "reaches_in", "within"]

Flat = BoxBlank | SheetBlank

_TOLERANCE = 1e-5  # mm
_INSIDE = 1e-3  # mm; how deep in a cut a point must lie to count
_FAR = 5000.0  # mm; beyond every desk, and still a length that an outline may have


def within(inner: Removal, outer: Removal, box: Box3) -> bool:
    """Whether ``inner`` lies within ``outer`` wherever both are inside ``box``. False: it is not, or nobody can tell."""
    if _apart(inner.bounds, outer.bounds):
        return False
    try:
        if isinstance(outer, Revolve):
            return _within_turned(inner, outer, box)
        if not all(bulge == 0.0 for _, _, bulge in outer.profile.vertices) or not _convex(outer.profile):
            return _between_ends(inner, outer, box) and inside(_shadow(inner, outer), _widened(outer))
        return _between_ends(inner, outer, box) and all(
            _kept(normal, at, box) or _reach(inner, normal) <= at + _TOLERANCE for normal, at in _sides(outer))
    except InputFault:  # a shadow that is no outline
        return False


def reaches_in(cut: Removal, blank: Flat) -> bool:
    """Whether the box about a cut meets the blank at all."""
    return not _apart(cut.bounds, blank.bounds)


def missing_point(cut: Removal, others: Sequence[Removal], blank: Flat) -> Vec | None:
    """A point of ``cut`` inside the blank that lies in none of the others: material that is gone and is wanted."""
    near = [other for other in others if not _apart(cut.bounds, other.bounds)]
    for p in _probes(cut):
        if cut.contains(p) and _deep_in(p, blank) and not any(other.contains(p) for other in near):
            return p
    return None


def _apart(a: Box3, b: Box3) -> bool:
    return any(a[1][i] <= b[0][i] + _TOLERANCE or b[1][i] <= a[0][i] + _TOLERANCE for i in range(3))


def _kept(normal: Vec, at: float, box: Box3) -> bool:
    """Whether the box itself keeps to this limit."""
    return span(box, normal)[1] <= at + _TOLERANCE


def _between_ends(inner: Removal, outer: Prism, box: Box3) -> bool:
    z = outer.pose.axis(2)
    low = dot(outer.pose.origin, z)
    return all(_kept(normal, at, box) or _reach(inner, normal) <= at + _TOLERANCE
               for normal, at in ((z, low + outer.depth), (scale(z, -1.0), -low)))


def _sides(outer: Prism) -> Iterator[tuple[Vec, float]]:
    """(normal out of it, limit) of each side of a prism with straight sides."""
    for (x0, y0), (x1, y1), _ in outer.profile.edges():
        long = math.hypot(x1 - x0, y1 - y0)
        normal = outer.pose.turn(((y1 - y0) / long, (x0 - x1) / long, 0.0))
        yield normal, dot(normal, outer.pose.apply((x0, y0, 0.0)))


def _convex(profile: Profile) -> bool:
    corners = [(x, y) for x, y, _ in profile.vertices]
    turns = zip(corners, corners[1:] + corners[:1], corners[2:] + corners[:2], strict=True)
    return all((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) >= -1e-9 for a, b, c in turns)


def _reach(cut: Removal, direction: Vec) -> float:
    """The largest p · direction over its points."""
    x, y, z = (dot(cut.pose.axis(i), direction) for i in range(3))
    at = dot(cut.pose.origin, direction)
    if isinstance(cut, Prism):
        return at + cut.profile.reach(x, y) + max(0.0, z * cut.depth)
    flat = math.hypot(x, y)
    return at + max(r * flat + h * z for r, h in cut.half)


def _shadow(inner: Removal, outer: Removal) -> Profile:
    """What ``inner`` covers, seen along the axis of ``outer``, in the x and y of its frame; a rectangle about it where the
    axes are not parallel."""
    frame = outer.pose.inverse() @ inner.pose
    z = frame.axis(2)[2]
    x, y, _ = frame.origin
    if abs(abs(z) - 1.0) < 1e-9:
        if isinstance(inner, Revolve):
            return circle(2 * max(r for r, _ in inner.half), (x, y))
        if inner.profile.as_circle:
            (u, v), radius = inner.profile.as_circle
            u, v, _ = frame.apply((u, v, 0.0))
            return circle(2 * radius, (u, v))
        vertices = [(*frame.apply((u, v, 0.0))[:2], bulge) for u, v, bulge in inner.profile.vertices]
        if z > 0:
            return Profile(tuple(vertices))
        points = [(u, v) for u, v, _ in reversed(vertices)]  # seen from behind it runs the other way
        bulges = [bulge for _, _, bulge in reversed(vertices)]
        return Profile(tuple((u, v, b) for (u, v), b in zip(points, bulges[1:] + bulges[:1], strict=True)))
    ax, ay = outer.pose.axis(0), outer.pose.axis(1)
    x1, x0 = _reach(inner, ax) - dot(outer.pose.origin, ax), -_reach(inner, scale(ax, -1.0)) - dot(outer.pose.origin, ax)
    y1, y0 = _reach(inner, ay) - dot(outer.pose.origin, ay), -_reach(inner, scale(ay, -1.0)) - dot(outer.pose.origin, ay)
    return rectangle(x1 - x0, y1 - y0, (x0, y0))


def _widened(outer: Prism) -> Profile:
    """Its outline; a breath wider, so that an equal one lies within it."""
    if outer.profile.as_circle:
        centre, radius = outer.profile.as_circle
        return circle(2 * (radius + _TOLERANCE), centre)
    return outer.profile


def _within_turned(inner: Removal, outer: Revolve, box: Box3) -> bool:
    frame = outer.pose.inverse() @ inner.pose
    axis = outer.pose.axis(2)
    if abs(abs(frame.axis(2)[2]) - 1.0) > 1e-9:  # across: as wide as it is anywhere, at each of its heights
        shadow = _shadow(inner, outer)
        wide = max(math.hypot(x, y) for x, y in shadow.points())
        at = dot(outer.pose.origin, axis)
        high, low = _reach(inner, axis) - at, -_reach(inner, scale(axis, -1.0)) - at
        half = [(0.0, low), (wide, low), (wide, high), (0.0, high)]
    elif isinstance(inner, Prism):
        wide = max(math.hypot(x, y) for x, y in _shadow(inner, outer).points())
        if inner.profile.as_circle:
            (u, v), radius = inner.profile.as_circle
            wide = math.hypot(*frame.apply((u, v, 0.0))[:2]) + radius
        ends = (frame.apply((0.0, 0.0, 0.0))[2], frame.apply((0.0, 0.0, inner.depth))[2])
        half = [(0.0, min(ends)), (wide, min(ends)), (wide, max(ends)), (0.0, max(ends))]
    else:
        off = math.hypot(*frame.origin[:2])
        heights = [(r, frame.apply((0.0, 0.0, z))[2]) for r, z in inner.half]
        half = [(0.0 if r <= _TOLERANCE else r + off, z) for r, z in heights]
    widest = [(0.0 if r <= _TOLERANCE else r + _TOLERANCE, z) for r, z in outer.half]
    low, high = min(z for _, z in widest), max(z for _, z in widest)
    at = dot(outer.pose.origin, axis)
    for end, open_end in ((low, _kept(scale(axis, -1.0), -(at + low), box)), (high, _kept(axis, at + high, box))):
        widest = _opened(widest, end, math.copysign(_FAR, end - (low + high) / 2) if open_end else
                         math.copysign(_TOLERANCE, end - (low + high) / 2))
    return inside(polygon(half), polygon(widest))


def _opened(half: list[tuple[float, float]], end: float, by: float) -> list[tuple[float, float]]:
    """The half profile drawn out beyond its end, as wide as it is there (a point stays a point)."""
    wide = max(r for r, z in half if abs(z - end) <= _TOLERANCE)
    if wide <= _TOLERANCE:
        return half
    i = half.index(next(p for p in half if abs(p[1] - end) <= _TOLERANCE and p[0] <= _TOLERANCE))
    j = max(range(len(half)), key=lambda k: (abs(half[k][1] - end) <= _TOLERANCE, half[k][0]))
    drawn = [(0.0, end + by), (wide, end + by), (wide, end)]
    rest = [p for k, p in enumerate(half) if k != i]
    at = rest.index(half[j])
    forwards = half[(i + 1) % len(half)] == half[j]
    return [*rest[:at], *(drawn if forwards else reversed(drawn)), *rest[at + 1:]]


def _deep_in(p: Vec, blank: Flat) -> bool:
    low, high = blank.bounds
    if not all(low[i] + _INSIDE < p[i] < high[i] - _INSIDE for i in range(3)):
        return False
    if isinstance(blank, SheetBlank):
        return blank.outline.contains((p[0], p[1])) and blank.outline.distance((p[0], p[1])) > _INSIDE
    return True


def _probes(cut: Removal) -> Iterator[Vec]:
    """Points just inside its surface, and its middle."""
    if isinstance(cut, Prism):
        depths = (2 * _INSIDE, *(cut.depth * k / 11 for k in range(1, 11)), cut.depth - 2 * _INSIDE)
        for x, y in _just_inside(cut.profile):
            for z in depths:
                yield cut.pose.apply((x, y, z))
        return
    for (r0, z0), (r1, z1) in pairwise((*cut.half, cut.half[0])):
        long = math.hypot(r1 - r0, z1 - z0)
        for t in (0.001, *(k / 11 for k in range(1, 11)), 0.999):
            for side in (1.0, -1.0):  # whichever way the half profile runs: one of them lies inside
                r = r0 + t * (r1 - r0) - side * 2 * _INSIDE * (z1 - z0) / long
                z = z0 + t * (z1 - z0) + side * 2 * _INSIDE * (r1 - r0) / long
                for k in range(24 if r > 0 else 0):
                    yield cut.pose.apply((r * math.cos(k * math.pi / 12), r * math.sin(k * math.pi / 12), z))


def _just_inside(profile: Profile) -> Iterator[tuple[float, float]]:
    for edge in profile.edges():
        bulge = edge[2]
        steps = 24 if bulge else 16
        for k in range(steps):
            t = (k + 0.5) / steps
            for u in (t, 0.002 * t, 1.0 - 0.002 * t) if not bulge else (t,):
                (x, y), (ahead, up) = point_at(edge, u), point_at(edge, min(1.0, u + 1e-4))
                dx, dy = sub((ahead, up, 0.0), (x, y, 0.0))[:2]
                long = math.hypot(dx, dy) or 1.0
                yield x - 2 * _INSIDE * dy / long, y + 2 * _INSIDE * dx / long  # anticlockwise: the inside is on the left
    x0, y0, x1, y1 = profile.bounds
    yield (x0 + x1) / 2, (y0 + y1) / 2
