"""Does a turn about an axis strike anything? Conservative advancement, ring by ring, with a floor under the step.

The moving body's core is cut into rings about the axis (``_rings``), each a set of triangles whose farthest point is at most
twice as far from the axis as its nearest one, down to ``_INNERMOST``. A ring of outer radius R turned by an angle a moves
none of its points by more than R a. So where the ring is D away from the obstacle's core, it can be turned by D / R and
meets nothing on the way; then the distance is taken anew. Near the pin, where bodies stay close for the whole turn, R is
small and the steps stay large: that is what the rings are for.

The guarantee. Steps are never smaller than ``FLOOR`` / R, so that bodies that touch, or slide along each other, do not stall
the search; between two places that are looked at no point moves more than the larger of the distance known to be free and
``FLOOR``. Cores lie at most ``max_depth`` below their surfaces. Therefore an overlap that is deeper than
``FLOOR`` + both max_depths at some angle is met at some place looked at: the core of one then reaches into that of the
other at the place before it or after it. Nothing as thick as that is stepped over, and what merely touches is no hit,
as with the straight sweep. The first contact is told to ``FLOOR`` of the path of the point that strikes and bisected down to
``_ACCURACY`` degrees where the step before it was free; like every hit it is that of the cores, so it comes late by the turn
that it takes to go their two depths deep.

A body that lies wholly within the other at the start overlaps it there (0 degrees); one that comes to lie within the other
later has crossed its surface before.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault, InputFault
from deskmodel.fit.placed import Placed, matrix_of, place, vec
from deskmodel.fit.problem import Body, NotMeasured
from deskmodel.fit.travelled import known
from deskmodel.frames import Vec, norm, unit
from deskmodel.meshes.prepared import PreparedShape
from deskmodel.meshes.store import ShapeStore
from deskmodel.meshes.tiles import tree

__all__ = ["FLOOR", "SwingHit", "SwingReport", "swing"]

FLOOR = 0.02
"""mm that a point moves at most between two places looked at where bodies are nearer to each other than that: twice the
depth from which an overlap must be found (tolerances.OVERLAP)."""

_ACCURACY = 0.002  # degrees of turn
_INNERMOST = 1.0  # mm; a ring within this radius is not divided further
_LOOK = 0.02  # mm past the first contact, where the point of contact is read
_MEETS = 1e-7  # mm; nearer than this the yes or no of a collision decides
_MOST_STEPS = 200_000
_BOX_STEP = math.radians(3)


@dataclass(frozen=True, slots=True)
class SwingHit:
    """``moving`` strikes ``other`` after ``angle`` degrees (0: they overlap at the start) at ``point`` (desk frame)."""

    other: str
    moving: str
    angle: float
    point: Vec


@dataclass(frozen=True, slots=True)
class SwingReport:
    """Hits, the first to happen first, and the pairs that could not be judged."""

    hits: tuple[SwingHit, ...] = ()
    not_measured: tuple[NotMeasured, ...] = ()


def swing(store: ShapeStore, moving: Sequence[Body], others: Sequence[Body], point: Vec, axis: Vec,
          angle: float) -> SwingReport:
    """``moving`` all turn about the axis through ``point`` along ``axis`` (desk frame, any length but 0, right-handed)
    from 0 to ``angle`` degrees; ``others`` stay. Roles, owners and gaps count for nothing here.

    Raises InputFault for no axis or an angle outside 0 to 360."""
    if not 0.0 <= angle <= 360.0 or norm(axis) == 0.0:
        raise InputFault(f"a turn of {angle!r}° about {axis}", allowed="0 to 360° about an axis")
    hits: list[SwingHit] = []
    unknown: list[NotMeasured] = []
    still = [(body, *_prepared(store, body)) for body in others]
    nowhere = np.zeros((2, 3))
    around = place([body.pose for body, _, _ in still],
                   np.array([nowhere if shape is None else shape.box for _, shape, _ in still]).reshape(-1, 2, 3))
    for body in moving:
        shape, why = _prepared(store, body)
        if shape is None:
            unknown += [NotMeasured(body.name, other.name, why) for other, _, _ in still]
            continue
        path = _Turn(body, shape, np.array(point), np.array(unit(axis)), math.radians(angle))
        for (other, obstacle, reason), near in zip(still, path.may_meet(around), strict=True):
            if obstacle is None:
                unknown.append(NotMeasured(body.name, other.name, reason))
            if obstacle is None or not near:
                continue
            key = (shape.key, body.pose, obstacle.key, other.pose, point, axis, angle)
            try:
                first = known(key, partial(path.first_contact, other, obstacle))
            except BuildFault as fault:
                unknown.append(NotMeasured(body.name, other.name, str(fault)))
                continue
            if first is not None:
                hits.append(SwingHit(other.name, body.name, math.degrees(first[0]), first[1]))
    return SwingReport(tuple(sorted(hits, key=lambda hit: (hit.angle, hit.moving, hit.other))), tuple(unknown))


def _prepared(store: ShapeStore, body: Body) -> tuple[PreparedShape | None, str]:
    try:
        return store.prepared(body.shape), ""
    except BuildFault as fault:
        return None, str(fault)


@dataclass(frozen=True, slots=True, eq=False)
class _Ring:
    """Triangles of a core, ``corners`` (m, 3, 3) in the frame of the axis (z along it), none farther from it than
    ``radius``; ``low``, ``high``: the box of everywhere they come, in the same frame."""

    corners: NDArray[np.float64]
    radius: float
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    bvh: Any


class _Turn:
    """One body's turn, in the frame of the axis: z along it, origin at the given point."""

    def __init__(self, body: Body, shape: PreparedShape, point: NDArray[np.float64], axis: NDArray[np.float64],
                 angle: float) -> None:
        import fcl

        self._fcl = fcl
        self._shape = shape
        self._angle = angle
        side = np.eye(3)[int(np.argmin(np.abs(axis)))]
        x = np.cross(side, axis)
        x /= np.linalg.norm(x)
        self._frame = np.column_stack([x, np.cross(axis, x), axis])  # columns: its axes in the desk
        self._point = point
        rotation, origin = self._here(body)
        self._rotation, self._origin = rotation, origin
        self._rings = _rings((shape.core @ rotation.T + origin)[shape.triangles], angle)

    def _here(self, body: Body) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        rotation, origin = matrix_of(body.pose)
        return self._frame.T @ rotation, self._frame.T @ (origin - self._point)

    def may_meet(self, around: Placed) -> NDArray[np.bool_]:
        """(n,) whether the bodies with these boxes meet the boxes about the turn."""
        turned = np.abs(self._frame.T)  # a box of the desk stays within one of the axis's frame
        middle = ((around.low + around.high) / 2 - self._point) @ self._frame
        half = (around.high - around.low) / 2 @ turned.T
        own = (self._shape.core @ self._rotation.T + self._origin)
        low = np.min([own.min(axis=0), *(ring.low for ring in self._rings)], axis=0)
        high = np.max([own.max(axis=0), *(ring.high for ring in self._rings)], axis=0)
        met: NDArray[np.bool_] = (middle - half < high).all(axis=1) & (middle + half > low).all(axis=1)
        return met

    def first_contact(self, other: Body, obstacle: PreparedShape) -> tuple[float, Vec] | None:
        """Angle (radians) and point (desk frame) of the first contact on the whole turn, or None."""
        rotation, origin = self._here(other)
        placed = place([other.pose], obstacle.box[None])
        corners = np.array([[(placed.low[0], placed.high[0])[i >> k & 1][k] for k in range(3)] for i in range(8)])
        boxed = (corners - self._point) @ self._frame
        low, high = boxed.min(axis=0), boxed.max(axis=0)
        rings = [ring for ring in self._rings if (ring.low < high).all() and (ring.high > low).all()]
        still = self._fcl.CollisionObject(obstacle.bvh, self._fcl.Transform(rotation, origin))
        inside = self._contained(obstacle, rotation, origin)
        if inside is not None:
            return 0.0, inside
        best: float | None = None
        for ring in rings:
            found = self._advance(ring, still, self._angle if best is None else best)
            if found is not None:
                best = found
        if best is None:
            return None
        return best, self._contact(best, rings, still)

    def _advance(self, ring: _Ring, still: Any, until: float) -> float | None:
        """The first angle up to ``until`` at which the ring meets the obstacle, or None."""
        free, turned = 0.0, 0.0
        for _ in range(_MOST_STEPS):
            distance = self._distance(ring, still, turned)
            if distance <= 0.0:
                return self._bisected(ring, still, free, turned)
            free = turned
            if turned >= until:
                return None
            turned = min(turned + max(distance, FLOOR) / ring.radius, until)
        raise BuildFault(f"a turn past it takes more than {_MOST_STEPS} steps")

    def _bisected(self, ring: _Ring, still: Any, free: float, met: float) -> float:
        while met - free > math.radians(_ACCURACY):
            middle = (free + met) / 2
            if self._distance(ring, still, middle) <= 0.0:
                met = middle
            else:
                free = middle
        return met

    def _distance(self, ring: _Ring, still: Any, turned: float) -> float:
        """mm between the turned ring and the obstacle; 0 where they meet."""
        fcl = self._fcl
        mover = fcl.CollisionObject(ring.bvh, fcl.Transform(_about_z(turned), np.zeros(3)))
        distance = float(fcl.distance(mover, still, fcl.DistanceRequest(), fcl.DistanceResult()))
        if distance > _MEETS:
            return distance
        meets = fcl.collide(mover, still, fcl.CollisionRequest(num_max_contacts=1), fcl.CollisionResult())
        return 0.0 if meets else _MEETS

    def _contained(self, obstacle: PreparedShape, rotation: NDArray[np.float64],
                   origin: NDArray[np.float64]) -> Vec | None:
        """A point (desk frame) that lies in both at the start, from one wholly within the other; or None."""
        probes = self._shape.probes @ self._rotation.T + self._origin
        held = probes[obstacle.inside_core((probes - origin) @ rotation)]
        if not len(held):
            probes = obstacle.probes @ rotation.T + origin
            held = probes[self._shape.inside_core((probes - self._origin) @ self._rotation)]
        return vec(self._frame @ held[0] + self._point) if len(held) else None

    def _contact(self, turned: float, rings: Sequence[_Ring], still: Any) -> Vec:
        """A point, in the desk's frame, where the body just past the first contact meets the obstacle."""
        fcl = self._fcl
        found: list[NDArray[np.float64]] = []
        for ring in rings:
            past = min(turned + _LOOK / ring.radius, self._angle)
            mover = fcl.CollisionObject(ring.bvh, fcl.Transform(_about_z(past), np.zeros(3)))
            result = fcl.CollisionResult()
            fcl.collide(mover, still, fcl.CollisionRequest(num_max_contacts=64, enable_contact=True), result)
            found += [np.array(contact.pos) for contact in result.contacts]
        points = np.array(found, dtype=np.float64).reshape(-1, 3)
        middle = points.mean(axis=0) if len(points) else rings[-1].corners[0].mean(axis=0) @ _about_z(turned).T
        return vec(self._frame @ middle + self._point)


def _about_z(angle: float) -> NDArray[np.float64]:
    c, s = math.cos(angle), math.sin(angle)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def _rings(corners: NDArray[np.float64], angle: float) -> list[_Ring]:
    """The triangles (m, 3, 3), cut where they reach far across the rings, sorted into rings; the outermost first."""
    pieces = _cut(corners)
    _, far = _reach(pieces)
    number = np.ceil(np.log2(np.maximum(far, _INNERMOST) / _INNERMOST) - 1e-9).astype(int)
    made = []
    for k in sorted(set(number.tolist()), reverse=True):
        mine = pieces[number == k]
        radius = float(far[number == k].max())
        points, index = np.unique(mine.reshape(-1, 3), axis=0, return_inverse=True)
        low, high = _swept_box(points, max(radius, 1e-9), angle)
        made.append(_Ring(mine, max(radius, 1e-9), low, high, tree(points, index.reshape(-1, 3))))
    return made


def _reach(corners: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Least and greatest distance of each triangle's points from the z axis; the least by the distance of the triangle's
    shadow from the origin."""
    flat = corners[..., :2]
    radius = np.linalg.norm(flat, axis=2)
    near = np.full(len(flat), np.inf)
    signs = []
    for k in range(3):
        a, b = flat[:, k], flat[:, (k + 1) % 3]
        way = b - a
        long = np.einsum("ij,ij->i", way, way)
        t = np.clip(-np.einsum("ij,ij->i", a, way) / np.where(long > 0, long, 1.0), 0.0, 1.0)
        near = np.minimum(near, np.linalg.norm(a + t[:, None] * way, axis=1))
        signs.append(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
    turns = np.array(signs)
    around = ((turns > 0).all(axis=0) | (turns < 0).all(axis=0))
    near[around] = 0.0
    return near, radius.max(axis=1)


def _cut(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """The same surface in triangles that reach at most twice as far from the z axis as they are near, or lie within
    ``_INNERMOST``: each too long is halved across its longest shadow, again and again."""
    done: list[NDArray[np.float64]] = []
    while len(corners):
        near, far = _reach(corners)
        whole = far <= np.maximum(2.0 * near, _INNERMOST) + 1e-9
        done.append(corners[whole])
        corners = corners[~whole]
        if not len(corners):
            break
        flat = corners[..., :2]
        lengths = np.linalg.norm(np.roll(flat, -1, axis=1) - flat, axis=2)
        first = lengths.argmax(axis=1)
        rows = np.arange(len(corners))
        a, b, c = corners[rows, first], corners[rows, (first + 1) % 3], corners[rows, (first + 2) % 3]
        middle = (a + b) / 2
        corners = np.concatenate([np.stack([a, middle, c], axis=1), np.stack([middle, b, c], axis=1)])
    return np.concatenate(done)


def _swept_box(points: NDArray[np.float64], radius: float, angle: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """A box about all places of the points during the turn: of places ``_BOX_STEP`` apart, and the arc's rise between."""
    steps = max(2, math.ceil(angle / _BOX_STEP) + 1)
    apart = angle / (steps - 1)
    places = [points @ _about_z(angle * i / (steps - 1)).T for i in range(steps)]
    low, high = np.min([p.min(axis=0) for p in places], axis=0), np.max([p.max(axis=0) for p in places], axis=0)
    rise = np.array([1.0, 1.0, 0.0]) * radius * (1 - math.cos(apart / 2))
    return low - rise, high + rise
