"""A large triangle surface in pieces that lie together, so that only the pieces near another part get a tree of boxes.

A plate with hundreds of holes has more than 100,000 triangles; a tree of all of them takes a third of a second, the
piece round one screw a few milliseconds. Triangles that reach far over the plate are one piece of their own, or every
piece would be as large as the plate.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.meshes.inside import InsideTest
from deskmodel.meshes.vectors import boxes_of

__all__ = ["Tile", "tiles_of", "tree"]

_TILE = 2500  # triangles, about
_LONG = 0.12  # of the surface's largest extent


@dataclass(eq=False)
class Tile:
    """``rows``: numbers of its triangles in the surface; ``low``, ``high``: its box (mm)."""

    rows: NDArray[np.int64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    _vertices: NDArray[np.float64]
    _triangles: NDArray[Any]
    _parity: InsideTest | None = None

    @cached_property
    def bvh(self) -> Any:
        """fcl tree; triangle k of it is triangle rows[k] of the surface."""
        used, local = np.unique(self._triangles[self.rows], return_inverse=True)
        return tree(self._vertices[used], local.reshape(-1, 3))

    def parity(self, up: int) -> InsideTest:
        """For rays along axis ``up``: how often they cross this piece, odd or even."""
        if self._parity is None:
            used, local = np.unique(self._triangles[self.rows], return_inverse=True)
            self._parity = InsideTest(self._vertices[used], local.reshape(-1, 3), up)
        return self._parity


def tiles_of(vertices: NDArray[np.float64], triangles: NDArray[Any]) -> list[Tile]:
    """One tile for a small surface, else several of about the same size."""
    corners = vertices[triangles]
    low, high = boxes_of(corners)
    count = len(triangles)
    if count <= 2 * _TILE:
        groups = [np.arange(count)]
    else:
        extent = high.max(axis=0) - low.min(axis=0)
        long = (high - low).max(axis=1) > _LONG * extent.max()
        first, second = np.argsort(extent)[::-1][:2]
        groups = [np.flatnonzero(long)]
        parts = max(1, round(float(np.sqrt((~long).sum() / _TILE))))
        for strip in _split(np.flatnonzero(~long), low[:, first], parts):
            groups += _split(strip, low[:, second], parts)
    return [Tile(rows, low[rows].min(axis=0), high[rows].max(axis=0), vertices, triangles) for rows in groups if len(rows)]


def _split(rows: NDArray[np.int64], along: NDArray[np.float64], parts: int) -> list[NDArray[np.int64]]:
    return np.array_split(rows[np.argsort(along[rows], kind="stable")], parts)


def tree(vertices: NDArray[np.float64], triangles: NDArray[Any]) -> Any:
    """fcl's tree of boxes. Raises BuildFault for no triangle.

    To fcl directly: trimesh's bridge walks its own kind of array row by row, which takes a fifth more time, and a start
    that only needs trees would pay for importing trimesh and scipy."""
    import fcl

    if not len(triangles):
        raise BuildFault("a surface without triangles cannot be measured")
    model = fcl.BVHModel()
    model.beginModel(num_tris_=len(triangles), num_vertices_=len(vertices))
    model.addSubModel(verts=np.asarray(vertices, dtype=np.float64), triangles=np.asarray(triangles, dtype=np.int64))
    model.endModel()
    return model
