"""A shape ready to be measured against others: plain arrays, and mesh-library objects made from them when asked."""

from __future__ import annotations

from functools import cached_property
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from deskmodel.cache.arrays import pack, unpack
from deskmodel.frames import Vec
from deskmodel.meshes.solids import solid_from_mesh
from deskmodel.meshes.tiles import Tile, tiles_of, tree
from deskmodel.meshes.vectors import boxes_of

__all__ = ["PreparedShape"]

_ARRAYS: Final = ("vertices", "triangles", "core", "probes", "face_starts", "vertex_starts", "triangle_starts",
                  "depth", "reach", "chords", "box")


class PreparedShape:
    """All lengths in mm, all points in the shape's own frame. n vertices, m triangles, f faces, k solids.

    vertices (n, 3), triangles (m, 3)    welded, closed, counter-clockwise from outside; solids one after the other
    core (n, 3)                          the same vertices moved inward (``deskmodel.meshes.core``)
    probes (k, 3)                        a point well inside each solid
    face_starts (f + 1,)                 triangles of face i are face_starts[i] : face_starts[i + 1]
    vertex_starts, triangle_starts       (k + 1,), the same for solids
    depth (f,)                           no point of the face's core lies deeper below the true surface, along it
    reach (f,)                           no point of the true face is farther from its core than this
    chords (f, 2)                        measured chord error: mesh outside the material, material outside the mesh
    box (2, 3)                           lowest and highest corner of the true solid
    axis                                 point and direction of an axis of revolution, or None
    trusted                              every core vertex lies where it should; else a hit must be confirmed
    """

    def __init__(self, key: str, arrays: dict[str, NDArray[Any]], axis: tuple[Vec, Vec] | None, trusted: bool,
                 volume: float) -> None:
        self.key = key
        self.vertices = arrays["vertices"]
        self.triangles = arrays["triangles"]
        self.core = arrays["core"]
        self.probes = arrays["probes"]
        self.face_starts = arrays["face_starts"]
        self.vertex_starts = arrays["vertex_starts"]
        self.triangle_starts = arrays["triangle_starts"]
        self.depth = arrays["depth"]
        self.reach = arrays["reach"]
        self.chords = arrays["chords"]
        self.box = arrays["box"]
        self.axis = axis
        self.trusted = trusted
        self.volume = volume
        self.max_depth = float(self.depth.max())
        self.max_reach = float(self.reach.max())
        self._face_bvhs: dict[int, Any] = {}
        self._manifolds: dict[int, Any] = {}

    @property
    def solids(self) -> int:
        return len(self.probes)

    @property
    def faces(self) -> int:
        return len(self.depth)

    @property
    def nbytes(self) -> int:
        """Bytes of the arrays."""
        return sum(int(getattr(self, name).nbytes) for name in _ARRAYS)

    @property
    def made_bytes(self) -> int:
        """Bytes, roughly, of what is made from the arrays when it is all asked for: trees, solids, boxes."""
        return 500 * len(self.triangles)

    def forget(self) -> None:
        """Let go of what can be made again from the arrays."""
        self._face_bvhs.clear()
        self._manifolds.clear()
        for name in ("mesh", "bvh", "tiles", "tile_boxes", "face_boxes", "triangle_boxes"):
            self.__dict__.pop(name, None)

    @cached_property
    def mesh(self) -> Any:
        """The welded nominal surface as a ``trimesh.Trimesh``."""
        import trimesh

        return trimesh.Trimesh(self.vertices, self.triangles, process=False)

    @cached_property
    def bvh(self) -> Any:
        """fcl tree of the core."""
        return tree(self.core, self.triangles)

    @cached_property
    def tiles(self) -> list[Tile]:
        """The core in pieces, each with its own fcl tree."""
        return tiles_of(self.core, self.triangles)

    @cached_property
    def tile_boxes(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Lowest and highest corner of each tile, (k, 3)."""
        return np.array([tile.low for tile in self.tiles]), np.array([tile.high for tile in self.tiles])

    def face_bvh(self, face: int) -> Any:
        """fcl tree of the core triangles of one face."""
        found = self._face_bvhs.get(face)
        if found is None:
            mine = self.triangles[self.face_starts[face] : self.face_starts[face + 1]]
            used, local = np.unique(mine, return_inverse=True)
            found = self._face_bvhs[face] = tree(self.core[used], local.reshape(-1, 3))
        return found

    @cached_property
    def face_boxes(self) -> NDArray[np.float64]:
        """(f, 2, 3): box of each face's core triangles (void faces: inverted)."""
        corners = self.core[self.triangles]
        low, high = boxes_of(corners)
        boxes = np.empty((self.faces, 2, 3))
        boxes[:, 0], boxes[:, 1] = np.inf, -np.inf
        filled = np.flatnonzero(np.diff(self.face_starts) > 0)
        starts = self.face_starts[filled]
        boxes[filled, 0] = np.minimum.reduceat(low, starts, axis=0)
        boxes[filled, 1] = np.maximum.reduceat(high, starts, axis=0)
        return boxes

    def inside_core(self, points: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Whether points (k, 3) lie in the core; those on its surface may go either way."""
        found = np.zeros(len(points), dtype=bool)
        near = np.flatnonzero((points > self.box[0]).all(axis=1) & (points < self.box[1]).all(axis=1))
        if not len(near):
            return found
        up = int(np.argmin(self.box[1] - self.box[0]))
        across = [(up + 1) % 3, (up + 2) % 3]
        some = points[near]
        low, high = some[:, across].min(axis=0), some[:, across].max(axis=0)
        lows, highs = self.tile_boxes
        odd = np.zeros(len(some), dtype=bool)
        for k in np.flatnonzero((lows[:, across] <= high).all(axis=1) & (highs[:, across] >= low).all(axis=1)):
            odd ^= self.tiles[int(k)].parity(up)(some)
        found[near] = odd
        return found

    def face_of(self, triangle: int) -> int:
        return int(np.searchsorted(self.face_starts, triangle, side="right")) - 1

    def solid(self, i: int) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
        """Nominal vertices and triangles of one solid, numbered from 0."""
        v0, v1 = self.vertex_starts[i : i + 2]
        t0, t1 = self.triangle_starts[i : i + 2]
        return self.vertices[v0:v1], self.triangles[t0:t1].astype(np.int64) - int(v0)

    @cached_property
    def solid_boxes(self) -> NDArray[np.float64]:
        """(k, 2, 3): lowest and highest corner of each solid's nominal mesh."""
        starts = self.vertex_starts[:-1]
        return np.stack([np.minimum.reduceat(self.vertices, starts, axis=0),
                         np.maximum.reduceat(self.vertices, starts, axis=0)], axis=1)

    def manifold(self, i: int) -> Any:
        """One solid as a ``manifold3d.Manifold``. Raises BuildFault."""
        found = self._manifolds.get(i)
        if found is None:
            found = self._manifolds[i] = solid_from_mesh(*self.solid(i))
        return found

    @cached_property
    def triangle_boxes(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Lowest and highest corner of each nominal triangle, (3, m) each."""
        corners = self.vertices[self.triangles]
        low, high = boxes_of(corners)
        return np.ascontiguousarray(low.T), np.ascontiguousarray(high.T)

    def reaching(self, low: NDArray[np.float64], high: NDArray[np.float64], first: int, last: int) -> NDArray[np.float64]:
        """Corners (k, 3, 3) of the nominal triangles first : last whose boxes reach into the box given."""
        lows, highs = self.triangle_boxes
        near = np.ones(last - first, dtype=bool)
        for axis in range(3):
            near &= (lows[axis, first:last] <= high[axis]) & (highs[axis, first:last] >= low[axis])
        corners: NDArray[np.float64] = self.vertices[self.triangles[first:last][near]]
        return corners

    def to_bytes(self) -> bytes:
        axis = None if self.axis is None else [list(self.axis[0]), list(self.axis[1])]
        facts = {"key": self.key, "axis": axis, "trusted": self.trusted, "volume": self.volume}
        return pack({name: getattr(self, name) for name in _ARRAYS}, facts)

    @staticmethod
    def from_bytes(block: bytes) -> PreparedShape:
        """Raises ValueError where the block is no prepared shape."""
        arrays, facts = unpack(block)
        if any(name not in arrays for name in _ARRAYS):
            raise ValueError("not a prepared shape")
        axis = facts["axis"]
        made = None if axis is None else (_vec(axis[0]), _vec(axis[1]))
        return PreparedShape(facts["key"], arrays, made, bool(facts["trusted"]), float(facts["volume"]))


def _vec(row: Any) -> Vec:
    return (float(row[0]), float(row[1]), float(row[2]))
