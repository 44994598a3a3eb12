"""A mesh to look at from one to measure with: fewer corners along curved edges, and nothing else.

The fit engine's meshes lie within some thousandths of a mm of the solids; a round hole of 5 mm then has fifty corners, and a
plate with a thousand of them a quarter of a million triangles, which a computer without a graphics processor draws in a
second. Here corners along an edge between two faces are moved into their neighbours on that edge as long as the edge stays
within ``DROP`` mm, of shapes with very many triangles ``MANY_DROP``. A mesh that is closed stays closed: triangles only lose
corners to each other.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["DROP", "MANY_DROP", "coarser"]

DROP = 0.02
"""mm that an edge may move in each of ``_ROUNDS`` rounds at most: below a pixel until one looks at 20 mm of a desk."""

MANY_DROP = 0.07
"""The same for shapes of ``_MANY`` triangles or more: plates with fields of vents."""

_MANY = 40_000
_ROUNDS = 4
_SAME_WAY = 0.7  # cosine: a triangle that turns further would show

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def coarser(points: Floats, triangles: Ints, faces: Ints) -> tuple[Ints, Ints, float]:
    """``points`` (n, 3) mm, ``triangles`` (m, 3), ``faces`` (m,) of the solid under each. The triangles that are left, on
    the same points, their faces, and by how many mm an edge moved at most."""
    moved, drop = 0.0, MANY_DROP if len(triangles) >= _MANY else DROP
    for _ in range(_ROUNDS):
        to, off = _round(points, triangles, faces, drop)
        if off == 0.0:
            break
        moved += off
        triangles = to[triangles]
        kept = ((triangles[:, 0] != triangles[:, 1]) & (triangles[:, 1] != triangles[:, 2])
                & (triangles[:, 2] != triangles[:, 0]))
        triangles, faces = triangles[kept], faces[kept]
    return triangles, faces, moved


def _round(points: Floats, triangles: Ints, faces: Ints, drop: float) -> tuple[Ints, float]:
    """Where each point goes, most to themselves, and the furthest that an edge moves by that."""
    n = len(points)
    to = np.arange(n)
    first, second, degree = _neighbours(n, triangles, faces)
    before, odd = _walked(first, second, degree == 2)
    inner = np.flatnonzero(odd)
    low, high = before[inner], first[inner] + second[inner] - before[inner]
    off = _off_chord(points[inner], points[low], points[high])
    fits = (off <= drop) & (low != high) & ~odd[low] & ~odd[high]
    inner, low, off = inner[fits], low[fits], off[fits]
    distance = np.zeros(n)
    distance[inner] = off
    to[inner] = low
    for _ in range(20):
        turned = _turned(points, triangles, to)
        if not len(turned):
            break
        to[turned] = turned
    else:
        return np.arange(n), 0.0
    went = to != np.arange(n)
    return to, float(distance[went].max(initial=0.0))


def _neighbours(n: int, triangles: Ints, faces: Ints) -> tuple[Ints, Ints, Ints]:
    """Of each point the two next ones along edges between faces, and how many such edges meet there."""
    ends = np.stack([triangles, np.roll(triangles, -1, axis=1)], axis=2).reshape(-1, 2)
    ends = np.sort(ends, axis=1)
    key = ends[:, 0] * n + ends[:, 1]
    order = np.argsort(key, kind="stable")
    key, owner = key[order], np.repeat(faces, 3)[order]
    same = key[:-1] == key[1:]
    edges = key[:-1][same & (owner[:-1] != owner[1:])]
    edges = edges[np.diff(edges, prepend=-1) > 0]  # they are sorted
    a, b = edges // n, edges % n
    here, there = np.concatenate([a, b]), np.concatenate([b, a])
    degree = np.bincount(here, minlength=n)
    order = np.lexsort((there, here))
    there = there[order]
    start = np.concatenate([[0], np.cumsum(degree)[:-1]])
    first, second = np.zeros(n, dtype=np.int64), np.zeros(n, dtype=np.int64)
    two = degree == 2
    first[two], second[two] = there[start[two]], there[start[two] + 1]
    return first, second, degree


def _walked(first: Ints, second: Ints, inner: NDArray[np.bool_]) -> tuple[Ints, NDArray[np.bool_]]:
    """Of each inner point the one before it along its edge, and whether every second point falls on it. Edges with ends are
    walked from an end, closed ones from their lowest point to the lower of its neighbours: so both rims of a hole give
    the same corners, where points are numbered by their places."""
    a, b, is_inner = first.tolist(), second.tolist(), inner.tolist()
    before = np.zeros(len(a), dtype=np.int64)
    odd = np.zeros(len(a), dtype=bool)
    points = np.flatnonzero(inner)
    at_end = ~(inner[first[points]] & inner[second[points]])
    seen = bytearray(len(a))
    for start in [*points[at_end].tolist(), *points[~at_end].tolist()]:
        if seen[start]:
            continue
        ends = [point for point in (a[start], b[start]) if not is_inner[point]]
        here, last = start, ends[0] if ends else max(a[start], b[start])
        goes = not is_inner[last]  # an end stays, and so does the first point of a closed edge
        while is_inner[here] and not seen[here]:
            seen[here] = 1
            before[here], odd[here] = last, goes
            here, last, goes = a[here] if a[here] != last else b[here], here, not goes
    return before, odd


def _off_chord(p: Floats, a: Floats, b: Floats) -> Floats:
    along = b - a
    length = np.maximum((along * along).sum(axis=1), 1e-18)
    share = np.clip(((p - a) * along).sum(axis=1) / length, 0.0, 1.0)
    distance: Floats = np.linalg.norm(p - a - share[:, None] * along, axis=1)
    return distance


def _turned(points: Floats, triangles: Ints, to: Ints) -> Ints:
    """Points that go and by that turn a triangle they are in."""
    new = to[triangles]
    touched = np.flatnonzero((new != triangles).any(axis=1))
    old, new = triangles[touched], new[touched]
    whole = (new[:, 0] != new[:, 1]) & (new[:, 1] != new[:, 2]) & (new[:, 2] != new[:, 0])
    old, new = old[whole], new[whole]
    before, after = _normals(points, old), _normals(points, new)
    sizes = np.linalg.norm(before, axis=1) * np.linalg.norm(after, axis=1)
    bad = ((before * after).sum(axis=1) < _SAME_WAY * sizes) | ((sizes == 0) & (np.linalg.norm(after, axis=1) > 0))
    corners = np.zeros(len(points), dtype=bool)
    corners[old[bad].reshape(-1)] = True
    turned: Ints = np.flatnonzero(corners & (to != np.arange(len(to))))
    return turned


def _normals(points: Floats, triangles: Ints) -> Floats:
    corners = points[triangles]
    normals: Floats = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return normals
