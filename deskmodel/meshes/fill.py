"""Triangles that fill closed loops in a plane, quick also where there are hundreds of round holes.

Each round hole with room round it gets a square, its corners laced to the hole; what is left, with squares of four points
for holes of a hundred, goes to the mesh library. The triangles are also shorter than if holes were filled to each other,
which makes trees over them tighter.

    +-------+
    |\\ /_\\ /|     corners are new points, in the plane of the face
    | (   ) |
    |/ \\_/ \\|
    +-------+
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["filled"]

Points = NDArray[np.float64]
Triangles = NDArray[np.int64]

_CORNERS = np.array([(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)])
_FEWEST = 12  # points of a hole; below this a square saves nothing
_ROUND = 1e-6  # mm by which points of a round hole may differ in radius
_SIZES = (1.4, 1.2, 1.08)  # half side of a square in radii, tried one after the other
_ROWS = 512  # boxes compared with all others at a time


def filled(loops: list[Points]) -> tuple[Points, Triangles] | None:
    """Points added in the plane (k, 2) and triangles (m, 3), counter-clockwise, of closed loops (n, 2 each) with the
    material on their left. Points are numbered loop after loop, the added ones last. None where the triangles are fewer
    than simple loops need."""
    none = np.empty((0, 2))
    if len(loops) == 1 and len(loops[0]) == 4 and _convex(loops[0]):
        return none, np.array([[0, 1, 2], [0, 2, 3]])
    starts = np.cumsum([0, *map(len, loops)])
    squares = _squares(loops)
    rings: list[Points] = []
    numbers: list[Triangles] = []
    for k, loop in enumerate(loops):
        if k not in squares:
            rings.append(loop)
            numbers.append(np.arange(starts[k], starts[k + 1]))
    added = none
    laced = np.empty((0, 3), dtype=np.int64)
    if squares:
        which = np.array(sorted(squares))
        centres = np.array([squares[k][0] for k in which])
        halves = np.array([squares[k][1] for k in which])
        corners = centres[:, None] + halves[:, None, None] * _CORNERS
        first = int(starts[-1]) + 4 * np.arange(len(which))
        rings += list(corners[:, ::-1])  # clockwise, as holes run
        numbers += [number + np.array([3, 2, 1, 0]) for number in first]
        added = corners.reshape(-1, 2)
        laced = _laced(loops, starts, which, centres, first)
    plain = _triangulated(rings)
    return None if plain is None else (added, np.concatenate([np.concatenate(numbers)[plain], laced]))


def _triangulated(rings: list[Points]) -> Triangles | None:
    from manifold3d import triangulate

    found = np.asarray(triangulate([np.ascontiguousarray(ring) for ring in rings]), dtype=np.int64)
    # n points and h holes need n + 2h - 2 triangles
    return found if len(found) == sum(map(len, rings)) + 2 * (len(rings) - 1) - 2 else None


def _laced(loops: list[Points], starts: Triangles, which: Triangles, centres: Points, first: Triangles) -> Triangles:
    """Triangles between holes (numbers ``which``) and the corners of their squares, of which ``first`` is the first: each
    side of a hole goes to the corner of its quadrant, and where the quadrant changes both corners meet at a point."""
    counts = np.array([len(loops[k]) for k in which])
    hole = np.repeat(np.arange(len(which)), counts)
    begins = np.repeat(np.cumsum(counts) - counts, counts)
    place = np.arange(len(hole)) - begins
    size = counts[hole]
    points = np.concatenate([loops[k] for k in which])
    after = begins + (place + 1) % size
    towards = points + points[after] - 2.0 * centres[hole]
    x, y = towards[:, 0] > 0.0, towards[:, 1] > 0.0
    quadrant = np.where(y, np.where(x, 0, 1), np.where(x, 3, 2))
    before = quadrant[begins + (place - 1) % size]
    own = starts[which][hole]
    number, corner = own + place, first[hole] + quadrant
    turns = quadrant != before
    sides = np.column_stack([number, own + (place + 1) % size, corner])
    bridges = np.column_stack([number, corner, first[hole] + before])[turns]
    return np.concatenate([sides, bridges])


def _squares(loops: list[Points]) -> dict[int, tuple[Points, float]]:
    """Round holes that have room for a square: centre and half side by the number of the loop."""
    which, centres, radii = _circles(loops)
    if not len(which):
        return {}
    known = set(which.tolist())
    straight = [loop for k, loop in enumerate(loops) if k not in known]
    low = np.concatenate([np.minimum(loop, np.roll(loop, -1, axis=0)) for loop in straight])
    high = np.concatenate([np.maximum(loop, np.roll(loop, -1, axis=0)) for loop in straight])
    halves = radii.copy()  # of squares, and of holes that have none yet
    open_ = np.ones(len(which), dtype=bool)
    for size in _SIZES:
        tried = np.flatnonzero(open_)
        if not len(tried):
            break
        wanted = halves.copy()
        wanted[tried] = radii[tried] * size
        free = tried[~(_met(centres, wanted, tried, centres - wanted[:, None], centres + wanted[:, None], itself=True)
                       | _met(centres, wanted, tried, low, high))]
        halves[free] = wanted[free]
        open_[free] = False
    return {int(which[i]): (centres[i], float(halves[i])) for i in np.flatnonzero(~open_)}


def _met(centres: Points, halves: Points, which: Triangles, low: Points, high: Points,
         itself: bool = False) -> NDArray[np.bool_]:
    """Whether the squares ``which`` touch any of the boxes; ``itself``: box i belongs to square i."""
    found = np.zeros(len(which), dtype=bool)
    for begin in range(0, len(which), _ROWS):
        some = which[begin : begin + _ROWS]
        least, most = (centres[some] - halves[some, None])[:, None], (centres[some] + halves[some, None])[:, None]
        hits = (least[..., 0] <= high[:, 0]) & (most[..., 0] >= low[:, 0])
        hits &= (least[..., 1] <= high[:, 1]) & (most[..., 1] >= low[:, 1])
        found[begin : begin + _ROWS] = hits.sum(axis=1) > int(itself)
    return found


def _circles(loops: list[Points]) -> tuple[Triangles, Points, NDArray[np.float64]]:
    """Numbers, centres and radii of the loops after the first whose points lie evenly on a circle and run clockwise, as
    round holes do."""
    which = np.array([k for k, loop in enumerate(loops) if k and len(loop) >= _FEWEST], dtype=np.int64)
    if not len(which):
        return which, np.empty((0, 2)), np.empty(0)
    counts = np.array([len(loops[k]) for k in which])
    starts = np.cumsum(counts) - counts
    hole = np.repeat(np.arange(len(which)), counts)
    points = np.concatenate([loops[k] for k in which])
    centres = np.add.reduceat(points, starts) / counts[:, None]
    spokes = points - centres[hole]
    after = spokes[starts[hole] + (np.arange(len(hole)) - starts[hole] + 1) % counts[hole]]
    lengths, steps = np.hypot(*spokes.T), np.hypot(*(after - spokes).T)
    radii = lengths[starts]
    uneven = np.maximum(np.abs(lengths - radii[hole]), np.abs(steps - steps[starts][hole]))
    clockwise = np.maximum.reduceat(spokes[:, 0] * after[:, 1] - spokes[:, 1] * after[:, 0], starts) < 0.0
    round_ = (np.maximum.reduceat(uneven, starts) <= _ROUND) & clockwise
    return which[round_], centres[round_], radii[round_]


def _convex(loop: Points) -> bool:
    sides = np.roll(loop, -1, axis=0) - loop
    following = np.roll(sides, -1, axis=0)
    return bool((sides[:, 0] * following[:, 1] - sides[:, 1] * following[:, 0] > 0).all())
