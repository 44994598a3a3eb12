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
from deskmodel.fit.placed import Placed, matrix_of, place, vec
from deskmodel.fit.problem import Body, NotMeasured
from deskmodel.fit.ways import Contact, KnownWays, seen_from
from deskmodel.frames import Vec, norm, scale, unit
from deskmodel.meshes.prepared import PreparedShape
from deskmodel.meshes.store import ShapeStore
from deskmodel.meshes.tiles import Tile, tree
from deskmodel.meshes.vectors import boxes_of, cross, normals_of

__all__ = ["SweepHit", "SweepReport", "shell", "sweep"]

Place = tuple[NDArray[np.float64], NDArray[np.float64]]  # rotation (3, 3) and origin (3,)

_ACCURACY = 0.005  # mm of travel
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
    way = np.array(scale(unit(direction), travel))
    hits: list[SweepHit] = []
    unknown: list[NotMeasured] = []
    prepared = [(body, *_prepared(store, body)) for body in others]
    still = [(body, shape) for body, shape, _ in prepared if shape is not None]
    unprepared = [(body, why) for body, shape, why in prepared if shape is None]
    boxes = place([body.pose for body, _ in still], np.array([shape.box for _, shape in still]).reshape(-1, 2, 3))
    for body in moving:
        shape, why = _prepared(store, body)
        if shape is None:
            unknown += [NotMeasured(body.name, other.name, why) for other in others]
            continue
        unknown += [NotMeasured(body.name, other.name, reason) for other, reason in unprepared]
        rotation, origin = matrix_of(body.pose)
        path = _Path(shape, np.round(way @ rotation, 9))
        ways = KnownWays(store.cache, "straight", body.shape.key, path.way.tolist())
        near = [still[k] for k in _on_the_way(body, shape, way, boxes)]
        rel = seen_from(body, [other for other, _ in near])
        for row, (other, obstacle) in enumerate(near):
            first = ways.first_contact(other.shape.key, rel.keys[row],
                                       partial(path.first_contact, obstacle, (rel.rotation[row], rel.origin[row])))
            if first is not None:
                hits.append(SweepHit(other.name, body.name, first[0], vec(rotation @ first[1] + origin)))
    return SweepReport(tuple(sorted(hits, key=lambda hit: (hit.travel, hit.moving, hit.other))), tuple(unknown))


def _on_the_way(body: Body, shape: PreparedShape, way: NDArray[np.float64], boxes: Placed) -> list[int]:
    """Which of the boxes meet the box of all places of the body on its way."""
    mine = place([body.pose], shape.box[None])
    low, high = np.minimum(mine.low[0], mine.low[0] + way), np.maximum(mine.high[0], mine.high[0] + way)
    meets = (boxes.low < high).all(axis=1) & (boxes.high > low).all(axis=1)
    return [int(k) for k in np.flatnonzero(meets)]


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
    """One body's way, in its own frame; so are the places of obstacles (rotation, origin) and the points of contact."""

    def __init__(self, shape: PreparedShape, way: NDArray[np.float64]) -> None:
        import fcl

        self._fcl = fcl
        self._shape = shape
        self.way = way
        self._length = float(np.linalg.norm(way))
        self._shells: dict[float, _Shell] = {}

    def first_contact(self, obstacle: PreparedShape, there: Place) -> Contact | None:
        """Travel (mm) and point of the first contact on the whole way, or None."""
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
        return high * self._length, self._contact(high, obstacle, there)

    def _struck(self, part: float, obstacle: PreparedShape, there: Place) -> bool:
        """Whether the first ``part`` (0 to 1) of the way strikes."""
        rotation, origin = there
        fcl = self._fcl
        tiles = self._near(obstacle, there, part)
        mine = self._shell(part).tree_near([_box_from(tile, there) for tile in tiles])
        if mine is not None:
            mover = fcl.CollisionObject(mine, fcl.Transform())
            for tile in tiles:
                still = fcl.CollisionObject(tile.bvh, fcl.Transform(rotation, origin))
                if fcl.collide(mover, still, fcl.CollisionRequest(num_max_contacts=1), fcl.CollisionResult()):
                    return True
        inside = obstacle.inside_core((self._shape.probes - origin) @ rotation)
        return bool(inside.any() or self._swallowed(part, obstacle.probes @ rotation.T + origin))

    def _near(self, obstacle: PreparedShape, there: Place,
              part: float) -> list[Tile]:
        """The obstacle's tiles whose boxes meet the swept box."""
        rotation, origin = there
        ends = np.stack([self._shape.box, self._shape.box + self.way * part])
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
        return any(_crossed(corners, point, -self.way * part) for point in points)

    def _shell(self, part: float) -> _Shell:
        found = self._shells.get(part)
        if found is None:
            if part == 0.0 or self._length == 0.0:
                found = _Shell(self._shape.core, self._shape.triangles)
            else:
                found = _Shell(*shell(self._shape.core, self._shape.triangles, self.way * part))
            if part in (0.0, 1.0):  # asked for every obstacle
                self._shells[part] = found
        return found

    def _contact(self, part: float, obstacle: PreparedShape,
                 there: Place) -> NDArray[np.float64]:
        """A point, in the body's frame, where the body just past the first contact meets the obstacle."""
        fcl = self._fcl
        step = self.way / self._length * min(part * self._length + _LOOK, self._length) if self._length else self.way
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


class _Shell:
    """A surface of which only the part near an obstacle gets a tree of boxes."""

    def __init__(self, vertices: NDArray[np.float64], triangles: NDArray[Any]) -> None:
        self._vertices, self._triangles = vertices, triangles
        corners = vertices[triangles]
        self._low, self._high = boxes_of(corners)

    def tree_near(self, boxes: Sequence[tuple[NDArray[np.float64], NDArray[np.float64]]]) -> Any | None:
        """fcl tree of the triangles that reach into one of the boxes (low, high); None where none does."""
        near = np.zeros(len(self._triangles), dtype=bool)
        for low, high in boxes:
            near |= (self._low <= high).all(axis=1) & (self._high >= low).all(axis=1)
        if not near.any():
            return None
        used, local = np.unique(self._triangles[near], return_inverse=True)
        return tree(self._vertices[used], local.reshape(-1, 3))


def _box_from(tile: Tile, there: Place) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Lowest and highest corner of a box about the tile where it stands; a little wider, against rounding."""
    rotation, origin = there
    centre, half = rotation @ ((tile.low + tile.high) / 2) + origin, np.abs(rotation) @ ((tile.high - tile.low) / 2) + 1e-6
    return centre - half, centre + half


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
