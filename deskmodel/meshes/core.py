"""The core of a meshed solid: the same triangles, every vertex moved inward.

Each vertex x moves by the shortest step s with n·s <= -d for every adjoining triangle: n its outward normal, d the depth
asked of its face. So every core triangle lies at least d below the triangle it came from, and the core lies inside
the true solid where d is DELTA plus the chord error that stands outside the material.

The step is found by least squares (regularised, so that nearly parallel triangles don't pull it sideways) and
stretched until it meets the worst triangle; where that would stretch it much (tips, saddles) by the exact small
quadratic programme (Lawson and Hanson, Solving Least Squares Problems, ch. 23: least distance programming by
non-negative least squares).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from deskmodel.meshes.nnls import nnls
from deskmodel.meshes.vectors import normals_of

__all__ = ["core_vertices"]

_RIDGE = 1e-3
_STRETCH = 2.0  # more than this and the programme decides
_FAR = 40.0  # times the depth: a step longer than this has left the neighbourhood


def core_vertices(vertices: NDArray[np.float64], triangles: NDArray[np.int64],
                  depths: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Core vertices (n, 3) for ``depths`` (m,) mm of the triangles, and which of them can be trusted (n,)."""
    n = len(vertices)
    corners = vertices[triangles]
    normals = normals_of(corners)
    lengths = np.linalg.norm(normals, axis=1)
    whole = lengths > 1e-10  # slivers say nothing about a direction
    triangles, depths = triangles[whole], depths[whole]
    normals = normals[whole] / lengths[whole, None]
    at = triangles.ravel()
    each, deep = np.repeat(normals, 3, axis=0), np.repeat(depths, 3)
    matrix = np.empty((n, 3, 3))
    right = np.empty((n, 3))
    for i in range(3):
        right[:, i] = -np.bincount(at, each[:, i] * deep, n)
        for j in range(i, 3):
            matrix[:, i, j] = matrix[:, j, i] = np.bincount(at, each[:, i] * each[:, j], n)
    count = np.bincount(at, minlength=n)
    matrix += (_RIDGE * np.maximum(count, 1))[:, None, None] * np.eye(3)
    steps = np.linalg.solve(matrix, right[..., None])[..., 0]
    reached = -np.einsum("ij,ij->i", each, steps[at]) / deep
    worst = np.full(n, np.inf)
    np.minimum.at(worst, at, reached)
    good = worst * _STRETCH >= 1.0
    steps[good] /= np.minimum(worst[good], 1.0)[:, None]
    trusted = np.ones(n, dtype=bool)
    bad = np.flatnonzero(~good)
    if len(bad):
        order = np.argsort(at, kind="stable")
        edges = np.searchsorted(at[order], np.concatenate([bad, bad + 1]))
        for k, vertex in enumerate(bad):
            mine = order[edges[k] : edges[k + len(bad)]]
            step = _programme(each[mine], deep[mine])
            trusted[vertex] = step is not None
            steps[vertex] = 0.0 if step is None else step
    return vertices + steps, trusted


def _programme(normals: NDArray[np.float64], depths: NDArray[np.float64]) -> NDArray[np.float64] | None:
    """The shortest s with normals·s <= -depths, or None where there is none nearby."""
    if not len(normals):
        return None
    _, first = np.unique(np.round(np.c_[normals, depths], 9), axis=0, return_index=True)
    g, h = -normals[first], depths[first] / depths.max()
    system = np.vstack([g.T, h])
    target = np.array([0.0, 0.0, 0.0, 1.0])
    weights = nnls(system, target)
    if weights is None:
        return None
    residual = system @ weights - target
    if np.linalg.norm(residual) < 1e-9:
        return None
    step = -residual[:3] / residual[3] * depths.max()
    if np.linalg.norm(step) > _FAR * depths.max():
        return None
    reached = float((-(normals @ step) / depths).min())
    return step / reached if reached > 0.5 else None
