"""How deep one solid's surface reaches into another, by climbing: no boolean, only point distances and the classifier.

For a pair whose booleans contradict each other. The depth found is real (a surface point that lies so deep inside), so
it is a lower bound of the overlap's thickness, and for a lens or a slab, once climbed, the thickness itself.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.TopoDS import TopoDS_Shape

from deskmodel.frames import Vec
from tests.oracle.distance import depth_inside, distance
from tests.oracle.occ import shells, vertex
from tests.oracle.places import likely_places

__all__ = ["deepest_point"]

SEEDS = 4  # starting points a side
FAR = -0.5  # mm: a start farther out than this has another, nearer one beside it
ROUNDS = 24  # of a climb
SMALLEST = 1e-3  # mm: the climb's last step
_AROUND = [np.array(v) / np.linalg.norm(v) for v in ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1),
                                                     (1, 1, 1), (-1, -1, -1))]


def deepest_point(a: TopoDS_Shape, b: TopoDS_Shape, enough: float = math.inf) -> tuple[float, Vec]:
    """(depth mm, point): the deepest surface point of either solid found inside the other; depth below 0: none.

    ``enough``: stop at the first that is deeper.
    """
    best: tuple[float, Vec] = (-math.inf, (0.0, 0.0, 0.0))
    meetings = _meetings(a, b)
    for skin, other in ((a, b), (b, a)):
        starts = {_on(skin, p) for p in [*meetings, *likely_places(skin, other, 0.0)]}
        tried = sorted(((depth_inside(other, p), p) for p in starts), reverse=True)
        for k, (depth, point) in enumerate(tried[:SEEDS]):
            if k and depth < FAR:
                break
            best = max(best, _climb(skin, other, depth, point))
            if best[0] > enough:
                return best
    return best


def _tuple(p: Any) -> Vec:
    return (float(p[0]), float(p[1]), float(p[2]))


def _on(solid: TopoDS_Shape, point: Vec) -> Vec:
    """The nearest point of the solid's boundary."""
    return min((distance(vertex(point), s) for s in shells(solid)), key=lambda d: d.value).point_b


def _meetings(a: TopoDS_Shape, b: TopoDS_Shape) -> list[Vec]:
    """Points where the boundaries meet, as far as the kernel lists them, and the middles between any two."""
    extrema = BRepExtrema_DistShapeShape(a, b)
    points = []
    for i in range(1, min(extrema.NbSolution(), 8) + 1):
        p = extrema.PointOnShape1(i)
        points.append((p.X(), p.Y(), p.Z()))
    middles = [_tuple((np.array(p) + np.array(q)) / 2) for i, p in enumerate(points) for q in points[:i]]
    return points + middles


def _climb(skin: TopoDS_Shape, other: TopoDS_Shape, depth: float, point: Vec) -> tuple[float, Vec]:
    step = 1.0
    for _ in range(ROUNDS):
        if step < SMALLEST:
            break
        around = [_on(skin, _tuple(np.array(point) + step * v)) for v in _AROUND]
        found = max((depth_inside(other, p), p) for p in around)
        if found[0] > depth + 1e-9:
            depth, point = found
        else:
            step *= 0.3
    return depth, point
