"""The exact gap between two bodies that don't overlap.

fcl gives the distance of the cores and the two triangles where it is taken; their two faces are measured on the B-rep.
Triangles know their distance only to within what core and chord hide (``reach``), so every pair of faces that could
be nearer than the best exact distance so far is measured too. Result: never below the true gap, and above it by at
most ``_SLACK`` (by nothing where the gap is close to what is required).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.fit.placed import pose_of, vec
from deskmodel.fit.result import GapFacts
from deskmodel.frames import Vec, norm, scale, sub
from deskmodel.meshes.prepared import PreparedShape
from deskmodel.meshes.vectors import normals_of
from deskmodel.tolerances import LENGTH

__all__ = ["Cores", "exact_gap", "faces_within"]

_SLACK = 0.004  # mm; of the 0.01 that is promised
_TOUCHING = 40  # pairs of faces looked at where bodies touch
_MESH_ONLY = 0.01  # mm; half of what meshes may leave open where they alone must say the gap
_CLOSE = 0.02  # mm; so near to what is required the gap is taken without slack

Faces = Callable[[], list[Any]]


class Cores:
    """The cores of two shapes, ``b`` at a pose in the frame of ``a``, as fcl sees them."""

    def __init__(self, a: PreparedShape, b: PreparedShape, rotation: NDArray[np.float64],
                 origin: NDArray[np.float64]) -> None:
        import fcl

        self.a, self.b, self.rotation, self.origin = a, b, rotation, origin
        self._fcl = fcl
        self._here = fcl.Transform()
        self._there = fcl.Transform(rotation, origin)
        self._nearest: tuple[float, int, int] | None = None

    def collide(self) -> bool:
        """Whether the two surfaces meet (says nothing about one inside the other)."""
        fcl = self._fcl
        request = fcl.CollisionRequest(num_max_contacts=1, enable_contact=False)
        for k, m, apart in self._tile_pairs():
            if apart > 0.0:
                break
            if fcl.collide(*self._objects(k, m), request, fcl.CollisionResult()):
                return True
        return False

    def _objects(self, k: int, m: int) -> tuple[Any, Any]:
        return (self._fcl.CollisionObject(self.a.tiles[k].bvh, self._here),
                self._fcl.CollisionObject(self.b.tiles[m].bvh, self._there))

    def _tile_pairs(self) -> list[tuple[int, int, float]]:
        """Pairs of tiles with the distance of their boxes, nearest first."""
        low_a, high_a = self.a.tile_boxes
        low_b, high_b = self.b.tile_boxes
        if len(low_a) == len(low_b) == 1:
            return [(0, 0, 0.0)]
        centre, half = (low_b + high_b) / 2 @ self.rotation.T + self.origin, (high_b - low_b) / 2 @ np.abs(self.rotation).T
        apart = np.maximum((centre - half)[None] - high_a[:, None], low_a[:, None] - (centre + half)[None])
        gaps = np.linalg.norm(np.maximum(apart, 0.0), axis=2)
        order = np.argsort(gaps, axis=None, kind="stable")
        return [(int(i) // len(low_b), int(i) % len(low_b), float(gaps.flat[i])) for i in order]

    def distance(self) -> float:
        return self.nearest()[0]

    def nearest(self) -> tuple[float, int, int]:
        """Distance (mm) of the two surfaces, and the triangles of ``a`` and ``b`` where it is taken."""
        if self._nearest is None:
            fcl = self._fcl
            best = (np.inf, 0, 0)
            for k, m, apart in self._tile_pairs():
                if apart >= best[0]:
                    break
                result = fcl.DistanceResult()
                distance = float(fcl.distance(*self._objects(k, m), fcl.DistanceRequest(), result))
                if distance < best[0]:
                    best = (distance, int(self.a.tiles[k].rows[result.b1]), int(self.b.tiles[m].rows[result.b2]))
            self._nearest = best
        return self._nearest

    def face_distance(self, f: int, g: int) -> float:
        """Distance of the core triangles of face ``f`` of ``a`` and face ``g`` of ``b``; 0 where they meet."""
        first = self._fcl.CollisionObject(self.a.face_bvh(f), self._fcl.Transform())
        second = self._fcl.CollisionObject(self.b.face_bvh(g), self._there)
        return max(float(self._fcl.distance(first, second, self._fcl.DistanceRequest(),
                                            self._fcl.DistanceResult())), 0.0)

    def candidates(self, within: float) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
        """Face pairs whose true distance may be below ``within`` by their boxes, and that lower bound, ascending."""
        boxes_a, boxes_b = self.a.face_boxes, self.b.face_boxes
        centre, half = boxes_b.mean(axis=1), (boxes_b[:, 1] - boxes_b[:, 0]) / 2
        with np.errstate(invalid="ignore"):
            centre = centre @ self.rotation.T + self.origin
            half = half @ np.abs(self.rotation).T
        low_b, high_b = centre - half, centre + half
        low_a, high_a = boxes_a[:, 0], boxes_a[:, 1]
        room = within + self.a.max_reach + self.b.max_reach
        whole_low, whole_high = np.nanmin(low_b, axis=0), np.nanmax(high_b, axis=0)
        rows = np.flatnonzero(((low_a <= whole_high + room) & (high_a >= whole_low - room)).all(axis=1))
        whole_low, whole_high = low_a.min(axis=0), high_a.max(axis=0)
        columns = np.flatnonzero(((low_b <= whole_high + room) & (high_b >= whole_low - room)).all(axis=1))
        apart = np.maximum(low_b[None, columns] - high_a[rows, None], low_a[rows, None] - high_b[None, columns])
        bound = (np.linalg.norm(np.maximum(apart, 0.0), axis=2)
                 - self.a.reach[rows, None] - self.b.reach[None, columns])
        i, j = np.nonzero(bound < within)
        order = np.argsort(bound[i, j], kind="stable")
        return rows[i][order], columns[j][order], bound[i, j][order]


def faces_within(cores: Cores, bound: float) -> bool:
    """Whether faces lie so near each other that their two depths could hide an overlap of ``bound`` mm."""
    if cores.distance() >= cores.a.max_reach + cores.b.max_reach:
        return False
    for f, g, _ in zip(*cores.candidates(0.0), strict=True):
        if (cores.a.depth[f] + cores.b.depth[g] >= bound
                and cores.face_distance(int(f), int(g)) <= cores.a.reach[f] + cores.b.reach[g]):
            return True
    return False


def exact_gap(cores: Cores, faces_a: Faces, faces_b: Faces, minimum: float) -> GapFacts | None:
    """The gap where it may be below ``minimum`` (mm), else None. Raises BuildFault where the kernel fails."""
    distance, triangle_a, triangle_b = cores.nearest()
    if distance - cores.a.max_reach - cores.b.max_reach >= minimum:
        return None
    f, g = cores.a.face_of(triangle_a), cores.b.face_of(triangle_b)
    best = _measure(cores, faces_a, faces_b, f, g)
    slack = LENGTH if abs(best[0] - minimum) < _CLOSE else _SLACK
    measured = {(f, g)}
    for row, column, bound in zip(*cores.candidates(best[0] - slack), strict=True):
        if bound >= best[0] - slack:
            break
        pair = (int(row), int(column))
        if pair in measured:
            continue
        if cores.face_distance(*pair) - cores.a.reach[row] - cores.b.reach[column] >= best[0] - slack:
            continue
        measured.add(pair)
        found = _measure(cores, faces_a, faces_b, *pair)
        if found[0] < best[0]:
            best, (f, g) = found, pair
            slack = LENGTH if abs(best[0] - minimum) < _CLOSE else _SLACK
    value, point_a, point_b = best
    if value > distance + LENGTH:
        return _by_meshes(cores, minimum)
    if value > LENGTH:
        return GapFacts(value, point_a, point_b, scale(sub(point_b, point_a), 1.0 / norm(sub(point_b, point_a))))
    return _touching(cores, faces_a, faces_b, (f, g), best)


def _by_meshes(cores: Cores, minimum: float) -> GapFacts | None:
    """Where the kernel says more than the cores, which lie inside the solids, leave room for (OCP 7.9.3 overlooks the pole
    of a sphere): the middle of what the meshes leave open. Raises BuildFault where that is too wide to promise anything."""
    distance, triangle_a, triangle_b = cores.nearest()
    f, g = cores.a.face_of(triangle_a), cores.b.face_of(triangle_b)
    low = max(distance - cores.a.reach[f] - cores.b.reach[g], 0.0)
    if distance - low > 2 * _MESH_ONLY:
        raise BuildFault(f"the kernel's distance of two faces exceeds {distance:.4f} mm, which their meshes prove")
    value = float(low + distance) / 2
    if value >= minimum:
        return None
    first = cores.a.vertices[cores.a.triangles[triangle_a]]
    second = cores.b.vertices[cores.b.triangles[triangle_b]] @ cores.rotation.T + cores.origin
    # the corner of the smaller triangle that comes nearest to the plane of the larger
    if np.ptp(second, axis=0).max() < np.ptp(first, axis=0).max():
        way = normals_of(first[None])[0]
        way = way / np.linalg.norm(way)
        end = second[np.argmin(second @ way)]
        return GapFacts(value, vec(end - value * way), vec(end), vec(way))
    way = -normals_of(second[None])[0]
    way = way / np.linalg.norm(way)
    start = first[np.argmax(first @ way)]
    return GapFacts(value, vec(start), vec(start + value * way), vec(way))


def _measure(cores: Cores, faces_a: Faces, faces_b: Faces, f: int, g: int) -> tuple[float, Vec, Vec]:
    from deskmodel.solids.measure import distance

    first, second = faces_a(), faces_b()
    if len(first) != cores.a.faces or len(second) != cores.b.faces:
        raise BuildFault("a shape has other faces than when it was prepared")
    found = distance(first[f], second[g], pose_of(cores.rotation, cores.origin))
    return found.value, found.point_a, found.point_b


def _touching(cores: Cores, faces_a: Faces, faces_b: Faces, nearest: tuple[int, int],
              best: tuple[float, Vec, Vec]) -> GapFacts:
    """Of bodies that touch: at the two faces that look most against each other, along the first one's normal. (Where two
    boxes touch, the sides beside the touching faces touch as well.)"""
    pairs = [nearest]
    for row, column, _ in list(zip(*cores.candidates(0.0), strict=True))[:_TOUCHING]:
        pairs.append((int(row), int(column)))
    found: tuple[float, tuple[float, Vec, Vec], NDArray[np.float64]] | None = None
    for pair in dict.fromkeys(pairs):
        measured = best if pair == nearest else _measure(cores, faces_a, faces_b, *pair)
        if measured[0] > LENGTH:
            continue
        there = (np.array(measured[2]) - cores.origin) @ cores.rotation
        own, other = _normal(cores.a, pair[0], np.array(measured[1])), cores.rotation @ _normal(cores.b, pair[1], there)
        against = float(own @ other)
        if found is None or against < found[0] - 1e-6:
            found = (against, measured, own)
    assert found is not None  # the nearest pair touches
    _, (value, point_a, point_b), normal = found
    return GapFacts(max(value, 0.0), point_a, point_b, vec(normal))


def _normal(shape: PreparedShape, face: int, point: NDArray[np.float64]) -> NDArray[np.float64]:
    """Outward normal at a point of a face: that of the triangle whose middle is nearest."""
    corners = shape.vertices[shape.triangles[shape.face_starts[face] : shape.face_starts[face + 1]]]
    k = int(np.argmin(np.linalg.norm(corners.mean(axis=1) - point, axis=1)))
    normal = normals_of(corners[k : k + 1])[0]
    made: NDArray[np.float64] = normal / max(float(np.linalg.norm(normal)), 1e-300)
    return made
