"""Does a straight lift strike anything? Exact for translation: the shell of the swept volume, no time steps.

The shell of a body moved straight by a vector v is its own surface at the start, its front faces (those that look
along v) at the end, and a wall on every edge between a front face and another. What the body meets on its way crosses
this shell or lies wholly inside it. Cores are used on both sides, so parts that touch at the start or slide along each
other are clear of each other and no hit; a part that overlaps the body at the start is a hit after 0 mm.

Whether the shell of a shorter way is struck can only change once, from no to yes: the travel at first contact is found by
bisection, for what strikes only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault, InputFault
from deskmodel.fit.placed import matrix_of, place, vec
from deskmodel.fit.problem import Body, NotMeasured
from deskmodel.fit.travelled import known
from deskmodel.frames import Vec, norm, scale, unit
from deskmodel.meshes.prepared import PreparedShape
from deskmodel.meshes.store import ShapeStore
from deskmodel.meshes.tiles import Tile, tree
from deskmodel.meshes.vectors import cross, normals_of

__all__ = ["SweepHit", "SweepReport", "shell", "sweep"]

_ACCURACY = 0.005  # mm of travel
_KEPT = 64
_WHOLE_WAYS: dict[tuple[Any, ...], Any] = {}
"""Trees of whole swept shells, by shape and way in its own frame; the oldest go."""
_LOOK = 0.02  # mm past the first contact, where the point of contact is read


@dataclass(frozen=True, slots=True)
class SweepHit:
    """``moving`` strikes ``other`` after ``travel`` mm (to 0.02 mm; 0: they overlap at the start) at ``point`` (desk
    frame)."""

    other: str
    moving: str
    travel: float
    point: Vec


@dataclass(frozen=True, slots=True)
class SweepReport:
    """Hits, the first to happen first, and the pairs that could not be judged."""

    hits: tuple[SweepHit, ...] = ()
    not_measured: tuple[NotMeasured, ...] = ()


def sweep(store: ShapeStore, moving: Sequence[Body], others: Sequence[Body], direction: Vec, travel: float) -> SweepReport:
    """``moving`` all move straight along ``direction`` (any length but 0, desk frame) by ``travel`` mm; ``others`` stay.

    Roles, owners and gaps count for nothing here: hand in the bodies that matter. Raises InputFault for no direction
    or a travel below 0.
    """
    if not 0.0 <= travel < 1e7 or norm(direction) == 0.0:
        raise InputFault(f"a travel of {travel!r} mm along {direction}", allowed="0 or more mm along a direction")
    way = scale(unit(direction), travel)
    hits: list[SweepHit] = []
    unknown: list[NotMeasured] = []
    still = [(body, *_prepared(store, body)) for body in others]
    nowhere = np.zeros((2, 3))
    around = place([body.pose for body, _, _ in still],
                   np.array([nowhere if shape is None else shape.box for _, shape, _ in still]).reshape(-1, 2, 3))
    low, high = around.low, around.high
    for body in moving:
        shape, why = _prepared(store, body)
        if shape is None:
            unknown += [NotMeasured(body.name, other.name, why) for other, _, _ in still]
            continue
        path = _Path(body, shape, np.array(way))
        for (other, obstacle, reason), near in zip(still, path.may_meet(low, high), strict=True):
            if obstacle is None:
                unknown.append(NotMeasured(body.name, other.name, reason))
            elif near:
                key = (shape.key, body.pose, obstacle.key, other.pose, way)
                first = known(key, partial(path.first_contact, other, obstacle))
                if first is not None:
                    hits.append(SweepHit(other.name, body.name, *first))
    return SweepReport(tuple(sorted(hits, key=lambda hit: (hit.travel, hit.moving, hit.other))), tuple(unknown))


def _prepared(store: ShapeStore, body: Body) -> tuple[PreparedShape | None, str]:
    try:
        return store.prepared(body.shape), ""
    except BuildFault as fault:
        return None, str(fault)


def shell(vertices: NDArray[np.float64], triangles: NDArray[np.integer],
          way: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Vertices and triangles of the shell of a closed surface moved straight by ``way``. Walls are not oriented."""
    corners = vertices[triangles]
    normals = normals_of(corners)
    front = normals @ way > 1e-9 * np.linalg.norm(normals, axis=1) * np.linalg.norm(way)
    mine = triangles.astype(np.int64)
    n = len(vertices)
    ahead = mine[front]
    a, b = ahead.ravel(), np.roll(ahead, -1, axis=1).ravel()
    # an edge between two front triangles is met twice, once each way
    lone = ~np.isin(a * n + b, b * n + a)
    a, b = a[lone], b[lone]
    walls = np.concatenate([np.column_stack([a, b, b + n]), np.column_stack([a, b + n, a + n])])
    return np.concatenate([vertices, vertices + way]), np.concatenate([mine, ahead + n, walls])


class _Path:
    """One body's way, in its own frame."""

    def __init__(self, body: Body, shape: PreparedShape, way: NDArray[np.float64]) -> None:
        import fcl

        self._fcl = fcl
        self._shape = shape
        self._rotation, self._origin = matrix_of(body.pose)
        self._way = way @ self._rotation
        self._length = float(np.linalg.norm(way))
        placed = place([body.pose], shape.box[None])
        self._low = np.minimum(placed.low[0], placed.low[0] + way)
        self._high = np.maximum(placed.high[0], placed.high[0] + way)

    def may_meet(self, low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.bool_]:
        """(n,) whether boxes (n, 3), (n, 3) meet the box about the whole way."""
        met: NDArray[np.bool_] = (low < self._high).all(axis=1) & (high > self._low).all(axis=1)
        return met

    def first_contact(self, other: Body, obstacle: PreparedShape) -> tuple[float, Vec] | None:
        """Travel (mm) and point (desk frame) of the first contact on the whole way, or None."""
        rotation, origin = matrix_of(other.pose)
        there = (self._rotation.T @ rotation, self._rotation.T @ (origin - self._origin))
        if not self._struck(1.0, obstacle, there):
            return None
        low, high = 0.0, 1.0
        if self._length == 0.0 or self._struck(0.0, obstacle, there):
            high = 0.0
        while (high - low) * self._length > _ACCURACY:
            middle = (low + high) / 2
            if self._struck(middle, obstacle, there):
                high = middle
            else:
                low = middle
        point = self._contact(high, obstacle, there)
        return high * self._length, vec(self._rotation @ point + self._origin)

    def _struck(self, part: float, obstacle: PreparedShape, there: tuple[NDArray[np.float64], NDArray[np.float64]]) -> bool:
        """Whether the first ``part`` (0 to 1) of the way strikes."""
        rotation, origin = there
        fcl = self._fcl
        mover = fcl.CollisionObject(self._tree(part), fcl.Transform())
        for tile in self._near(obstacle, there, part):
            still = fcl.CollisionObject(tile.bvh, fcl.Transform(rotation, origin))
            if fcl.collide(mover, still, fcl.CollisionRequest(num_max_contacts=1), fcl.CollisionResult()):
                return True
        inside = obstacle.inside_core((self._shape.probes - origin) @ rotation)
        return bool(inside.any() or self._swallowed(part, obstacle.probes @ rotation.T + origin))

    def _near(self, obstacle: PreparedShape, there: tuple[NDArray[np.float64], NDArray[np.float64]],
              part: float) -> list[Tile]:
        """The obstacle's tiles whose boxes meet the swept box."""
        rotation, origin = there
        ends = np.stack([self._shape.box, self._shape.box + self._way * part])
        low, high = ends[:, 0].min(axis=0), ends[:, 1].max(axis=0)
        centre, half = rotation.T @ ((low + high) / 2 - origin), np.abs(rotation.T) @ (high - low) / 2
        lows, highs = obstacle.tile_boxes
        meets = (lows <= centre + half).all(axis=1) & (highs >= centre - half).all(axis=1)
        return [obstacle.tiles[int(k)] for k in np.flatnonzero(meets)]

    def _swallowed(self, part: float, points: NDArray[np.float64]) -> bool:
        """Whether a point lies in the swept volume: inside at the start, or the surface passes through it."""
        if bool(self._shape.inside_core(points).any()):
            return True
        if part == 0.0 or self._length == 0.0:
            return False
        corners = self._shape.core[self._shape.triangles]
        return any(_crossed(corners, point, -self._way * part) for point in points)

    def _tree(self, part: float) -> Any:
        if part == 0.0 or self._length == 0.0:
            return self._shape.bvh
        key = self._shape.key, tuple(np.round(self._way, 9))
        found = _WHOLE_WAYS.get(key) if part == 1.0 else None
        if found is None:
            vertices, triangles = shell(self._shape.core, self._shape.triangles, self._way * part)
            found = tree(vertices, triangles)
            if part == 1.0:  # asked for every obstacle, and for the same cover after every edit
                _WHOLE_WAYS[key] = found
                while len(_WHOLE_WAYS) > _KEPT:
                    del _WHOLE_WAYS[next(iter(_WHOLE_WAYS))]
        return found

    def _contact(self, part: float, obstacle: PreparedShape,
                 there: tuple[NDArray[np.float64], NDArray[np.float64]]) -> NDArray[np.float64]:
        """A point, in the body's frame, where the body just past the first contact meets the obstacle."""
        fcl = self._fcl
        step = self._way / self._length * min(part * self._length + _LOOK, self._length) if self._length else self._way
        mover = fcl.CollisionObject(self._shape.bvh, fcl.Transform(np.eye(3), step))
        found: list[NDArray[np.float64]] = []
        for tile in self._near(obstacle, there, 1.0):
            result = fcl.CollisionResult()
            fcl.collide(mover, fcl.CollisionObject(tile.bvh, fcl.Transform(*there)),
                        fcl.CollisionRequest(num_max_contacts=64, enable_contact=True), result)
            found += [np.array(contact.pos) for contact in result.contacts]
        points = np.array(found, dtype=np.float64).reshape(-1, 3)
        if len(points):
            middle: NDArray[np.float64] = points.mean(axis=0)
            return middle
        rotation, origin = there
        # one swallows the other: the middle of the smaller is as good a place as any
        inner = obstacle.probes[0] @ rotation.T + origin
        if obstacle.inside_core((self._shape.probes[:1] + step - origin) @ rotation)[0]:
            inner = self._shape.probes[0] + step
        return np.asarray(inner, dtype=np.float64)


def _crossed(corners: NDArray[np.float64], start: NDArray[np.float64], way: NDArray[np.float64]) -> bool:
    """Whether the stretch from ``start`` along ``way`` passes a triangle (Möller and Trumbore, 1997)."""
    e1, e2 = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    p = cross(way, e2)
    det = np.einsum("ij,ij->i", e1, p)
    open_ = np.abs(det) > 1e-15
    inverse = 1.0 / np.where(open_, det, 1.0)
    s = start - corners[:, 0]
    u = np.einsum("ij,ij->i", s, p) * inverse
    q = cross(s, e1)
    v = (q @ way) * inverse
    t = np.einsum("ij,ij->i", e2, q) * inverse
    return bool((open_ & (u >= 0) & (v >= 0) & (u + v <= 1) & (t >= 0) & (t <= 1)).any())
