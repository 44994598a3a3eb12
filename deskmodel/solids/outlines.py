"""Faces of plain solids as loops of points: what a mesh of boards, plates, holes and turned hardware needs.

Plain faces are planes bounded by lines and circles, and bands of cylinders and cones between two circles about their axis
(whole or in part, or from one circle to the tip). Each edge is divided once, so neighbours agree to the last digit. A
shape with any other face is not ours: the kernel meshes it. For a plate with 480 holes this takes a tenth of the
kernel's time; the triangles are made by whoever may use a mesh library.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepTools import BRepTools_WireExplorer
from OCP.GeomAbs import GeomAbs_CurveType, GeomAbs_SurfaceType
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FORWARD, TopAbs_REVERSED, TopAbs_VERTEX, TopAbs_WIRE
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape
from OCP.TopTools import TopTools_IndexedMapOfShape

from deskmodel.solids.brep import faces_of
from deskmodel.solids.meshing import SurfaceKind, surface_of

__all__ = ["Flat", "Outline", "outlines"]

Loop = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Flat:
    """Loops as places in a plane, (k, 2) each; its origin (3) and axes (3, 2)."""

    loops: list[NDArray[np.float64]]
    origin: NDArray[np.float64]
    axes: NDArray[np.float64]

    def lifted(self, places: NDArray[np.float64]) -> NDArray[np.float64]:
        """Places (k, 2) as points (k, 3)."""
        lifted: NDArray[np.float64] = self.origin + places @ self.axes.T
        return lifted


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """One face. ``loops`` are numbers of points; ``surface`` as in ``FaceMesh``; ``reversed``: triangles made as said here
    must be turned round to look outward.

    plane          closed loops (the last point joins the first), the outer one first, material on the left
    cylinder, cone two chains side by side in the same direction, the material on the left of the first; ends are
                   included (on a whole band first and last are one point); a chain of one point is the tip
    """

    kind: SurfaceKind
    surface: tuple[float, ...]
    loops: list[Loop]
    flat: Flat | None
    reversed: bool


def outlines(shape: TopoDS_Shape, deflection: float, angle: float) -> tuple[NDArray[np.float64], list[Outline]] | None:
    """Points (n, 3) and the outline of each face in the order of ``faces_of``; None where the shape is not plain.

    Circles are divided so that chords miss them by at most half of ``deflection`` (mm), which is what the kernel's mesher
    makes of it, and turn by at most ``angle`` (radians) each.
    """
    adaptors = [(face, BRepAdaptor_Surface(face, False)) for face in faces_of(shape)]
    if any(adaptor.GetType() not in _PLAIN for _, adaptor in adaptors):
        return None
    edges = _Edges(shape, deflection, angle)
    if not edges.plain:
        return None
    found = []
    for face, adaptor in adaptors:
        outline = _outline(face, adaptor, edges)
        if outline is None:
            return None
        found.append(outline)
    return edges.points, found


_PLAIN = frozenset({GeomAbs_SurfaceType.GeomAbs_Plane, GeomAbs_SurfaceType.GeomAbs_Cylinder,
                    GeomAbs_SurfaceType.GeomAbs_Cone})


class _Edges:
    """All edges of a shape, each divided once. ``points`` (n, 3): vertices first, then what lies on edges."""

    def __init__(self, shape: TopoDS_Shape, deflection: float, angle: float) -> None:
        self._edges, self._vertices = TopTools_IndexedMapOfShape(), TopTools_IndexedMapOfShape()
        TopExp.MapShapes_s(shape, TopAbs_EDGE, self._edges)
        TopExp.MapShapes_s(shape, TopAbs_VERTEX, self._vertices)
        vertices = np.array([BRep_Tool.Pnt_s(TopoDS.Vertex_s(self._vertices.FindKey(i))).Coord()
                             for i in range(1, self._vertices.Extent() + 1)]).reshape(-1, 3)
        self._chains: list[Loop] = []
        self.straight: list[bool] = []
        self.points = vertices
        self.plain = False
        circles: list[tuple[float, ...]] = []
        counts: list[int] = []
        at = len(vertices)
        for i in range(1, self._edges.Extent() + 1):
            edge = TopoDS.Edge_s(self._edges.FindKey(i))
            arc = _arc(edge, deflection, angle)
            if arc is None:
                return
            ends = [self._vertices.FindIndex(end) - 1
                    for end in (TopExp.FirstVertex_s(edge, False), TopExp.LastVertex_s(edge, False))]
            if min(ends) < 0:
                return  # an edge without end
            inner = 0
            if arc:
                inner = int(arc[-1]) - 1
                circles.append(arc)
                counts.append(inner)
            self._chains.append(np.array([ends[0], *range(at, at + inner), ends[1]], dtype=np.int64))
            self.straight.append(not arc)
            at += inner
        inner_points = _divided(np.array(circles).reshape(-1, 13), np.array(counts, dtype=np.int64))
        self.points = np.concatenate([vertices, inner_points]) + 0.0  # no negative zeros
        self.plain = True

    def chain(self, edge: Any) -> tuple[Loop, bool]:
        """Points along an edge as it is used (its orientation counts), and whether it is straight."""
        i = self._edges.FindIndex(edge) - 1
        chain = self._chains[i]
        return (chain if edge.Orientation() == TopAbs_FORWARD else chain[::-1]), self.straight[i]


def _arc(edge: Any, deflection: float, angle: float) -> tuple[float, ...] | None:
    """Of a circle: centre (3), its x and y axis times the radius (6), first and last angle, radius, number of parts. Of a
    line, or the edge without length at a cone's tip: nothing. None for other curves."""
    if BRep_Tool.Degenerated_s(edge):
        return ()
    curve = BRepAdaptor_Curve(edge)
    if curve.GetType() == GeomAbs_CurveType.GeomAbs_Line:
        return ()
    if curve.GetType() != GeomAbs_CurveType.GeomAbs_Circle:
        return None
    circle = curve.Circle()
    radius = circle.Radius()
    if radius <= deflection:
        return None
    first, last = curve.FirstParameter(), curve.LastParameter()
    step = min(angle, 2.0 * math.acos(1.0 - deflection / 2.0 / radius))
    count = max(math.ceil((last - first) / step - 1e-9), 3 if last - first > 4.0 else 2)
    frame = circle.Position()
    return (*circle.Location().Coord(), *frame.XDirection().Coord(), *frame.YDirection().Coord(), first, last, radius, count)


def _divided(circles: NDArray[np.float64], counts: NDArray[np.int64]) -> NDArray[np.float64]:
    """Points between the ends of circles (rows of ``_arc``), along their parameters, one circle after the other."""
    rows = np.repeat(np.arange(len(circles)), counts)
    number = np.arange(len(rows)) - np.repeat(np.cumsum(counts) - counts, counts) + 1
    of = circles[rows]
    turn = (of[:, 9] + (of[:, 10] - of[:, 9]) * number / of[:, 12])[:, None]
    made: NDArray[np.float64] = of[:, :3] + of[:, 11:12] * (np.cos(turn) * of[:, 3:6] + np.sin(turn) * of[:, 6:9])
    return made


def _outline(face: Any, adaptor: BRepAdaptor_Surface, edges: _Edges) -> Outline | None:
    forward = TopoDS.Face_s(face.Oriented(TopAbs_FORWARD))
    wires = _wires(forward, edges)
    kind, surface = surface_of(adaptor)
    turned = face.Orientation() == TopAbs_REVERSED
    if kind == "plane":
        loops = [_closed([chain for chain, _ in wire]) for wire in wires]
        if any(loop is None for loop in loops):
            return None
        frame = adaptor.Plane().Position()
        origin, x, y = (np.array(part.Coord()) for part in (frame.Location(), frame.XDirection(), frame.YDirection()))
        whole = [loop for loop in loops if loop is not None]
        axes = np.column_stack([x, y])
        flat = [(edges.points[loop] - origin) @ axes for loop in whole]
        order = _outer_first(flat)
        return Outline(kind, surface, [whole[k] for k in order], Flat([flat[k] for k in order], origin, axes), turned)
    chains = _band(wires, edges, np.array(surface[:3]), np.array(surface[3:6]))
    return None if chains is None else Outline(kind, surface, chains, None, turned)


def _outer_first(flat: list[NDArray[np.float64]]) -> list[int]:
    """Numbers of the loops, the one that reaches farthest first: the others lie in it."""
    if len(flat) == 1:
        return [0]
    ends = np.cumsum([0, *(len(loop) for loop in flat[:-1])])
    outer = int(np.argmax(np.maximum.reduceat(np.concatenate(flat)[:, 0], ends)))
    return [outer, *(k for k in range(len(flat)) if k != outer)]


def _wires(face: Any, edges: _Edges) -> list[list[tuple[Loop, bool]]]:
    wires = []
    explorer = TopExp_Explorer(face, TopAbs_WIRE)
    while explorer.More():
        walk = BRepTools_WireExplorer(TopoDS.Wire_s(explorer.Current()), face)
        wire = []
        while walk.More():
            wire.append(edges.chain(walk.Current()))
            walk.Next()
        wires.append(wire)
        explorer.Next()
    return wires


def _closed(chains: list[Loop]) -> Loop | None:
    """One loop from chains that follow each other; None where they don't."""
    if not chains:
        return None
    for chain, following in zip(chains, [*chains[1:], chains[0]], strict=True):
        if chain[-1] != following[0]:
            return None
    loop = np.concatenate([chain[:-1] for chain in chains])
    return loop if len(loop) >= 3 and len(np.unique(loop)) == len(loop) else None


def _band(wires: list[list[tuple[Loop, bool]]], edges: _Edges, origin: NDArray[np.float64],
          axis: NDArray[np.float64]) -> list[Loop] | None:
    """The two chains of a band; None where the face is no band."""
    if len(wires) != 1 or _closed_walk(wires[0]) is None:
        return None
    round_ = [chain for chain, straight in wires[0] if not straight]
    sides = [chain for chain, straight in wires[0] if straight]
    for chain in round_:  # all points of a chain at one height: a circle about the axis
        height = (edges.points[chain] - origin) @ axis
        if np.ptp(height) > 1e-6:
            return None
    tips = [chain for chain in sides if chain[0] == chain[-1]]  # the edge without length at a cone's tip
    if len(round_) == 2 and len(sides) == 2 and not tips:
        return [round_[0], round_[1][::-1]]
    if len(round_) == 1 and len(tips) == 1 and len(sides) == 3:
        return [round_[0], tips[0][:1]]
    return None


def _closed_walk(wire: list[tuple[Loop, bool]]) -> bool | None:
    chains = [chain for chain, _ in wire]
    follows = all(chain[-1] == nxt[0] for chain, nxt in zip(chains, [*chains[1:], chains[0]], strict=True))
    return True if follows else None
