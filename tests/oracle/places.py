"""Where two shapes are likely to be nearest: starting points for searches on the exact surfaces.

Points are spread over both surfaces near the other one; of those with the nearest neighbours across, some are kept that
are well apart from each other, so that each place of contact gets its own start.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from OCP.TopoDS import TopoDS_Shape
from scipy.spatial import cKDTree

from deskmodel.frames import Vec
from tests.oracle.occ import box_of
from tests.oracle.samples import surface_triangles

__all__ = ["likely_places"]

Array = np.ndarray[Any, Any]
PLACES = 6
MOST = 40_000  # points a side


def likely_places(a: TopoDS_Shape, b: TopoDS_Shape, gap: float) -> list[Vec]:
    """Up to PLACES points near the surface of ``a``; ``gap``: about the distance of the two, mm."""
    reach = gap + 1.0
    spread = [_spread(s, t, reach) for s, t in ((a, b), (b, a))]
    if not all(len(p) for p in spread):
        return []
    far, _ = cKDTree(spread[1]).query(spread[0])
    chosen: list[Array] = []
    for k in far.argsort()[:2000]:
        p = spread[0][k]
        if all(np.linalg.norm(p - q) > 2.5 for q in chosen):
            chosen.append(p)
            if len(chosen) == PLACES:
                break
    return [(float(p[0]), float(p[1]), float(p[2])) for p in chosen]


def _spread(shape: TopoDS_Shape, other: TopoDS_Shape, reach: float) -> Array:
    """Points about 1.5 mm apart over the shape's triangles that come within ``reach`` of the other's box."""
    low, high = (np.array(c) for c in box_of(other))
    corners = surface_triangles(shape, 0.05)
    near = ((corners.max(axis=1) > low - reach) & (corners.min(axis=1) < high + reach)).all(axis=1)
    corners = corners[near]
    for _ in range(12):
        longest = np.linalg.norm(corners - np.roll(corners, -1, axis=1), axis=2)
        split = longest.max(axis=1) > 1.5 + 0.5 * reach
        if not split.any() or len(corners) > MOST:
            break
        corners = np.concatenate([corners[~split], *_halves(corners[split], longest[split])])
        near = ((corners.max(axis=1) > low - reach) & (corners.min(axis=1) < high + reach)).all(axis=1)
        corners = corners[near]
    return np.concatenate([corners.reshape(-1, 3), corners.mean(axis=1)])


def _halves(corners: Array, longest: Array) -> tuple[Array, Array]:
    """Each triangle cut through the middle of its longest edge."""
    turn = longest.argmax(axis=1)
    p, q, r = (corners[np.arange(len(corners)), (turn + i) % 3] for i in range(3))  # longest edge: p to q
    middle = (p + q) / 2
    return np.stack([p, middle, r], axis=1), np.stack([middle, q, r], axis=1)
