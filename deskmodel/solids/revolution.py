"""Whether a solid looks the same however it is turned about one axis, decided on its surfaces and edges."""

from __future__ import annotations

from typing import Any

from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_CurveType, GeomAbs_SurfaceType
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from deskmodel.frames import Vec, cross, dot, norm, scale, sub
from deskmodel.solids.brep import faces_of

__all__ = ["axis_of_revolution"]

_LENGTH = 1e-7  # mm: off-axis by less is on the axis
_ANGLE = 1e-9


def axis_of_revolution(shape: TopoDS_Shape) -> tuple[Vec, Vec] | None:
    """A point of the axis and its direction, or None.

    Found when every face is a plane square to the axis or a cylinder, cone, sphere or torus about it, and every
    edge a full circle about it, a seam or a point. That is enough and a little strict: a cylinder made of two
    halves is not found, which costs time only.
    """
    axis = None
    faces = faces_of(shape)
    for face in faces:
        axis = _axis_of(BRepAdaptor_Surface(face, False))
        if axis is not None:
            break
    if axis is None:
        return None
    point, direction = axis
    if not all(_about(BRepAdaptor_Surface(face, False), point, direction) for face in faces):
        return None
    if not all(_edges_about(face, point, direction) for face in faces):
        return None
    foot = sub(point, scale(direction, dot(point, direction)))  # the axis' point nearest the origin
    return foot, direction


def _axis_of(surface: BRepAdaptor_Surface) -> tuple[Vec, Vec] | None:
    kind = surface.GetType()
    if kind == GeomAbs_SurfaceType.GeomAbs_Cylinder:
        found = surface.Cylinder().Axis()
    elif kind == GeomAbs_SurfaceType.GeomAbs_Cone:
        found = surface.Cone().Axis()
    elif kind == GeomAbs_SurfaceType.GeomAbs_Torus:
        found = surface.Torus().Axis()
    else:
        return None
    return found.Location().Coord(), found.Direction().Coord()


def _about(surface: BRepAdaptor_Surface, point: Vec, direction: Vec) -> bool:
    kind = surface.GetType()
    if kind == GeomAbs_SurfaceType.GeomAbs_Plane:
        return norm(cross(surface.Plane().Axis().Direction().Coord(), direction)) < _ANGLE
    if kind == GeomAbs_SurfaceType.GeomAbs_Sphere:
        return _on_axis(surface.Sphere().Location().Coord(), point, direction)
    own = _axis_of(surface)
    return (own is not None and norm(cross(own[1], direction)) < _ANGLE
            and _on_axis(own[0], point, direction))


def _on_axis(p: Vec, point: Vec, direction: Vec) -> bool:
    return norm(cross(sub(p, point), direction)) < _LENGTH


def _edges_about(face: Any, point: Vec, direction: Vec) -> bool:
    explorer = TopExp_Explorer(face, TopAbs_EDGE)
    while explorer.More():
        edge = TopoDS.Edge_s(explorer.Current())
        explorer.Next()
        if BRep_Tool.Degenerated_s(edge) or BRep_Tool.IsClosed_s(edge, face):
            continue  # the point of a cone, or a seam
        curve = BRepAdaptor_Curve(edge)
        if curve.GetType() != GeomAbs_CurveType.GeomAbs_Circle:
            return False
        circle = curve.Circle()
        turned = abs(curve.LastParameter() - curve.FirstParameter())
        if (turned < 6.283185 or norm(cross(circle.Axis().Direction().Coord(), direction)) > _ANGLE
                or not _on_axis(circle.Location().Coord(), point, direction)):
            return False
    return True
