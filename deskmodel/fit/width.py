"""How thick is an overlapping piece: its smallest width, and a point in its depth.

A convex piece has a smallest width between two parallel planes, found among the normals of its hull's facets and the
common normals of two of its edges. A bent piece (the tube between a pin and its tight bore, the crescent of a pin
set aside, an angle) has none that means anything; there it is the diameter of the largest ball inside, which on a
thin shell is its thickness at the thickest place. For a ball, a cube, a slab or a long bar both agree.

The largest ball is looked for by shrinking balls: one that touches the surface at a sample point from inside is made
smaller until nothing of the surface lies in it (Ma, Bae and Choi, 3D medial axis point approximation using nearest
neighbors and the normal field, The Visual Computer 28, 2012).
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.meshes.inside import InsideTest
from deskmodel.meshes.tiles import tree
from deskmodel.meshes.vectors import cross, normals_of

__all__ = ["thickness"]

_CONVEX = 0.85  # of the hull's volume: from here on the hull's width counts
_EDGES = 48  # directions of hull edges tried against each other; smooth hulls have facets enough
_ROUND = np.array([(x, y, z) for x in (-1.0, 0.0, 1.0) for y in (-1.0, 0.0, 1.0) for z in (-1.0, 0.0, 1.0)
                   if (x, y, z) != (0, 0, 0)])
"""Directions in which a direction is changed."""
_BY_AREA = 10
_BY_NUMBER = 44
_ABOUT = 12
_ROUNDS = 24
_CLIMBS = 8
_ALONG = (0.5, 0.02, 0.25, 0.75, 0.98)

_DOT = 1e-8 * np.array([[3.0, -7, 1], [-5, 2, 6], [2, 4, -7]])
"""mm. As good as a point, and askew: with one of 1e-9 along the axes fcl's distance was off by 0.01 in one of 2,000."""


def thickness(vertices: NDArray[np.float64],
              triangles: NDArray[np.int64]) -> tuple[float, NDArray[np.float64], NDArray[np.float64]]:
    """Of one closed piece: thickness (mm), a point inside it, and the corners of its hull (k, 3)."""
    origin = vertices.mean(axis=0)
    local = vertices - origin
    corners = local[triangles]
    volume = float(np.einsum("ij,ij->", corners[:, 0], cross(corners[:, 1], corners[:, 2])) / 6.0)
    hull = _hull(local)
    if hull is None:  # as good as flat
        doubled = normals_of(corners)
        area = float(np.linalg.norm(doubled, axis=1).sum()) / 2
        return (2.0 * volume / area if area > 0 else 0.0), origin, vertices
    rim = local[hull.vertices]
    if volume >= _CONVEX * hull.volume:
        weights = np.einsum("ij,ij->i", corners[:, 0], cross(corners[:, 1], corners[:, 2]))
        centre = (weights[:, None] * corners.sum(axis=1)).sum(axis=0) / (4.0 * weights.sum())
        if not InsideTest(local, triangles)(centre[None])[0]:  # it lies in a hole of the piece
            centre = _ball(local, triangles)[1]
        return _hull_width(hull, local, rim), centre + origin, rim + origin
    width, centre = _ball(local, triangles)
    return width, centre + origin, rim + origin


def _hull(points: NDArray[np.float64]) -> Any:
    from scipy.spatial import ConvexHull, QhullError

    try:
        return ConvexHull(points)
    except QhullError:
        return None


def _hull_width(hull: Any, points: NDArray[np.float64], rim: NDArray[np.float64]) -> float:
    facets = hull.equations[:, :3]
    normals = np.unique(np.round(facets * np.where(facets @ [1.0, 1e-3, 1e-6] < 0, -1.0, 1.0)[:, None], 7), axis=0)
    normals = normals[:: max(1, len(normals) // 1500)]
    ridges = np.sort(np.concatenate([hull.simplices[:, [0, 1]], hull.simplices[:, [1, 2]],
                                     hull.simplices[:, [2, 0]]]), axis=1)
    ridges = np.unique(ridges, axis=0)
    edges = points[ridges[:, 1]] - points[ridges[:, 0]]
    lengths = np.linalg.norm(edges, axis=1)
    edges = edges[lengths > 1e-9] / lengths[lengths > 1e-9, None]
    edges = np.unique(np.round(edges * np.where(edges @ [1.0, 1e-3, 1e-6] < 0, -1.0, 1.0)[:, None], 7), axis=0)
    if len(edges) <= _EDGES:
        i, j = np.triu_indices(len(edges), 1)
        crossed = cross(edges[i], edges[j])
        size = np.linalg.norm(crossed, axis=1)
        normals = np.concatenate([normals, crossed[size > 1e-4] / size[size > 1e-4, None]])
    best, way = np.inf, normals[0]
    for some in np.array_split(normals, max(1, len(normals) * len(rim) // 2_000_000)):
        width, at = _narrowest(rim, some)
        if width < best:
            best, way = width, at
    if len(edges) > _EDGES:  # of a smooth hull the facets know the direction only roughly
        step = 0.1
        while step > 1e-3:
            width, at = _narrowest(rim, way + step * _ROUND)
            if width < best:
                best, way = width, at
            else:
                step /= 2
    return best


def _narrowest(rim: NDArray[np.float64], ways: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
    """The smallest extent of the points along any of the directions (k, 3), and that direction made unit."""
    unit = ways / np.linalg.norm(ways, axis=1)[:, None]
    along = rim @ unit.T
    extents = along.max(axis=0) - along.min(axis=0)
    k = int(extents.argmin())
    return float(extents[k]), unit[k]


def _ball(vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> tuple[float, NDArray[np.float64]]:
    """Diameter and centre of the largest ball found inside a closed surface."""
    corners = vertices[triangles]
    normals = normals_of(corners)
    sizes = np.linalg.norm(normals, axis=1)
    span = float((vertices.max(axis=0) - vertices.min(axis=0)).min()) / 2 * (1 + 1e-9)  # no larger ball fits the box
    search = _Search(_Nearest(vertices, triangles), InsideTest(vertices, triangles), span)
    chosen, starts = _starts(corners, sizes)
    for start, inward in zip(starts, -normals[chosen] / sizes[chosen, None], strict=True):
        search.from_(start, inward)
    # then all about the best one, as long as that leads on: a facet of a cylinder runs from end to end, and where the
    # cylinder leans the piece is thickest at one of them
    chosen = np.flatnonzero(sizes > 1e-12)
    inwards = -normals[chosen] / sizes[chosen, None]
    along = np.stack([_facet_points(corners[chosen], at) for at in _ALONG])  # (fractions, k, 3)
    if search.where is None:
        return 0.0, along[0, 0]
    left = np.ones(along.shape[:2], dtype=bool)
    for _ in range(_CLIMBS):
        before = search.best
        away = ((along - search.where) ** 2).sum(axis=2)
        own = int(away.min(axis=0).argmin())
        tries = [(i, own) for i in range(len(_ALONG))]
        tries += [divmod(k, len(chosen)) for k in np.argsort(away, axis=None, kind="stable")[:_ABOUT].tolist()]
        for i, k in tries:
            if left[i, k]:
                left[i, k] = False
                search.from_(along[i, k], inwards[k])
        if search.best <= before:
            break
    return search.best, search.where


class _Search:
    """Keeps the largest ball found so far."""

    def __init__(self, nearest: _Nearest, inside: InsideTest, span: float) -> None:
        self._nearest, self._inside, self._span = nearest, inside, span
        self.best = 0.0
        self.where: NDArray[np.float64] | None = None

    def from_(self, start: NDArray[np.float64], inward: NDArray[np.float64]) -> None:
        """Try a ball that touches the surface at ``start``, its centre along ``inward``."""
        best = self.best
        if best > 0.0 and self._nearest(start + inward * best * 0.502)[0] < best * 0.5015:
            return  # not even a ball a little larger than the best fits here
        radius = self._span
        for _ in range(_ROUNDS):
            if 2.0 * radius <= best * 1.001:
                return  # no record any more
            centre = start + inward * radius
            distance, touched = self._nearest(centre)
            if distance >= radius * (1.0 - 1e-4):
                if self._inside(centre[None])[0]:  # a sliver's normal may point anywhere
                    self.best, self.where = 2.0 * distance, centre
                return
            offset = touched - start
            depth = float(offset @ inward)
            if depth <= 1e-12:
                return  # a crease beside the sample: no ball fits here
            radius = min(float(offset @ offset) / (2.0 * depth), radius * (1.0 - 1e-5))


def _starts(corners: NDArray[np.float64], sizes: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Where balls are set on: triangles (k,) and points on them (k, 3).

    Evenly by area, then evenly by number: where a piece is thickest need not be where its triangles are large. On the
    middle of the longest side, by area also on the middle of the triangle. A facet of a cylinder is two triangles:
    only a ball at the middle of the facet is as large as the cylinder, and that is the middle of their common side.
    """
    solid = np.flatnonzero(sizes > 1e-12)
    summed = np.cumsum(sizes[solid])
    by_area = solid[np.minimum(np.searchsorted(summed, (np.arange(_BY_AREA) + 0.5) / _BY_AREA * summed[-1]), len(solid) - 1)]
    by_number = solid[:: max(1, len(solid) // _BY_NUMBER)]
    chosen = np.concatenate([by_area, by_number])
    starts = np.concatenate([_facet_points(corners[chosen], 0.5), corners[by_area].mean(axis=1)])
    return np.concatenate([chosen, by_area]), starts


def _facet_points(corners: NDArray[np.float64], at: float) -> NDArray[np.float64]:
    """A point of the longest side of each triangle (k, 3, 3), ``at`` from 0 to 1 along it."""
    sides = corners[:, (1, 2, 0)] - corners
    rows = np.arange(len(corners))
    longest = np.einsum("kij,kij->ki", sides, sides).argmax(axis=1)
    found: NDArray[np.float64] = corners[rows, longest] + sides[rows, longest] * at
    return found


class _Nearest:
    """Nearest point of a surface, by fcl's distance from a triangle shrunk to a point."""

    def __init__(self, vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> None:
        import fcl

        self._fcl = fcl
        self._surface = fcl.CollisionObject(tree(vertices, triangles), fcl.Transform())
        self._dot = fcl.CollisionObject(tree(_DOT, np.array([[0, 1, 2]])), fcl.Transform())
        self._request = fcl.DistanceRequest(enable_nearest_points=True)

    def __call__(self, point: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        result = self._fcl.DistanceResult()
        self._dot.setTranslation(point)
        distance = self._fcl.distance(self._surface, self._dot, self._request, result)
        return float(distance), np.asarray(result.nearest_points[0], dtype=np.float64)
