"""Points that lie on the true surface of a shape, with outward normals (from the surfaces, not from triangles)."""

from __future__ import annotations

from typing import Any

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.gp import gp_Pnt, gp_Vec
from OCP.IMeshTools import IMeshTools_MeshAlgoType_Delabella, IMeshTools_Parameters
from OCP.TopAbs import TopAbs_REVERSED
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Shape

from tests.oracle.occ import edges, faces

__all__ = ["edge_points", "face_normals", "surface_points", "surface_samples", "surface_triangles"]

Array = np.ndarray[Any, Any]


def _meshed_copy(shape: TopoDS_Shape, deflection: float, angle: float) -> TopoDS_Shape:
    """The oracle's shapes must stay free of triangles: the kernel's own boxes would use them."""
    copy = BRepBuilderAPI_Copy(shape, True, False).Shape()
    wanted = IMeshTools_Parameters()
    wanted.Deflection, wanted.Angle, wanted.Relative = deflection, angle, False
    wanted.MeshAlgo = IMeshTools_MeshAlgoType_Delabella  # a plate of 480 vents: 0.6 s instead of 17 s
    BRepMesh_IncrementalMesh(copy, wanted)
    return copy


def surface_points(shape: TopoDS_Shape, deflection: float, angle: float = 0.4) -> Array:
    """(n, 3) mm: nodes of a mesh; each lies on the surface itself."""
    nodes = []
    for face in faces(_meshed_copy(shape, deflection, angle)):
        location = TopLoc_Location()
        mesh = BRep_Tool.Triangulation_s(face, location)
        if mesh is None:
            continue
        trsf = location.Transformation()
        for i in range(1, mesh.NbNodes() + 1):
            p = mesh.Node(i).Transformed(trsf)
            nodes.append((p.X(), p.Y(), p.Z()))
    return np.array(nodes).reshape(-1, 3)


def surface_triangles(shape: TopoDS_Shape, deflection: float, angle: float = 0.4) -> Array:
    """(n, 3, 3) mm: corners of the triangles of a mesh."""
    found = []
    for face in faces(_meshed_copy(shape, deflection, angle)):
        location = TopLoc_Location()
        mesh = BRep_Tool.Triangulation_s(face, location)
        if mesh is None:
            continue
        trsf = location.Transformation()
        nodes = np.array([mesh.Node(i).Transformed(trsf).Coord() for i in range(1, mesh.NbNodes() + 1)])
        found.append(nodes[np.array([mesh.Triangle(i).Get() for i in range(1, mesh.NbTriangles() + 1)]) - 1])
    return np.concatenate(found) if found else np.empty((0, 3, 3))


def surface_samples(shape: TopoDS_Shape, deflection: float, angle: float = 0.3) -> tuple[Array, Array]:
    """(n, 3) points in the middle of each triangle's parameters, put on the surface, and their outward normals."""
    points, normals = [], []
    for face in faces(_meshed_copy(shape, deflection, angle)):
        mesh = BRep_Tool.Triangulation_s(face, TopLoc_Location())
        if mesh is None or not mesh.HasUVNodes():
            continue
        surface = BRepAdaptor_Surface(face)
        sign = -1.0 if face.Orientation() == TopAbs_REVERSED else 1.0
        for i in range(1, mesh.NbTriangles() + 1):
            uv = [mesh.UVNode(k) for k in mesh.Triangle(i).Get()]
            p, du, dv = gp_Pnt(), gp_Vec(), gp_Vec()
            surface.D1(sum(c.X() for c in uv) / 3.0, sum(c.Y() for c in uv) / 3.0, p, du, dv)
            n = du.Crossed(dv)
            if n.Magnitude() < 1e-12:
                continue
            n = n.Normalized().Multiplied(sign)
            points.append((p.X(), p.Y(), p.Z()))
            normals.append((n.X(), n.Y(), n.Z()))
    return np.array(points).reshape(-1, 3), np.array(normals).reshape(-1, 3)


def edge_points(shape: TopoDS_Shape, count: int = 9) -> Array:
    """(n, 3) mm: points on every edge, ends included; there also where a piece is too thin to be meshed."""
    points = []
    for edge in edges(shape):
        if BRep_Tool.Degenerated_s(edge):
            continue
        curve = BRepAdaptor_Curve(edge)
        for t in np.linspace(curve.FirstParameter(), curve.LastParameter(), count):
            p = curve.Value(float(t))
            points.append((p.X(), p.Y(), p.Z()))
    return np.array(points).reshape(-1, 3)


def face_normals(shape: TopoDS_Shape, count: int = 7) -> Array:
    """(n, 3) unit normals on a grid over each face's parameters (both signs are one direction here)."""
    normals = []
    for face in faces(shape):
        surface = BRepAdaptor_Surface(face)
        for u in np.linspace(surface.FirstUParameter(), surface.LastUParameter(), count):
            for v in np.linspace(surface.FirstVParameter(), surface.LastVParameter(), count):
                p, du, dv = gp_Pnt(), gp_Vec(), gp_Vec()
                surface.D1(float(u), float(v), p, du, dv)
                n = du.Crossed(dv)
                if n.Magnitude() > 1e-12:
                    n.Normalize()
                    normals.append((n.X(), n.Y(), n.Z()))
    return np.unique(np.round(np.array(normals).reshape(-1, 3), 12), axis=0)
