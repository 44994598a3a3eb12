"""The part of a closed surface within a box, closed again by caps.

A plate with hundreds of holes meets a screw in one of them. To intersect the two as solids, only the plate round the
screw is needed; cutting it out here takes a few milliseconds where the solid of the whole plate takes hundreds.

The triangles near the box are clipped at its six planes. What is left open lies in those planes: chains of edges with the
material on one side. Chains that end at the rim of a box face are joined along the rim, which is walked with the face
on the left; then each face's loops are filled. Nothing may lie exactly in a plane of the box: choose odd margins.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from deskmodel.meshes.weld import is_closed

__all__ = ["crop"]

Points = NDArray[np.float64]
Triangles = NDArray[np.int64]

_CLEAR = 1e-9  # mm; a vertex so near to a plane is in it, and there is no telling on which side


def crop(corners: Points, low: Points, high: Points,
         inside: Callable[[Points], NDArray[np.bool_]]) -> tuple[Points, Triangles] | None:
    """Vertices and triangles of what the box holds. None where that cannot be told: use the whole.

    ``corners`` (m, 3, 3): triangles of the closed surface, at least all that reach into the box; ``inside`` says of
    points (k, 3) whether they lie in the solid.
    """
    for axis in range(3):
        for sign, at in ((-1.0, low[axis]), (1.0, high[axis])):
            clipped = _clip(corners, axis, sign, float(at))
            if clipped is None:
                return None
            corners = clipped
    flat = corners.reshape(-1, 3)
    _, first, group = np.unique(np.round(flat, 9), axis=0, return_index=True, return_inverse=True)
    vertices, triangles = flat[first], group.reshape(-1, 3).astype(np.int64)
    a, b, c = triangles.T
    capped = _cap(vertices, triangles[(a != b) & (b != c) & (c != a)], low, high, inside)
    return capped if capped is not None and is_closed(capped[1]) and len(capped[1]) else None


def _clip(corners: Points, axis: int, sign: float, at: float) -> Points | None:
    """The triangles (m, 3, 3) where ``sign * (x - at) < 0``; None where a corner lies in the plane."""
    side = sign * (corners[..., axis] - at)
    if (np.abs(side) < _CLEAR).any():
        return None
    kept = side < 0.0
    if kept.all():
        return corners
    count = kept.sum(axis=1)
    parts = [corners[count == 3]]
    for number in (1, 2):
        rows = np.flatnonzero(count == number)
        if not len(rows):
            continue
        # turn each triangle so that the corner that is alone on its side comes first
        lone = (kept[rows] if number == 1 else ~kept[rows]).argmax(axis=1)
        turn = (lone[:, None] + np.arange(3)) % 3
        a, b, c = np.take_along_axis(corners[rows], turn[..., None], axis=1).transpose(1, 0, 2)
        ab, ac = _cut(a, b, axis, at), _cut(a, c, axis, at)
        if number == 1:
            parts.append(np.stack([a, ab, ac], axis=1))
        else:
            parts += [np.stack([ab, b, c], axis=1), np.stack([ab, c, ac], axis=1)]
    return np.concatenate(parts)


def _cut(p: Points, q: Points, axis: int, at: float) -> Points:
    """Where the edges p q cross the plane; the same to the last digit whichever end is named first."""
    swap = np.zeros(len(p), dtype=bool)
    undecided = np.ones(len(p), dtype=bool)
    for k in range(3):
        swap |= undecided & (p[:, k] > q[:, k])
        undecided &= p[:, k] == q[:, k]
    first, second = np.where(swap[:, None], q, p), np.where(swap[:, None], p, q)
    part = (at - first[:, axis]) / (second[:, axis] - first[:, axis])
    made: Points = first + part[:, None] * (second - first)
    made[:, axis] = at
    return made


def _cap(vertices: Points, triangles: Triangles, low: Points, high: Points,
         inside: Callable[[Points], NDArray[np.bool_]]) -> tuple[Points, Triangles] | None:
    a, b = triangles.ravel(), triangles[:, (1, 2, 0)].ravel()
    n = len(vertices)
    lone = ~np.isin(a * n + b, b * n + a)
    start, end = b[lone], a[lone]  # caps run their edges the other way
    grid = np.array([[(low, high)[k >> i & 1][i] for i in range(3)] for k in range(8)])
    all_vertices = np.concatenate([vertices, grid])
    filled = inside(grid)
    caps = [triangles]
    used = 0
    for axis in range(3):
        for sign, at in ((-1, low[axis]), (1, high[axis])):
            u, v = ((axis + 1) % 3, (axis + 2) % 3) if sign > 0 else ((axis + 2) % 3, (axis + 1) % 3)
            mine = (vertices[start, axis] == at) & (vertices[end, axis] == at)
            used += int(mine.sum())
            rect = _Rim(all_vertices, low, high, u, v, [n + _corner(axis, sign, u, v, step) for step in range(4)])
            loops = rect.loops(dict(zip(start[mine].tolist(), end[mine].tolist(), strict=True)), filled, n)
            if loops is None:
                return None
            caps += _fill(all_vertices, loops, u, v)
    if used != len(start):
        return None
    return all_vertices, np.concatenate(caps)


def _corner(axis: int, sign: int, u: int, v: int, step: int) -> int:
    """Number (bits x, y, z) of a corner of a box face, counted round it from the lowest, seen from outside."""
    along_u, along_v = ((0, 0), (1, 0), (1, 1), (0, 1))[step]
    return (sign > 0) << axis | along_u << u | along_v << v


class _Rim:
    """The rim of one box face, walked with the face on the left; places on it are numbers from 0 to 4."""

    def __init__(self, vertices: Points, low: Points, high: Points, u: int, v: int, corners: list[int]) -> None:
        self._vertices, self._u, self._v, self._corners = vertices, u, v, corners
        self._low, self._high = (float(low[u]), float(low[v])), (float(high[u]), float(high[v]))

    def loops(self, following: dict[int, int], filled: NDArray[np.bool_], n: int) -> list[list[int]] | None:
        """Closed loops of vertices from edges (start to end), or None where the edges make no sense."""
        heads = set(following) - set(following.values())
        chains, loops = [], []
        for head in heads:
            chain = [head]
            while chain[-1] in following:
                chain.append(following.pop(chain[-1]))
            chains.append(chain)
        while following:
            first, at = next(iter(following.items()))
            del following[first]
            loop = [first]
            while at != first:
                loop.append(at)
                if at not in following:
                    return None
                at = following.pop(at)
            loops.append(loop)
        if not chains:
            return [*loops, list(self._corners)] if filled[self._corners[0] - n] else loops
        return self._joined(chains, loops)

    def _joined(self, chains: list[list[int]], loops: list[list[int]]) -> list[list[int]] | None:
        starts = [(self._place(chain[0]), k) for k, chain in enumerate(chains)]
        ends = [self._place(chain[-1]) for chain in chains]
        if any(place is None for place, _ in starts) or any(place is None for place in ends):
            return None
        after: dict[int, tuple[int, list[int]]] = {}
        for k, end in enumerate(ends):
            assert end is not None
            way, target = min(((float(place or 0.0) - end) % 4.0, j) for place, j in starts)
            passed = [self._corners[c % 4] for c in range(int(np.ceil(end)), int(np.floor(end + way)) + 1)]
            after[k] = (target, passed)
        if len({target for target, _ in after.values()}) != len(chains):
            return None  # two ends run to one start
        while after:
            k, (target, passed) = next(iter(after.items()))
            del after[k]
            loop = [*chains[k], *passed]
            while target in after:
                at = target
                target, passed = after.pop(at)
                loop += [*chains[at], *passed]
            loops.append(loop)
        return loops

    def _place(self, vertex: int) -> float | None:
        x, y = float(self._vertices[vertex, self._u]), float(self._vertices[vertex, self._v])
        (x0, y0), (x1, y1) = self._low, self._high
        if y == y0:
            return (x - x0) / (x1 - x0)
        if x == x1:
            return 1.0 + (y - y0) / (y1 - y0)
        if y == y1:
            return 2.0 + (x1 - x) / (x1 - x0)
        if x == x0:
            return 3.0 + (y1 - y) / (y1 - y0)
        return None


def _fill(vertices: Points, loops: list[list[int]], u: int, v: int) -> list[Triangles]:
    from manifold3d import triangulate

    if not loops:
        return []
    order = np.array([vertex for loop in loops for vertex in loop], dtype=np.int64)
    plane = np.ascontiguousarray(vertices[order][:, (u, v)])
    ends = np.cumsum([0, *(len(loop) for loop in loops)])
    found = triangulate([plane[ends[k] : ends[k + 1]] for k in range(len(loops))])
    return [order[np.asarray(found, dtype=np.int64)]]
