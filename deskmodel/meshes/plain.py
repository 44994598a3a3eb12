"""Triangles of plain faces (see ``deskmodel.solids.outlines``) without the kernel's mesher: the plane's loops filled
(``fill``), bands laced between their two chains."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.meshes.fill import filled

__all__ = ["PlainFace", "plain_faces"]


@dataclass(frozen=True, slots=True, eq=False)
class PlainFace:
    """As ``deskmodel.solids.meshing.FaceMesh``."""

    nodes: NDArray[np.float64]
    triangles: NDArray[np.int64]
    kind: str
    surface: tuple[float, ...]
    order: NDArray[np.int64]
    samples: NDArray[np.float64] | None = None


def plain_faces(brep: Any, deflection: float, angle: float) -> tuple[NDArray[np.float64], list[PlainFace]] | None:
    """The points of a plain shape and its faces, in the kernel's order; None where the shape is not plain. Node k of a
    face is point ``order[k]``."""
    from deskmodel.solids.outlines import outlines

    found = outlines(brep, deflection, angle)
    if found is None:
        return None
    points, faces = found
    made = []
    more, count = [points], len(points)
    for face in faces:
        order = np.concatenate(face.loops)
        nodes = points[order]
        if face.flat is None:
            triangles = _laced(len(face.loops[0]), len(face.loops[1]))
        else:
            flat = filled(face.flat.loops)
            if flat is None:
                return None
            added, triangles = face.flat.lifted(flat[0]), flat[1]
            if len(added):
                order = np.concatenate([order, np.arange(count, count + len(added))])
                nodes = np.concatenate([nodes, added])
                more.append(added)
                count += len(added)
        if face.reversed:
            triangles = triangles[:, ::-1]
        made.append(PlainFace(nodes, triangles, face.kind, face.surface, order))
    return np.concatenate(more), made


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
