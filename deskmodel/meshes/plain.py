"""Triangles of plain faces (see ``deskmodel.solids.outlines``) without the kernel's mesher: the plane's loops filled,
bands laced between their two chains."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.meshes.vectors import cross

__all__ = ["PlainFace", "plain_faces"]

_MANY = 200  # points of a face; below this it is filled quicker than compared


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
    filler = _Filler()
    for face in faces:
        order = np.concatenate(face.loops)
        if face.kind == "plane":
            triangles = filler.fill(face.flat, points[order], np.array(face.surface[3:6]))
        else:
            triangles = _laced(len(face.loops[0]), len(face.loops[1]))
        if triangles is None:
            return None
        if face.reversed:
            triangles = triangles[:, ::-1]
        made.append(PlainFace(points[order], triangles, face.kind, face.surface, order))
    return points, made


class _Filler:
    """Fills loops in planes. The upper side of a plate is the lower one moved: filled once, used twice. (Should two
    faces have the same points but other loops, the mesh will not close, and whoever welds it sees that.)"""

    def __init__(self) -> None:
        self._seen: list[tuple[NDArray[np.float64], NDArray[np.int64], NDArray[np.int64], bool]] = []

    def fill(self, flat: list[NDArray[np.float64]], points: NDArray[np.float64],
             normal: NDArray[np.float64]) -> NDArray[np.int64] | None:
        """Triangles, counter-clockwise in the plane, of closed loops given in the plane's (k, 2) and in space (n, 3);
        None where they are fewer than simple loops need. ``normal`` may look either way."""
        if len(points) < _MANY:
            return _filled(flat)
        places = points @ _axes(normal)
        order = np.lexsort(np.round(places, 6).T)
        ends = np.cumsum([len(loop) for loop in flat])[:-1]
        mirrored = (_area(flat) > 0.0) != (_area(np.split(places, ends)) > 0.0)
        ranked = places[order]
        for other, other_order, triangles, other_mirrored in self._seen:
            if other.shape == ranked.shape and np.abs(other - ranked).max() < 1e-7:
                own = np.empty(len(points), dtype=np.int64)
                own[other_order] = order
                return own[triangles] if mirrored == other_mirrored else own[triangles][:, ::-1]
        found = _filled(flat)
        if found is not None:
            self._seen.append((ranked, order, found, mirrored))
        return found


def _axes(normal: NDArray[np.float64]) -> NDArray[np.float64]:
    """Two axes (3, 2) square to a direction, the same for a direction and its opposite."""
    way = normal if normal[int(np.argmax(np.abs(np.round(normal, 6))))] > 0.0 else -normal
    x = cross(np.eye(3)[int(np.argmin(np.abs(np.round(way, 6))))], way)
    x /= np.linalg.norm(x)
    return np.column_stack([x, cross(way, x)])


def _area(loops: list[NDArray[np.float64]]) -> float:
    """Signed area of loops, holes running the other way."""
    total = 0.0
    for loop in loops:
        after = np.concatenate([loop[1:], loop[:1]])
        total += float(loop[:, 0] @ after[:, 1] - loop[:, 1] @ after[:, 0]) / 2.0
    return total


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
