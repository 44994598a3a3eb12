"""Triangles of single faces made into one closed surface.

Faces repeat the vertices of their common edges (and of their own seams). Neighbours take them from the same edge
polygon, so equal points are equal to the last digits; where a kernel tolerance got between, near ones are merged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Surface", "is_closed", "is_manifold", "joined", "weld"]

_GRID = 1e7  # points per mm
_NEAR = (2e-6, 2e-5)  # mm, tried one after the other where exact welding leaves gaps


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """``vertices`` (n, 3) mm; ``triangles`` (m, 3), counter-clockwise from outside; ``faces`` (m,): the face each
    triangle belongs to, not decreasing."""

    vertices: NDArray[np.float64]
    triangles: NDArray[np.int64]
    faces: NDArray[np.int64]


def joined(points: NDArray[np.float64], triangles: Sequence[NDArray[np.int64]]) -> Surface:
    """One surface from the triangles (m, 3) of each face over common points (n, 3)."""
    faces = np.repeat(np.arange(len(triangles)), [len(part) for part in triangles])
    return _collapse(points, np.concatenate(triangles), faces)


def weld(nodes: Sequence[NDArray[np.float64]], triangles: Sequence[NDArray[np.int64]]) -> Surface:
    """One surface from the nodes (n, 3) and triangles (m, 3) of each face. It need not be closed: ask."""
    starts = np.cumsum([0, *(len(part) for part in nodes)])
    points = np.concatenate(nodes) + 0.0  # no negative zeros
    corners = np.concatenate([part + start for part, start in zip(triangles, starts[:-1], strict=True)])
    faces = np.repeat(np.arange(len(triangles)), [len(part) for part in triangles])
    first, group = _equal(points)
    surface = _collapse(points[first], group[corners], faces)
    for near in _NEAR:
        if is_closed(surface.triangles):
            break
        surface = _merge_near(surface, near)
    return surface


def is_closed(triangles: NDArray[np.int64]) -> bool:
    """Whether every directed edge is met by as many edges the other way. The two sets are compared by the sum of a
    64-bit mix of their members: quicker than sorting, and wrong once in 10^19."""
    there, back = _directed(triangles)
    return bool(_mixed(there) == _mixed(back))


def is_manifold(triangles: NDArray[np.int64]) -> bool:
    """Closed, and no edge is used by more than two triangles."""
    there, back = _directed(triangles)
    there.sort()
    back.sort()
    return bool(np.array_equal(there, back) and not (there[1:] == there[:-1]).any())


def _mixed(numbers: NDArray[np.int64]) -> int:
    """Sum of the members, each scrambled (the finaliser of SplitMix64: Steele, Lea and Flood, 2014)."""
    z = numbers.astype(np.uint64)
    z = (z ^ (z >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ (z >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return int((z ^ (z >> np.uint64(31))).sum(dtype=np.uint64))


def _directed(triangles: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    a = triangles.astype(np.int64).ravel()
    b = triangles[:, (1, 2, 0)].astype(np.int64).ravel()
    n = int(triangles.max(initial=0)) + 1
    return a * n + b, b * n + a


def _equal(points: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The first of each group of equal points, and the group of each point."""
    grid = np.round(points * _GRID).astype(np.int64)
    factors = np.array([0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9], dtype=np.uint64)
    with np.errstate(over="ignore"):
        mixed = (grid.astype(np.uint64) * factors).sum(axis=1, dtype=np.uint64)
    _, first, group = np.unique(mixed, return_index=True, return_inverse=True)
    if (grid != grid[first][group]).any():  # two points with one mix: never met, but it would be wrong
        _, first, group = np.unique(grid, axis=0, return_index=True, return_inverse=True)
    return first, group.reshape(-1)


def _collapse(vertices: NDArray[np.float64], triangles: NDArray[np.int64], faces: NDArray[np.int64]) -> Surface:
    """Without triangles that have lost a corner and without vertices that nothing uses."""
    a, b, c = triangles.T
    keep = (a != b) & (b != c) & (c != a)
    triangles, faces = triangles[keep], faces[keep]
    used = np.zeros(len(vertices), dtype=bool)
    used[triangles.ravel()] = True
    number = np.cumsum(used) - 1
    return Surface(vertices[used], number[triangles], faces)


def _merge_near(surface: Surface, near: float) -> Surface:
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import cKDTree

    pairs = cKDTree(surface.vertices).query_pairs(near, output_type="ndarray")
    if not len(pairs):
        return surface
    n = len(surface.vertices)
    graph = coo_matrix((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(n, n))
    count, group = connected_components(graph, directed=False)
    first = np.full(count, n, dtype=np.int64)
    np.minimum.at(first, group, np.arange(n))
    return _collapse(surface.vertices[first], group.astype(np.int64)[surface.triangles], surface.faces)
