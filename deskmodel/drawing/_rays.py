"""Many points and rays asked of one body at once: the answers of ``_solids.Body`` as arrays.

Rays run along +z. Points are (n, 3) float, mm, in the frame of the body. The sums are those of ``_solids``, in the same
order, so that both agree to the last digit but for sines.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from deskmodel._edges import Edge, Point, arc_circle
from deskmodel.drawing._solids import LEVEL, Body
from deskmodel.features import Prism
from deskmodel.frames import Vec
from deskmodel.profiles import Profile

__all__ = ["Bools", "Floats", "Rows", "Spans", "contains", "spans_up"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Rows = NDArray[np.int64]
Spans = tuple[Rows, Floats, Floats]
"""(which ray, from, to): mm along the ray; a ray may have several or none."""


def _local(body: Body, p: Floats) -> tuple[Floats, Floats, Floats]:
    (ax, ay, az), (bx, by, bz), (cx, cy, cz), (ox, oy, oz) = body.frame
    x, y, z = p[:, 0] - ox, p[:, 1] - oy, p[:, 2] - oz
    return ax * x + ay * y + az * z, bx * x + by * y + bz * z, cx * x + cy * y + cz * z


def contains(body: Body, p: Floats) -> Bools:
    """Of points in the body's box."""
    shape = body.shape
    x, y, z = _local(body, p)
    if not isinstance(shape, Prism):
        radius, crossed = np.hypot(x, y), np.zeros(len(p), bool)
        for (r0, z0), (r1, z1) in pairwise((*shape.half, shape.half[0])):
            if z0 != z1:
                crossed ^= ((z0 > z) != (z1 > z)) & (radius < r0 + (z - z0) / (z1 - z0) * (r1 - r0))
        return crossed
    within: Bools = (z >= 0.0) & (z <= shape.depth)
    if body.round:
        cx, cy, square = body.round
        return within & ((x - cx) ** 2 + (y - cy) ** 2 <= square)
    if body.rectangle:
        u0, v0, u1, v1 = body.rectangle
        return within & (u0 <= x) & (x <= u1) & (v0 <= y) & (y <= v1)
    rows = np.flatnonzero(within)
    within[rows] = _in_profile(shape.profile, x[rows], y[rows])
    return within


def _in_profile(profile: Profile, x: Floats, y: Floats) -> Bools:
    """As ``Profile.contains``."""
    x0, y0, x1, y1 = profile.bounds
    winding = np.zeros(len(x))
    for edge in profile.edges():
        start, end, bulge = edge
        ax, ay, bx, by = start[0] - x, start[1] - y, end[0] - x, end[1] - y
        side = ax * by - ay * bx + 0.0
        winding += np.arctan2(side, ax * bx + ay * by)
        if bulge:
            centre, radius, _, _ = arc_circle(edge)
            beyond = ((side < 0) == (bulge > 0)) & (np.hypot(x - centre[0], y - centre[1]) < radius)
            winding[beyond] += math.copysign(2 * math.pi, bulge)
    found: Bools = (x0 <= x) & (x <= x1) & (y0 <= y) & (y <= y1) & (np.abs(winding) > math.pi)
    return found


def spans_up(body: Body, p: Floats) -> Iterator[Spans]:
    """As ``Body.spans`` along +z; of points below or above the body's box."""
    shape = body.shape
    (_, _, dx), (_, _, dy), (_, _, dz), _ = body.frame
    x, y, z = _local(body, p)
    if not isinstance(shape, Prism):
        yield from _through_turned(body, p, (x, y, z), (dx, dy, dz))
        return
    rows = np.arange(len(p))
    if abs(dz) > LEVEL:
        ends = -z / dz, (shape.depth - z) / dz
        bottom, top = np.minimum(*ends), np.maximum(*ends)
    else:
        rows = rows[(z >= 0.0) & (z <= shape.depth)]
        bottom, top = np.full(len(p), -math.inf), np.full(len(p), math.inf)
    if math.hypot(dx, dy) <= 1e-9:
        middle = p.copy()
        middle[:, 2] += (bottom + top) / 2
        rows = rows[contains(body, middle)]
        yield rows, bottom[rows], top[rows]
        return
    for rays, low, high in _across(body, x[rows], y[rows], (dx, dy)):
        rays = rows[rays]
        meets = (low < top[rays]) & (high > bottom[rays])
        rays = rays[meets]
        yield rays, np.maximum(low[meets], bottom[rays]), np.minimum(high[meets], top[rays])


def _across(body: Body, x: Floats, y: Floats, d: Point) -> Iterator[Spans]:
    if body.round:
        cx, cy, square = body.round
        x, y = x - cx, y - cy
        a, b, c = d[0] ** 2 + d[1] ** 2, x * d[0] + y * d[1], x * x + y * y - square
        inner = b * b - a * c
        rows = np.flatnonzero(inner > 0)
        root = np.sqrt(inner[rows])
        yield rows, (-b[rows] - root) / a, (-b[rows] + root) / a
        return
    yield from _pairs([t for edge in body.edges for t in _meetings(edge, x, y, d)])


def _pairs(places: Sequence[Floats]) -> Iterator[Spans]:
    """Between the first and second, third and fourth … place of each ray; infinite where there is none."""
    if not places:
        return
    found = np.sort(np.column_stack(places), axis=1)
    for k in range(0, found.shape[1] - 1, 2):
        rows = np.flatnonzero(np.isfinite(found[:, k + 1]))
        if not len(rows):
            return
        yield rows, found[rows, k], found[rows, k + 1]


def _meetings(edge: Edge, px: Floats, py: Floats, d: Point) -> Iterator[Floats]:
    """As ``_solids._meetings``: one or two arrays of t, infinite where the line misses the edge."""
    (x0, y0), (x1, y1), bulge = edge
    one, other = d[0] * (y0 - py) - d[1] * (x0 - px), d[0] * (y1 - py) - d[1] * (x1 - px)
    crossed = (one > 0) != (other > 0)
    square = d[0] * d[0] + d[1] * d[1]
    if not bulge:
        found = np.full(len(px), math.inf)
        rows = np.flatnonzero(crossed)
        share = one[rows] / (one[rows] - other[rows])
        x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        found[rows] = ((x - px[rows]) * d[0] + (y - py[rows]) * d[1]) / square
        yield found
        return
    (cx, cy), radius, start, sweep = arc_circle(edge)
    x, y = px - cx, py - cy
    b, c = x * d[0] + y * d[1], x * x + y * y - radius * radius
    inner = b * b - square * c
    root = np.sqrt(np.maximum(inner, 0.0))
    near, far = (-b - root) / square, (-b + root) / square
    over_near, over_far = (_beyond(x + t * d[0], y + t * d[1], start, sweep) for t in (near, far))
    hit = inner > 0
    both = hit & ~crossed & (over_near <= 1e-9) & (over_far <= 1e-9)
    nearer = (over_near < over_far) | ((over_near == over_far) & (near <= far))
    yield np.where(hit & crossed, np.where(nearer, near, far), np.where(both, near, math.inf))
    yield np.where(both, far, math.inf)


def _beyond(x: Floats, y: Floats, start: float, sweep: float) -> Floats:
    """Radians by which a place of the circle lies off the arc."""
    turned = (np.arctan2(y, x) - start) * math.copysign(1.0, sweep) % (2 * math.pi)
    return np.maximum(0.0, np.minimum(turned - abs(sweep), 2 * math.pi - turned))


def _through_turned(body: Body, p: Floats, local: tuple[Floats, Floats, Floats], d: Vec) -> Iterator[Spans]:
    half = body.shape.half  # type: ignore[union-attr]  # a Revolve
    (x, y, z), (dx, dy, dz) = local, d
    if math.hypot(dx, dy) <= 1e-9:
        levels = _cut(half, 0, np.hypot(x, y))
        yield from _pairs([np.where(np.isfinite(level), (level - z) / dz, math.inf) for level in levels])
        return
    if abs(dz) <= 1e-9:
        middle, square = -(x * dx + y * dy), x**2 + y**2
        for rows, inner, outer in _pairs(_cut(half, 1, z)):
            m, s = middle[rows], square[rows]
            far, near = (np.sqrt(np.maximum(0.0, r * r - s + m * m)) for r in (outer, inner))
            whole, ring = far > 0, (far > 0) & (near > 0)
            yield rows[whole], (m - far)[whole], np.where(ring, m - near, m + far)[whole]
            yield rows[ring], (m + near)[ring], (m + far)[ring]
        return
    found: list[Floats] = []
    for (r0, z0), (r1, z1) in pairwise((*half, half[0])):
        if abs(z1 - z0) <= LEVEL:
            found.append((z0 - z) / dz)
            continue
        slope = (r1 - r0) / (z1 - z0)
        at, grows = r0 + slope * (z - z0), slope * dz
        a, b, c = dx * dx + dy * dy - grows * grows, x * dx + y * dy - at * grows, x * x + y * y - at * at
        if abs(a) <= 1e-14:
            there = np.abs(b) > 1e-14
            found.append(np.where(there, -c / (2 * np.where(there, b, 1.0)), math.inf))
            continue
        inner = b * b - a * c
        root = np.sqrt(np.maximum(inner, 0.0))
        found += [np.where(inner > 0, (-b + sign * root) / a, math.inf) for sign in (-1.0, 1.0)]
    places = np.sort(np.column_stack(found), axis=1)
    low = high = np.full(len(p), -math.inf)
    for k in range(places.shape[1] - 1):
        start, stop = places[:, k], places[:, k + 1]
        rows = np.flatnonzero(np.isfinite(stop))
        rows = rows[stop[rows] - start[rows] > 1e-9]
        middle_points = p[rows].copy()
        middle_points[:, 2] += (start[rows] + stop[rows]) / 2
        rows = rows[_in_turned(body, middle_points)]
        apart = rows[start[rows] - high[rows] >= 1e-9]
        done = apart[np.isfinite(low[apart])]
        yield done, low[done], high[done]
        low, high = low.copy(), high.copy()
        low[apart], high[rows] = start[apart], stop[rows]
    rows = np.flatnonzero(np.isfinite(low))
    yield rows, low[rows], high[rows]


def _in_turned(body: Body, p: Floats) -> Bools:
    low, high = body.box
    found: Bools = (p[:, 2] >= low[2]) & (p[:, 2] <= high[2])
    found[found] = contains(body, p[found])
    return found


def _cut(half: Sequence[Point], axis: int, at: Floats) -> list[Floats]:
    """As ``_solids._cut``, infinite where there is none."""
    found = []
    for a, b in pairwise((*half, half[0])):
        if a[axis] != b[axis]:
            value = a[1 - axis] + (at - a[axis]) / (b[axis] - a[axis]) * (b[1 - axis] - a[1 - axis])
            found.append(np.where((a[axis] > at) != (b[axis] > at), value, math.inf))
    return found
