"""One order for the triangles of a mesh, whatever order the kernel gave: after a boolean operation, the faces of one and the
same solid come in another order from one process to the next."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["ordered"]

_ALIKE = 6  # decimals of a mm within which coordinates are equal: noise of the last bits must not change an order


def ordered(vertices: NDArray[np.float64], triangles: NDArray[np.int64],
            faces: NDArray[np.int64]) -> tuple[NDArray[np.float64], NDArray[np.int64], NDArray[np.int64]]:
    """``vertices`` (n, 3) mm by place; ``triangles`` (m, 3) each from its first vertex on, turning as before, face by face;
    ``faces`` (m,) the number of the face under each, counted in the order of their first triangles."""
    x, y, z = (np.round(vertices, _ALIKE) + 0.0).T
    by_place = np.lexsort((z, y, x))
    number = np.empty(len(vertices), dtype=np.int64)
    number[by_place] = np.arange(len(vertices))
    corners = number[triangles]
    first = corners.argmin(axis=1)
    corners = np.take_along_axis(corners, (first[:, None] + np.arange(3)) % 3, axis=1)
    by_corners = np.lexsort(corners.T[::-1])
    corners, faces = corners[by_corners], faces[by_corners]
    _, earliest, inverse = np.unique(faces, return_index=True, return_inverse=True)
    rank = np.empty(len(earliest), dtype=np.int64)
    rank[np.argsort(earliest)] = np.arange(len(earliest))
    renumbered = rank[inverse]
    by_face = np.argsort(renumbered, kind="stable")
    return vertices[by_place], corners[by_face], renumbered[by_face]
