"""A body that turns, cut into rings about its axis, and the room that they come through."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.meshes.tiles import tree

__all__ = ["Ring", "about_z", "box_corners", "rings_of", "swept_box"]

_INNERMOST = 1.0  # mm; a ring within this radius is not divided further
_BOX_STEP = math.radians(3)


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """Triangles of a core, ``corners`` (m, 3, 3) in the frame of the axis (z along it), none farther from it than
    ``radius``; ``low``, ``high``: the box of everywhere they come, in the same frame."""

    corners: NDArray[np.float64]
    radius: float
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    bvh: Any


def about_z(angle: float) -> NDArray[np.float64]:
    c, s = math.cos(angle), math.sin(angle)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def rings_of(corners: NDArray[np.float64], angle: float) -> list[Ring]:
    """The triangles (m, 3, 3), cut where they reach far across the rings, sorted into rings; the outermost first."""
    pieces = _cut(corners)
    _, far = _reach(pieces)
    number = np.ceil(np.log2(np.maximum(far, _INNERMOST) / _INNERMOST) - 1e-9).astype(int)
    made = []
    for k in sorted(set(number.tolist()), reverse=True):
        mine = pieces[number == k]
        radius = float(far[number == k].max())
        points, index = np.unique(mine.reshape(-1, 3), axis=0, return_inverse=True)
        low, high = swept_box(points, max(radius, 1e-9), angle)
        made.append(Ring(mine, max(radius, 1e-9), low, high, tree(points, index.reshape(-1, 3))))
    return made


def _reach(corners: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Least and greatest distance of each triangle's points from the z axis; the least by the distance of the triangle's
    shadow from the origin."""
    flat = corners[..., :2]
    radius = np.linalg.norm(flat, axis=2)
    near = np.full(len(flat), np.inf)
    signs = []
    for k in range(3):
        a, b = flat[:, k], flat[:, (k + 1) % 3]
        way = b - a
        long = np.einsum("ij,ij->i", way, way)
        t = np.clip(-np.einsum("ij,ij->i", a, way) / np.where(long > 0, long, 1.0), 0.0, 1.0)
        near = np.minimum(near, np.linalg.norm(a + t[:, None] * way, axis=1))
        signs.append(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
    turns = np.array(signs)
    around = ((turns > 0).all(axis=0) | (turns < 0).all(axis=0))
    near[around] = 0.0
    return near, radius.max(axis=1)


def _cut(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """The same surface in triangles that reach at most twice as far from the z axis as they are near, or lie within
    ``_INNERMOST``: each too long is halved across its longest shadow, again and again."""
    done: list[NDArray[np.float64]] = []
    while len(corners):
        near, far = _reach(corners)
        whole = far <= np.maximum(2.0 * near, _INNERMOST) + 1e-9
        done.append(corners[whole])
        corners = corners[~whole]
        if not len(corners):
            break
        flat = corners[..., :2]
        lengths = np.linalg.norm(np.roll(flat, -1, axis=1) - flat, axis=2)
        first = lengths.argmax(axis=1)
        rows = np.arange(len(corners))
        a, b, c = corners[rows, first], corners[rows, (first + 1) % 3], corners[rows, (first + 2) % 3]
        middle = (a + b) / 2
        corners = np.concatenate([np.stack([a, middle, c], axis=1), np.stack([middle, b, c], axis=1)])
    return np.concatenate(done)


def swept_box(points: NDArray[np.float64], radius: float, angle: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """A box about all places of the points during the turn: of places ``_BOX_STEP`` apart, and the arc's rise between."""
    steps = max(2, math.ceil(angle / _BOX_STEP) + 1)
    apart = angle / (steps - 1)
    places = [points @ about_z(angle * i / (steps - 1)).T for i in range(steps)]
    low, high = np.min([p.min(axis=0) for p in places], axis=0), np.max([p.max(axis=0) for p in places], axis=0)
    rise = np.array([1.0, 1.0, 0.0]) * radius * (1 - math.cos(apart / 2))
    return low - rise, high + rise


def box_corners(box: NDArray[np.float64]) -> NDArray[np.float64]:
    """The eight corners (8, 3) of a box (2, 3)."""
    return np.array([[box[i >> k & 1][k] for k in range(3)] for i in range(8)])
