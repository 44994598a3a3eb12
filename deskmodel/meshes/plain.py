"""Triangles of plain faces (see ``deskmodel.solids.outlines``) without the kernel's mesher: the plane's loops filled,
bands laced between their two chains."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["PlainFace", "plain_faces"]


@dataclass(frozen=True, slots=True, eq=False)
class PlainFace:
    """As ``deskmodel.solids.meshing.FaceMesh``."""

    nodes: NDArray[np.float64]
    triangles: NDArray[np.int64]
    kind: str
    surface: tuple[float, ...]
    samples: NDArray[np.float64] | None = None


def plain_faces(brep: Any, deflection: float, angle: float) -> list[PlainFace] | None:
    """The faces of a plain shape, in the kernel's order; None where the shape is not plain."""
    from deskmodel.solids.outlines import outlines

    found = outlines(brep, deflection, angle)
    if found is None:
        return None
    points, faces = found
    made = []
    for face in faces:
        order = np.concatenate(face.loops)
        triangles = _filled(face.flat) if face.kind == "plane" else _laced(len(face.loops[0]), len(face.loops[1]))
        if triangles is None:
            return None
        made.append(PlainFace(points[order], triangles[:, ::-1] if face.reversed else triangles, face.kind, face.surface))
    return made


def _filled(flat: list[NDArray[np.float64]]) -> NDArray[np.int64] | None:
    """Triangles that fill closed loops in a plane; None where they are fewer than simple loops need."""
    from manifold3d import triangulate

    count = sum(len(loop) for loop in flat)
    if len(flat) == 1 and count == 4 and _convex(flat[0]):
        return np.array([[0, 1, 2], [0, 2, 3]])
    found = np.asarray(triangulate([np.ascontiguousarray(loop) for loop in flat]), dtype=np.int64)
    # n points and h holes need n + 2h - 2 triangles
    return found if len(found) == count + 2 * (len(flat) - 1) - 2 else None


def _convex(loop: NDArray[np.float64]) -> bool:
    sides = np.roll(loop, -1, axis=0) - loop
    following = np.roll(sides, -1, axis=0)
    return bool((sides[:, 0] * following[:, 1] - sides[:, 1] * following[:, 0] > 0).all())


def _laced(n: int, m: int) -> NDArray[np.int64]:
    """Triangles between two chains of ``n`` and ``m`` points side by side, the material on the left of the first."""
    if m == 1:
        k = np.arange(n - 1)
        return np.column_stack([k, k + 1, np.full(n - 1, n)])
    if n == m:
        k = np.arange(n - 1)
        return np.concatenate([np.column_stack([k, k + 1, n + k]), np.column_stack([k + 1, n + k + 1, n + k])])
    rows, i, j = [], 0, 0
    while i < n - 1 or j < m - 1:
        if j == m - 1 or (i < n - 1 and (i + 1) * (m - 1) <= (j + 1) * (n - 1)):
            rows.append((i, i + 1, n + j))
            i += 1
        else:
            rows.append((i, n + j + 1, n + j))
            j += 1
    return np.array(rows, dtype=np.int64)
