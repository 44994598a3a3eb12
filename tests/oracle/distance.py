"""Exact distance between two solids (BRepExtrema_DistShapeShape), with its own witness.

The kernel may return a minimum that is too large (seen at the poles of spheres: 0.0255 for a ball 0.001 inside a
slab). So a ``witness`` looks for nearer points by other means; two real points nearer than the kernel's answer prove it
wrong, and the pair is counted as a kernel failure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_IN, TopAbs_OUT
from OCP.TopoDS import TopoDS_Shape

from deskmodel.frames import Vec
from tests.oracle.occ import shells, solids, vertex
from tests.oracle.places import likely_places

__all__ = ["Distance", "KernelFailure", "boundary_distance", "depth_inside", "distance", "inside", "witness"]

ROUNDS = 12


class KernelFailure(Exception):
    """The kernel gave no answer, or one that contradicts another of its own."""


@dataclass(frozen=True, slots=True)
class Distance:
    value: float
    point_a: Vec
    point_b: Vec


def distance(a: TopoDS_Shape, b: TopoDS_Shape) -> Distance:
    """Smallest distance of two shapes; 0 where they touch, overlap or (solids only) one holds the other."""
    try:
        extrema = BRepExtrema_DistShapeShape(a, b)
    except Exception as fault:  # Standard_Failure and its children come as plain exceptions
        raise KernelFailure(f"DistShapeShape: {fault}") from fault
    if not extrema.IsDone():
        raise KernelFailure("DistShapeShape: not done")
    if extrema.InnerSolution():
        p = extrema.PointOnShape1(1) if extrema.NbSolution() else gp_Pnt()
        return Distance(0.0, (p.X(), p.Y(), p.Z()), (p.X(), p.Y(), p.Z()))
    if extrema.NbSolution() < 1:
        raise KernelFailure("DistShapeShape: no solution")
    p, q = extrema.PointOnShape1(1), extrema.PointOnShape2(1)
    return Distance(float(extrema.Value()), (p.X(), p.Y(), p.Z()), (q.X(), q.Y(), q.Z()))


def boundary_distance(a: TopoDS_Shape, b: TopoDS_Shape) -> Distance:
    """Smallest distance of the boundaries of two solids: more than 0 also where one lies within the other."""
    return min((distance(s, t) for s in shells(a) for t in shells(b)), key=lambda d: d.value)


def inside(solid: TopoDS_Shape, point: Vec, tolerance: float = 1e-7) -> bool | None:
    """True inside, False outside, None on the boundary."""
    state = BRepClass3d_SolidClassifier(solid, gp_Pnt(*point), tolerance).State()
    if state == TopAbs_IN:
        return True
    return False if state == TopAbs_OUT else None


def depth_inside(solid: TopoDS_Shape, point: Vec) -> float:
    """Distance from the boundary, above 0 inside the solid, below 0 outside."""
    reach = min(distance(vertex(point), s).value for s in shells(solid))
    return reach if inside(solid, point) else -reach


def witness(a: TopoDS_Shape, b: TopoDS_Shape, start: Distance) -> float:
    """An upper bound of the gap that does not come from shape-to-shape extrema: from the kernel's own point and from
    the likeliest places, to and fro between the shapes by nearest points. 0 where it comes to lie in the other."""
    best = start.value
    for place in (start.point_a, *likely_places(a, b, start.value)):
        # places lie on triangles, which stand off the surface: first onto it
        point = min((distance(vertex(place), s) for s in shells(a)), key=lambda d: d.value).point_b
        before = math.inf
        for _ in range(ROUNDS):
            there = _nearest(b, point)
            back = _nearest(a, there.point_b)
            point, now = back.point_b, min(there.value, back.value)
            best = min(best, now)
            if now > before - 1e-7:
                break
            before = now
    return best


def _nearest(shape: TopoDS_Shape, point: Vec) -> Distance:
    """From a point to the nearest of the shape's solids; 0 inside."""
    return min((distance(vertex(point), s) for s in solids(shape)), key=lambda d: d.value)
