"""Many points and many rays asked of solids at once: what ``Solid.holds`` and ``Solid.blocks`` say one by one, as arrays.

Rays run along +z, towards the eye. Points are (n, 3) float, mm, in the frame of the solids; answers are (n,) bool. A body is
asked only about the points in its box, which are found by their x.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from deskmodel.drawing._rays import Bools, Floats, Rows, Spans, contains, spans_up
from deskmodel.drawing._solids import LONGER, Body, Solid
from deskmodel.features import Box3

__all__ = ["blocked", "holds"]


def holds(solid: Solid, points: Floats) -> Bools:
    """Whether there is material at each point."""
    inside = np.zeros(len(points), bool)
    for body, rows in _reached(solid.adds, points, 3):
        inside[rows] |= contains(body, points[rows])
    left = np.flatnonzero(inside)
    for body, rows in _reached(solid.cuts, points[left], 3):
        inside[left[rows]] &= ~contains(body, points[left[rows]])
    return inside


def blocked(solids: Sequence[Solid], points: Floats) -> Bools:
    """Whether the ray from each point meets material of any solid, more than a micrometre of it."""
    found = np.zeros(len(points), bool)
    for i, rows in _in_boxes([solid.box for solid in solids], points, 2):
        rows = rows[~found[rows] & (points[rows, 2] < solids[i].box[1][2])]
        if len(rows):
            found[rows] = _blocks(solids[i], points[rows])
    return found


def _reached(bodies: Sequence[Body], points: Floats, axes: int) -> Iterator[tuple[Body, Rows]]:
    return ((bodies[i], rows) for i, rows in _in_boxes([body.box for body in bodies], points, axes))


def _in_boxes(boxes: Sequence[Box3], points: Floats, axes: int) -> Iterator[tuple[int, Rows]]:
    """Numbers of the boxes that hold points, and which, in the first ``axes`` coordinates."""
    if not len(boxes) or not len(points):
        return
    order = np.argsort(points[:, 0], kind="stable")
    sorted_ = points[order]
    corners = np.array(boxes)
    starts = np.searchsorted(sorted_[:, 0], corners[:, 0, 0], "left")
    stops = np.searchsorted(sorted_[:, 0], corners[:, 1, 0], "right")
    for i in np.flatnonzero(stops > starts):
        some = sorted_[starts[i] : stops[i], 1:axes]
        there = ((some >= corners[i, 0, 1:axes]) & (some <= corners[i, 1, 1:axes])).all(axis=1)
        if there.any():
            yield int(i), order[starts[i] : stops[i]][there]


def _blocks(solid: Solid, points: Floats) -> Bools:
    found = np.zeros(len(points), bool)
    rays, low, high = _through(solid.adds, points)
    ahead = high > LONGER
    rays, low, high = rays[ahead], np.maximum(low[ahead], 0.0), high[ahead]
    if not len(rays):
        return found
    some = np.unique(rays)
    holes, start, stop = _through(solid.cuts, points[some])
    holes = some[holes]
    order = np.lexsort((stop, start, holes))
    holes, start, stop = holes[order], start[order], stop[order]
    first, last = np.searchsorted(holes, rays, "left"), np.searchsorted(holes, rays, "right")
    free = np.zeros(len(rays), bool)
    for k in range(int((last - first).max(initial=0))):  # the k-th cut of each ray
        at = np.flatnonzero(first + k < last)
        opens, closes = start[first[at] + k], stop[first[at] + k]
        meets = (closes > low[at]) & (opens < high[at])
        at, opens, closes = at[meets], opens[meets], closes[meets]
        free[at] |= opens - low[at] > LONGER
        low[at] = np.maximum(low[at], closes)
    free |= high - low > LONGER
    found[rays[free]] = True
    return found


def _through(bodies: Sequence[Body], points: Floats) -> Spans:
    """Where the rays run in the bodies."""
    found: list[Spans] = []
    for body, rows in _reached(bodies, points, 2):
        found += ((rows[rays], low, high) for rays, low, high in spans_up(body, points[rows]))
    if not found:
        return np.zeros(0, np.int64), np.zeros(0), np.zeros(0)
    rays, low, high = (np.concatenate(part) for part in zip(*found, strict=True))
    return rays, low, high
