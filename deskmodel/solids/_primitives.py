"""Profiles, prisms and revolves as kernel shapes. No boolean operations here."""

from __future__ import annotations

import math
from collections.abc import Sequence

from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
)
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax1, gp_Ax2, gp_Ax3, gp_Circ, gp_Dir, gp_Pln, gp_Pnt, gp_Trsf, gp_Vec
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

from deskmodel.errors import BuildFault
from deskmodel.features import Prism, Revolve
from deskmodel.frames import Pose, Vec, add, scale
from deskmodel.profiles import Profile

__all__ = ["face_of", "location", "prism_solid", "revolve_solid", "sheet_solid"]


def location(pose: Pose) -> TopLoc_Location:
    """The pose as a kernel location."""
    t = gp_Trsf()
    (a, b, c), (d, e, f), (g, h, i) = pose.rotation
    x, y, z = pose.origin
    t.SetValues(a, b, c, x, d, e, f, y, g, h, i, z)
    return TopLoc_Location(t)


def prism_solid(prism: Prism) -> TopoDS_Shape:
    z = prism.pose.axis(2)
    face = face_of(prism.profile, prism.pose)
    return BRepPrimAPI_MakePrism(face, gp_Vec(*scale(z, prism.depth))).Shape()


def sheet_solid(outline: Profile, holes: Sequence[Profile], thickness: float) -> TopoDS_Shape:
    """The outline with its holes as wires of one face, extruded along z: no boolean, however many holes."""
    return BRepPrimAPI_MakePrism(face_of(outline, Pose(), holes), gp_Vec(0.0, 0.0, thickness)).Shape()


def revolve_solid(revolve: Revolve) -> TopoDS_Shape:
    pose = revolve.pose
    x, z = pose.axis(0), pose.axis(2)

    def at(rz: tuple[float, float]) -> Vec:
        return add(pose.origin, add(scale(x, rz[0]), scale(z, rz[1])))

    wire = BRepBuilderAPI_MakeWire()
    points = [gp_Pnt(*at(p)) for p in revolve.half]
    for start, end in zip(points, points[1:] + points[:1], strict=True):
        wire.Add(BRepBuilderAPI_MakeEdge(start, end).Edge())
    face = BRepBuilderAPI_MakeFace(wire.Wire(), True)
    if not face.IsDone():
        raise BuildFault(f"the half profile {revolve.half} makes no face")
    axis = gp_Ax1(gp_Pnt(*pose.origin), gp_Dir(*z))
    solid = BRepPrimAPI_MakeRevol(face.Face(), axis).Shape()
    return _outwards(solid)


def face_of(profile: Profile, pose: Pose, holes: Sequence[Profile] = ()) -> TopoDS_Face:
    """The flat face of a profile in the xy plane of ``pose``, with holes."""
    plane = gp_Pln(gp_Ax3(gp_Pnt(*pose.origin), gp_Dir(*pose.axis(2)), gp_Dir(*pose.axis(0))))
    maker = BRepBuilderAPI_MakeFace(plane, _wire(profile, pose), True)
    for hole in holes:
        maker.Add(TopoDS.Wire_s(_wire(hole, pose).Reversed()))
    if not maker.IsDone():
        raise BuildFault(f"the profile {profile.vertices[:4]}… makes no face")
    face = maker.Face()
    if BRep_Tool.Surface_s(face) is None:
        raise BuildFault("a face without a surface")
    return face


def _wire(profile: Profile, pose: Pose) -> TopoDS_Wire:
    maker = BRepBuilderAPI_MakeWire()
    round_hole = profile.as_circle
    if round_hole:
        (x, y), radius = round_hole
        centre = gp_Pnt(*pose.apply((x, y, 0.0)))
        axes = gp_Ax2(centre, gp_Dir(*pose.axis(2)), gp_Dir(*pose.axis(0)))
        maker.Add(BRepBuilderAPI_MakeEdge(gp_Circ(axes, radius)).Edge())
        return maker.Wire()
    points = [gp_Pnt(*pose.apply((x, y, 0.0))) for x, y, _ in profile.vertices]
    for (start, end, bulge), p, q in zip(profile.edges(), points, points[1:] + points[:1], strict=True):
        if bulge:
            # the arc's middle lies bulge · half chord to the right of the chord
            mx = (start[0] + end[0]) / 2 + bulge / 2 * (end[1] - start[1])
            my = (start[1] + end[1]) / 2 - bulge / 2 * (end[0] - start[0])
            arc = GC_MakeArcOfCircle(p, gp_Pnt(*pose.apply((mx, my, 0.0))), q)
            maker.Add(BRepBuilderAPI_MakeEdge(arc.Value()).Edge())
        else:
            maker.Add(BRepBuilderAPI_MakeEdge(p, q).Edge())
    if not maker.IsDone():
        raise BuildFault(f"the profile {profile.vertices[:4]}… makes no closed wire")
    return maker.Wire()


def _outwards(solid: TopoDS_Shape) -> TopoDS_Shape:
    """A solid turned from a half profile may come out inside out, depending on the sense of the profile."""
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, properties)
    if math.isclose(properties.Mass(), 0.0, abs_tol=1e-12):
        raise BuildFault("a turned solid without volume")
    return solid if properties.Mass() > 0 else solid.Reversed()
