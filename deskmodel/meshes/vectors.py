"""Row-wise vector algebra on (n, 3) arrays, several times quicker than the general ``numpy.cross``."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["boxes_of", "cross", "doubled_areas", "normals_of"]

Rows = NDArray[np.float64]


def boxes_of(corners: Rows) -> tuple[Rows, Rows]:
    """Lowest and highest corner (m, 3) of the box of each triangle (m, 3, 3); three comparisons of columns are several times
    quicker than numpy's reduction over an axis of three."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    return np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)


def cross(a: Rows, b: Rows) -> Rows:
    """Cross products of the rows of ``a`` and ``b`` (either may be one vector)."""
    ax, ay, az = a[..., 0], a[..., 1], a[..., 2]
    bx, by, bz = b[..., 0], b[..., 1], b[..., 2]
    return np.stack([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx], axis=-1)


def normals_of(corners: Rows) -> Rows:
    """Normals (m, 3) of triangles (m, 3, 3), as long as twice their areas, outward for counter-clockwise corners."""
    return cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])


def doubled_areas(normals: Rows) -> Rows:
    """Lengths (m,) of rows."""
    found: Rows = np.sqrt(np.einsum("ij,ij->i", normals, normals))
    return found
