"""How deep an overlap is: the smallest width of the overlapping body, by ways that share nothing with a mesh boolean.

A convex piece: the smallest distance of two parallel planes that hold it between them. Directions come from the convex
hull of surface points (faces, principal axes, then a local search); the width along the best direction is then measured
by the kernel, between the piece and two far planes, so no chord error enters.

A piece that is not convex (the sleeve of a tight pin, the crescent of a pin beside its hole's axis) has no such width:
its hull spans the hole. There the depth is the diameter of the largest ball found inside it. Each ball is measured, so
it is never more than the true thickness; for a sleeve it equals the wall, for a crescent its middle.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.gp import gp_Dir, gp_Lin, gp_Pln, gp_Pnt
from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector
from OCP.TopoDS import TopoDS_Shape
from scipy.optimize import minimize
from scipy.spatial import ConvexHull, QhullError

from tests.oracle.distance import distance, inside
from tests.oracle.occ import shells, surface, vertex, volume
from tests.oracle.samples import edge_points, face_normals, surface_points, surface_samples

__all__ = ["Depth", "depth_of"]

Array = np.ndarray[Any, Any]
CONVEX = 0.9  # of the hull's volume: a piece that fills so much of it is measured as convex
MOST = 1500  # hull facets tried as directions, and points kept of a piece
BALLS = 120  # rays tried in a piece that is not convex


@dataclass(frozen=True, slots=True)
class Depth:
    value: float  # mm
    convex: bool  # False: ``value`` is a lower bound (largest ball found)
    hull: float  # mm; smallest width of the piece's hull, the largest number anybody could call its depth


def depth_of(piece: TopoDS_Shape) -> Depth:
    """``piece``: one solid, the overlap of two others."""
    outline = np.vstack([edge_points(piece, 33), surface_points(piece, 0.05)])
    own = volume(piece)
    try:
        filled = own / float(ConvexHull(outline, qhull_options="QJ").volume)
    except (QhullError, ZeroDivisionError):
        filled = 1.0  # too thin for a hull: flat, and its width along its smallest principal axis is the answer
    if filled < CONVEX:
        return Depth(_largest_ball(piece), False, _width(piece, outline, 0.2))
    mean = 2.0 * own / surface(piece)  # of the order of the thickness: sets how finely points are taken
    chord = max(1e-5, 2e-3 * mean)
    fine = surface_points(piece, chord, 0.3)
    width = _width(piece, np.vstack([outline, fine[:: max(1, len(fine) // (4 * MOST))]]), 4.0 * chord)
    return Depth(width, True, width)


def _width(piece: TopoDS_Shape, points: Array, chords: float) -> float:
    """``chords``: how much wider the piece may be than its points."""
    centred = points - points.mean(axis=0)
    directions = [np.linalg.svd(centred, full_matrices=False)[2], face_normals(piece)]
    try:
        hull = ConvexHull(centred, qhull_options="QJ")
        facets = hull.equations[:, :3]
        directions.append(facets[:: max(1, len(facets) // MOST)])  # a smooth cap has more than it needs
        centred = centred[hull.vertices]
    except QhullError:
        pass
    tried = np.vstack(directions)
    widths = np.ptp(centred @ tried.T, axis=0)
    best = tried[int(widths.argmin())]

    def along(q: Array) -> float:
        u = best + q
        return float(np.ptp(centred @ (u / np.linalg.norm(u))))

    step = float(widths.min()) / float(np.ptp(centred, axis=0).max())  # an angle that matters for a flat piece
    start = min(0.02, max(step, 1e-7)) * np.vstack([np.zeros(3), np.eye(3)])
    found = minimize(along, np.zeros(3), method="Nelder-Mead",
                     options={"xatol": 1e-3 * start[1, 0], "fatol": 1e-9, "maxiter": 400, "initial_simplex": start})
    exact = _exact_width(piece, points, best / np.linalg.norm(best))
    if found.fun < widths.min():
        refined = best + found.x
        exact = min(exact, _exact_width(piece, points, refined / np.linalg.norm(refined)))
    # Between planes the kernel sometimes loses a piece of a few thousandths, or a ball's pole: then the points' own
    # width stands.
    estimate = min(float(widths.min()), float(found.fun))
    return exact if estimate - 1e-6 <= exact <= estimate + chords + 1e-6 else estimate


def _exact_width(piece: TopoDS_Shape, points: Array, u: Array) -> float:
    """Between two planes square to ``u``, both 1 mm clear of the piece; their distances to it are the kernel's."""
    low, high = float((points @ u).min()) - 1.0, float((points @ u).max()) + 1.0
    across = points.mean(axis=0) - (points.mean(axis=0) @ u) * u
    reach = float(np.ptp(points, axis=0).max()) * 2.0 + 10.0
    free = 0.0
    for offset in (low, high):
        plane = gp_Pln(gp_Pnt(*(across + offset * u)), gp_Dir(*u))
        face = BRepBuilderAPI_MakeFace(plane, -reach, reach, -reach, reach).Face()
        free += distance(face, piece).value
    return high - low - free


def _largest_ball(piece: TopoDS_Shape) -> float:
    """Diameter of the largest of some balls: centres midway along chords square to the surface."""
    points, normals = surface_samples(piece, 0.05)
    order = np.linspace(0, len(points) - 1, min(BALLS, len(points))).astype(int)
    skin = shells(piece)
    chords = []
    ray = IntCurvesFace_ShapeIntersector()
    ray.Load(piece, 1e-9)
    for i in np.unique(order):
        p, n = points[i], normals[i]
        ray.Perform(gp_Lin(gp_Pnt(*p), gp_Dir(*(-n))), 1e-8, 1e4)
        through = [ray.WParameter(k) for k in range(1, ray.NbPnt() + 1)]
        if through:
            chords.append((min(through), p, n))
    best = 0.0
    for chord, p, n in sorted(chords, key=lambda c: -c[0]):
        if chord <= best:
            break
        middle = p - 0.5 * chord * n
        if inside(piece, (float(middle[0]), float(middle[1]), float(middle[2]))) is not True:
            continue  # the middle of a thin ring's triangle may lie beside the ring
        best = max(best, 2.0 * min(distance(vertex(middle), s).value for s in skin))
    return best
