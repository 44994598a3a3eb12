"""Which bodies can meet at all: boxes only, in numpy.

Two boxes that overlap by less than ``SHALLOW`` in some direction hold no overlap of more than that: two boards that
touch face to face are settled here, without any mesh.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from deskmodel.fit.placed import Placed

__all__ = ["SHALLOW", "TOUCH", "box_gap", "may_overlap", "sweep"]

SHALLOW = 0.005
"""mm. Half of what must be found (tolerances.OVERLAP)."""

TOUCH = 1e-6
"""mm. Boxes this near count as touching."""

Pairs = tuple[NDArray[np.int64], NDArray[np.int64]]


def sweep(low: NDArray[np.float64], high: NDArray[np.float64]) -> Pairs:
    """Pairs (i < j) of boxes (n, 3) that touch or overlap, ordered: one sorted sweep along the axis that leaves
    fewest candidates."""
    n = len(low)
    best: tuple[int, NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]] | None = None
    for axis in range(3):
        order = np.argsort(low[:, axis], kind="stable")
        ends = np.searchsorted(low[order, axis], high[order, axis] + TOUCH, side="right")
        count = np.maximum(ends - np.arange(n) - 1, 0)
        total = int(count.sum())
        if best is None or total < best[0]:
            best = (total, order, count, np.arange(n))
    if best is None or best[0] == 0:
        return np.empty(0, np.int64), np.empty(0, np.int64)
    total, order, count, ranks = best
    first = np.repeat(ranks, count)
    second = np.arange(total) - np.repeat(np.cumsum(count) - count, count) + first + 1
    i, j = order[first], order[second]
    near = ((low[i] <= high[j] + TOUCH) & (low[j] <= high[i] + TOUCH)).all(axis=1)
    i, j = i[near], j[near]
    i, j = np.minimum(i, j), np.maximum(i, j)
    ranked = np.lexsort((j, i))
    return i[ranked], j[ranked]


def box_gap(placed: Placed, i: NDArray[np.int64], j: NDArray[np.int64]) -> NDArray[np.float64]:
    """Largest separation (mm) found along the desk's and both bodies' own axes: never more than the true gap,
    negative where the boxes overlap in all of these directions by at least so much."""
    desk = np.maximum(placed.low[j] - placed.high[i], placed.low[i] - placed.high[j]).max(axis=1)
    between = (np.einsum("nij,nj->ni", placed.rotation[j], placed.centre[j]) + placed.origin[j]
               - np.einsum("nij,nj->ni", placed.rotation[i], placed.centre[i]) - placed.origin[i])
    turn = np.einsum("nki,nkj->nij", placed.rotation[i], placed.rotation[j])
    size = np.abs(turn)
    own = (np.abs(np.einsum("nki,nk->ni", placed.rotation[i], between)) - placed.half[i]
           - np.einsum("nij,nj->ni", size, placed.half[j])).max(axis=1)
    other = (np.abs(np.einsum("nki,nk->ni", placed.rotation[j], between)) - placed.half[j]
             - np.einsum("nji,nj->ni", size, placed.half[i])).max(axis=1)
    found: NDArray[np.float64] = np.maximum(desk, np.maximum(own, other))
    return found


def may_overlap(placed: Placed, i: NDArray[np.int64], j: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Whether the boxes of each pair overlap by more than ``SHALLOW`` in every direction looked at."""
    kept: NDArray[np.bool_] = box_gap(placed, i, j) < -SHALLOW
    return kept
