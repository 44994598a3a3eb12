"""Is a point inside a closed triangle surface? Parity of the crossings of a ray along one axis.

The rule for a triangle whose edge is met is half-open and computed for an edge in one way only, whichever triangle
asks, so a ray through edges or vertices is counted once and the parity is right without any shaking.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["InsideTest"]

_ROOM = 2_000_000  # point and triangle pairs looked at in one go


class InsideTest:
    """``vertices`` (n, 3), ``triangles`` (m, 3) of closed surfaces that don't cross each other, or of a part of them: then
    the answer is whether this part is crossed an odd number of times, and those of all parts, added, count. Rays go
    along axis ``up``, the same for all parts; without it along the thin way of the surface, where few triangles lie
    over each other."""

    def __init__(self, vertices: NDArray[np.float64], triangles: NDArray[np.integer], up: int | None = None) -> None:
        if up is None:
            up = int(np.argmin(np.ptp(vertices, axis=0)))
        self._axes = ((up + 1) % 3, (up + 2) % 3, up)
        self._points = np.ascontiguousarray(vertices[:, self._axes])
        self._triangles = triangles
        flat = self._points[triangles]
        self._low = np.ascontiguousarray(flat[..., :2].min(axis=1).T)
        self._high = np.ascontiguousarray(flat[..., :2].max(axis=1).T)
        self._box = (self._low.min(axis=1), self._high.max(axis=1), float(flat[..., 2].max()))

    def __call__(self, points: NDArray[np.float64]) -> NDArray[np.bool_]:
        """(k, 3) points, same frame, mm -> (k,) inside or not. Points on the surface may go either way."""
        found = np.zeros(len(points), dtype=bool)
        turned = points[:, self._axes]
        low, high, top = self._box
        boxed = np.flatnonzero((turned[:, :2] >= low).all(axis=1) & (turned[:, :2] <= high).all(axis=1)
                               & (turned[:, 2] <= top))
        if not len(boxed):
            return found
        turned = turned[boxed]
        low, high = turned[:, :2].min(axis=0), turned[:, :2].max(axis=0)
        near = np.flatnonzero((self._low[0] <= high[0]) & (self._high[0] >= low[0])
                              & (self._low[1] <= high[1]) & (self._high[1] >= low[1]))
        step = max(1, _ROOM // max(len(near), 1))
        for k in range(0, len(turned), step):
            found[boxed[k : k + step]] = self._parity(near, turned[k : k + step])
        return found

    def _parity(self, near: NDArray[np.int64], points: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Whether an odd number of the triangles ``near`` lies over each point (k, 3) of the turned frame."""
        x, y = points[:, 0, None], points[:, 1, None]
        low, high = self._low[:, near], self._high[:, near]
        who, which = np.nonzero((low[0] <= x) & (high[0] >= x) & (low[1] <= y) & (high[1] >= y))
        triangles = self._triangles[near[which]]
        u, v = points[who, 0], points[who, 1]
        covered = np.zeros(len(who), dtype=bool)
        for k in range(3):
            i, j = triangles[:, k], triangles[:, (k + 1) % 3]
            a, b = self._points[np.minimum(i, j)], self._points[np.maximum(i, j)]
            crosses = (a[:, 1] > v) != (b[:, 1] > v)
            rise = np.where(crosses, b[:, 1] - a[:, 1], 1.0)
            covered ^= crosses & (u < a[:, 0] + (v - a[:, 1]) / rise * (b[:, 0] - a[:, 0]))
        who, over = who[covered], self._points[triangles[covered]]
        above = self._heights(over, points[who]) > points[who, 2]
        parity: NDArray[np.bool_] = np.bincount(who[above], minlength=len(points)) % 2 == 1
        return parity

    @staticmethod
    def _heights(corners: NDArray[np.float64], points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Height of each triangle over its point; of one that stands upright, of its middle."""
        u, v, w = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0], points[:, :2] - corners[:, 0, :2]
        twice = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
        upright = np.abs(twice) < 1e-14
        divisor = np.where(upright, 1.0, twice)
        s = (w[:, 0] * v[:, 1] - w[:, 1] * v[:, 0]) / divisor
        t = (u[:, 0] * w[:, 1] - u[:, 1] * w[:, 0]) / divisor
        return np.where(upright, corners[..., 2].mean(axis=1), corners[:, 0, 2] + s * u[:, 2] + t * v[:, 2])
