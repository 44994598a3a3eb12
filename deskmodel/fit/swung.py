"""Does a turn about an axis strike anything? Conservative advancement, ring by ring, with a floor under the step.

The moving body's core is cut into rings about the axis (``rings.py``), each a set of triangles whose farthest point is at
most twice as far from the axis as its nearest one, down to 1 mm. A ring of outer radius R turned by an angle a moves
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
from functools import cached_property, partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault, InputFault
from deskmodel.fit.placed import matrix_of, vec
from deskmodel.fit.problem import Body, NotMeasured
from deskmodel.fit.rings import Ring, about_z, box_corners, rings_of, swept_box
from deskmodel.fit.ways import Contact, KnownWays, seen_from
from deskmodel.frames import Vec, norm, unit
from deskmodel.meshes.prepared import PreparedShape
from deskmodel.meshes.store import ShapeStore
from deskmodel.meshes.tiles import tree
from deskmodel.meshes.vectors import boxes_of

__all__ = ["FLOOR", "SwingHit", "SwingReport", "swing"]

Place = tuple[NDArray[np.float64], NDArray[np.float64]]  # rotation (3, 3) and origin (3,)

FLOOR = 0.02
"""mm that a point moves at most between two places looked at where bodies are nearer to each other than that: twice the
depth from which an overlap must be found (tolerances.OVERLAP)."""

_ACCURACY = 0.002  # degrees of turn
_LOOK = 0.02  # mm past the first contact, where the point of contact is read
_MEETS = 1e-7  # mm; nearer than this the yes or no of a collision decides
_MOST_STEPS = 200_000


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
    prepared = [(body, *_prepared(store, body)) for body in others]
    still = [(body, shape) for body, shape, _ in prepared if shape is not None]
    unprepared = [(body, why) for body, shape, why in prepared if shape is None]
    corners = np.array([box_corners(shape.box) for _, shape in still]).reshape(-1, 8, 3)
    for body in moving:
        shape, why = _prepared(store, body)
        if shape is None:
            unknown += [NotMeasured(body.name, other.name, why) for other in others]
            continue
        unknown += [NotMeasured(body.name, other.name, reason) for other, reason in unprepared]
        rotation, origin = matrix_of(body.pose)
        path = _Turn(shape, np.round((np.array(point) - origin) @ rotation, 6), np.round(np.array(unit(axis)) @ rotation, 9),
                     math.radians(angle))
        ways = KnownWays(store.cache, "turn", body.shape.key, path.numbers)
        rel = seen_from(body, [other for other, _ in still])
        for row in path.may_meet(corners, rel.rotation, rel.origin):
            other, obstacle = still[row]
            there = rel.rotation[row], rel.origin[row]
            try:
                first = ways.first_contact(other.shape.key, rel.keys[row], partial(path.first_contact, obstacle, there))
            except BuildFault as fault:
                unknown.append(NotMeasured(body.name, other.name, str(fault)))
                continue
            if first is not None:
                hits.append(SwingHit(other.name, body.name, math.degrees(first[0]), vec(rotation @ first[1] + origin)))
    return SwingReport(tuple(sorted(hits, key=lambda hit: (hit.angle, hit.moving, hit.other))), tuple(unknown))


def _prepared(store: ShapeStore, body: Body) -> tuple[PreparedShape | None, str]:
    try:
        return store.prepared(body.shape), ""
    except BuildFault as fault:
        return None, str(fault)


class _Turn:
    """One body's turn. Points, the axis and the places of obstacles (rotation, origin) are given and told in the frame of
    the body; inside, all is in the frame of the axis: z along it, origin at the given point."""

    def __init__(self, shape: PreparedShape, point: NDArray[np.float64], axis: NDArray[np.float64], angle: float) -> None:
        import fcl

        self._fcl = fcl
        self._shape = shape
        self._angle = angle
        self.numbers = [*point.tolist(), *axis.tolist(), angle]
        axis = axis / np.linalg.norm(axis)
        side = np.eye(3)[int(np.argmin(np.abs(axis)))]
        x = np.cross(side, axis)
        x /= np.linalg.norm(x)
        self._frame = np.column_stack([x, np.cross(axis, x), axis])  # columns: its axes in the body
        self._point = point
        corners = self._inside(box_corners(shape.box))
        self._low, self._high = swept_box(corners, float(np.linalg.norm(corners[:, :2], axis=1).max()), angle)

    def _inside(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Points of the body's frame in that of the axis."""
        moved: NDArray[np.float64] = (points - self._point) @ self._frame
        return moved

    @cached_property
    def _rings(self) -> list[Ring]:
        return rings_of(self._inside(self._shape.core)[self._shape.triangles], self._angle)

    def _box(self, obstacle: PreparedShape, there: Place) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        rotation, origin = there
        boxed = self._inside(box_corners(obstacle.box) @ rotation.T + origin)
        return boxed.min(axis=0), boxed.max(axis=0)

    def may_meet(self, corners: NDArray[np.float64], rotation: NDArray[np.float64],
                 origin: NDArray[np.float64]) -> list[int]:
        """Which obstacles' boxes meet the box of all places of the body: ``corners`` (n, 8, 3) of their boxes in their own
        frames, which stand at ``rotation`` (n, 3, 3) and ``origin`` (n, 3)."""
        boxed = self._inside(np.einsum("nij,nkj->nki", rotation, corners) + origin[:, None, :])
        meet = (self._low < boxed.max(axis=1)).all(axis=1) & (self._high > boxed.min(axis=1)).all(axis=1)
        return [int(row) for row in np.flatnonzero(meet)]

    def first_contact(self, obstacle: PreparedShape, there: Place) -> Contact | None:
        """Angle (radians) and point of the first contact on the whole turn, or None."""
        inside = self._contained(obstacle, there)
        if inside is not None:
            return 0.0, inside
        low, high = self._box(obstacle, there)
        rings = [ring for ring in self._rings if (ring.low < high).all() and (ring.high > low).all()]
        still = self._still(obstacle, there, rings)
        best: float | None = None
        for ring in rings if still is not None else []:
            found = self._advance(ring, still, self._angle if best is None else best)
            if found is not None:
                best = found
        if best is None:
            return None
        return best, self._contact(best, rings, still)

    def _still(self, obstacle: PreparedShape, there: Place, rings: Sequence[Ring]) -> Any | None:
        """The obstacle's core as fcl sees it, as far as one of the rings comes: the rest is never met."""
        rotation, origin = there
        points = self._inside(obstacle.core @ rotation.T + origin)
        corners = points[obstacle.triangles]
        lows, highs = boxes_of(corners)
        near = np.zeros(len(corners), dtype=bool)
        for ring in rings:
            near |= (lows <= ring.high).all(axis=1) & (highs >= ring.low).all(axis=1)
        if not near.any():
            return None
        used, local = np.unique(obstacle.triangles[near], return_inverse=True)
        return self._fcl.CollisionObject(tree(points[used], local.reshape(-1, 3)), self._fcl.Transform())

    def _advance(self, ring: Ring, still: Any, until: float) -> float | None:
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

    def _bisected(self, ring: Ring, still: Any, free: float, met: float) -> float:
        while met - free > math.radians(_ACCURACY):
            middle = (free + met) / 2
            if self._distance(ring, still, middle) <= 0.0:
                met = middle
            else:
                free = middle
        return met

    def _distance(self, ring: Ring, still: Any, turned: float) -> float:
        """mm between the turned ring and the obstacle; 0 where they meet."""
        fcl = self._fcl
        mover = fcl.CollisionObject(ring.bvh, fcl.Transform(about_z(turned), np.zeros(3)))
        distance = float(fcl.distance(mover, still, fcl.DistanceRequest(), fcl.DistanceResult()))
        if distance > _MEETS:
            return distance
        meets = fcl.collide(mover, still, fcl.CollisionRequest(num_max_contacts=1), fcl.CollisionResult())
        return 0.0 if meets else _MEETS

    def _contained(self, obstacle: PreparedShape, there: Place) -> NDArray[np.float64] | None:
        """A point that lies in both at the start, from one wholly within the other; or None."""
        rotation, origin = there
        probes = self._shape.probes
        held = probes[obstacle.inside_core((probes - origin) @ rotation)]
        if not len(held):
            probes = obstacle.probes @ rotation.T + origin
            held = probes[self._shape.inside_core(probes)]
        return np.asarray(held[0]) if len(held) else None

    def _contact(self, turned: float, rings: Sequence[Ring], still: Any) -> NDArray[np.float64]:
        """A point where the body just past the first contact meets the obstacle."""
        fcl = self._fcl
        found: list[NDArray[np.float64]] = []
        for ring in rings:
            past = min(turned + _LOOK / ring.radius, self._angle)
            mover = fcl.CollisionObject(ring.bvh, fcl.Transform(about_z(past), np.zeros(3)))
            result = fcl.CollisionResult()
            fcl.collide(mover, still, fcl.CollisionRequest(num_max_contacts=64, enable_contact=True), result)
            found += [np.array(contact.pos) for contact in result.contacts]
        points = np.array(found, dtype=np.float64).reshape(-1, 3)
        middle = points.mean(axis=0) if len(points) else rings[-1].corners[0].mean(axis=0) @ about_z(turned).T
        return np.asarray(self._frame @ middle + self._point)
