"""One relative pose for all pairs that are the same up to a turn about an axis of revolution.

A dowel may stand in its hole at any spin; the answer is the same. For a pair (base, other) the other's pose in the
base's frame is replaced by one that depends on nothing but where the axes lie:

- other is a body of revolution: its spin is chosen from the direction of its axis alone;
- both are: the whole picture is first turned about the base's axis until the other's axis (or, where the axes are
  parallel, the other's place) lies in a fixed half plane.

Where exactly one of two bodies is of revolution it must be the other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Axes", "Relative", "relative"]

_ALONG = 1e-7  # mm or sine: less is parallel, or on the axis


@dataclass(frozen=True, slots=True, eq=False)
class Axes:
    """Axis of revolution of n bodies in their own frames: ``has`` (n,), ``foot`` and ``way`` (n, 3); mm, unit."""

    has: NDArray[np.bool_]
    foot: NDArray[np.float64]
    way: NDArray[np.float64]

    def take(self, rows: NDArray[np.int64]) -> Axes:
        return Axes(self.has[rows], self.foot[rows], self.way[rows])


@dataclass(frozen=True, slots=True, eq=False)
class Relative:
    """n pairs. ``rotation``, ``origin``: the other's canonical pose in the base's frame, rounded as in keys.
    ``back_rotation``, ``back_origin``: takes points of that picture to the base's true frame."""

    rotation: NDArray[np.float64]
    origin: NDArray[np.float64]
    back_rotation: NDArray[np.float64]
    back_origin: NDArray[np.float64]
    keys: NDArray[np.int64]  # (n, 12)


def relative(base_rotation: NDArray[np.float64], base_origin: NDArray[np.float64], rotation: NDArray[np.float64],
             origin: NDArray[np.float64], base: Axes, other: Axes) -> Relative:
    """All (n, 3, 3) and (n, 3), poses in the desk's frame."""
    turn = np.einsum("nki,nkj->nij", base_rotation, rotation)
    shift = np.einsum("nki,nk->ni", base_rotation, origin - base_origin)
    n = len(turn)
    back_turn = np.broadcast_to(np.eye(3), (n, 3, 3)).copy()
    back_shift = np.zeros((n, 3))
    spun = np.flatnonzero(other.has)
    if len(spun):
        way = _turned(turn[spun], other.way[spun])
        foot = _turned(turn[spun], other.foot[spun]) + shift[spun]
        both = base.has[spun]
        if both.any():
            rows = spun[both]
            frame = _frame(base.way[rows])
            p = _turned_back(frame, foot[both] - base.foot[rows])
            q = _turned_back(frame, way[both])
            lead = np.where((np.hypot(q[:, 0], q[:, 1]) > _ALONG)[:, None], q[:, :2], p[:, :2])
            length = np.hypot(lead[:, 0], lead[:, 1])
            free = length <= _ALONG  # coaxial: no direction to turn to, none needed
            divisor = np.where(free, 1.0, length)
            c, s = np.where(free, 1.0, lead[:, 0] / divisor), np.where(free, 0.0, lead[:, 1] / divisor)
            forth = np.zeros((len(rows), 3, 3))
            forth[:, 0, 0], forth[:, 0, 1], forth[:, 1, 0], forth[:, 1, 1] = c, s, -s, c
            forth[:, 2, 2] = 1.0
            whole = frame @ forth @ frame.transpose(0, 2, 1)
            way[both] = _turned(whole, way[both])
            foot[both] = _turned(whole, foot[both] - base.foot[rows]) + base.foot[rows]
            back_turn[rows] = whole.transpose(0, 2, 1)
            back_shift[rows] = base.foot[rows] - _turned(back_turn[rows], base.foot[rows])
        turn[spun] = _frame(way) @ _frame(other.way[spun]).transpose(0, 2, 1)
        shift[spun] = foot - _turned(turn[spun], other.foot[spun])
    whole_turn, whole_shift = np.rint(turn * 1e9), np.rint(shift * 1e6)
    keys = np.concatenate([whole_turn.reshape(n, 9), whole_shift], axis=1).astype(np.int64)
    return Relative(whole_turn / 1e9, whole_shift / 1e6, back_turn, back_shift, keys)


def _turned(rotation: NDArray[np.float64], v: NDArray[np.float64]) -> NDArray[np.float64]:
    made: NDArray[np.float64] = np.einsum("nij,nj->ni", rotation, v)
    return made


def _turned_back(rotation: NDArray[np.float64], v: NDArray[np.float64]) -> NDArray[np.float64]:
    made: NDArray[np.float64] = np.einsum("nji,nj->ni", rotation, v)
    return made


def _frame(way: NDArray[np.float64]) -> NDArray[np.float64]:
    """Right-handed frames (n, 3, 3) in columns, the third along ``way``, from ``way`` alone. Noise is rounded away
    before the branch, so that equal directions get equal frames."""
    aside = np.argmin(np.round(np.abs(way), 6), axis=1)
    x = np.cross(np.eye(3)[aside], way)
    x /= np.linalg.norm(x, axis=1)[:, None]
    return np.stack([x, np.cross(way, x), way], axis=2)
