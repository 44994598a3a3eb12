"""The few kernel calls the oracle and the tests' part kinds are made of. mm; shapes are ``TopoDS_Shape``.

Kernel: OCP 7.9.3. Nothing here keeps triangles on a shape it was given.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Builder
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_MakeVertex,
    BRepBuilderAPI_MakeWire,
)
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCone,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakePrism,
    BRepPrimAPI_MakeRevol,
    BRepPrimAPI_MakeSphere,
    BRepPrimAPI_MakeTorus,
)
from OCP.GeomAPI import GeomAPI_Interpolate
from OCP.gp import gp_Ax1, gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TColgp import TColgp_HArray1OfPnt
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_SHELL, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Compound, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Solid
from OCP.TopTools import TopTools_ListOfShape

from deskmodel.frames import Pose, Vec

__all__ = ["box", "box_of", "compound", "cone", "cut", "cylinder", "edges", "faces", "fuse", "moved", "plate_with_holes",
           "prism", "revolved", "shells", "single_solid", "solids", "sphere", "spline_prism", "surface", "torus", "vertex",
           "volume", "volume_within"]


def _point(p: Sequence[float]) -> gp_Pnt:
    return gp_Pnt(p[0], p[1], p[2])


def _explore(shape: TopoDS_Shape, kind: object) -> list[TopoDS_Shape]:
    explorer = TopExp_Explorer(shape, kind)
    found = []
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def solids(shape: TopoDS_Shape) -> list[TopoDS_Solid]:
    return [TopoDS.Solid_s(s) for s in _explore(shape, TopAbs_SOLID)]


def shells(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    return _explore(shape, TopAbs_SHELL)


def faces(shape: TopoDS_Shape) -> list[TopoDS_Face]:
    return [TopoDS.Face_s(f) for f in _explore(shape, TopAbs_FACE)]


def edges(shape: TopoDS_Shape) -> list[TopoDS_Edge]:
    return [TopoDS.Edge_s(e) for e in _explore(shape, TopAbs_EDGE)]


def single_solid(shape: TopoDS_Shape) -> TopoDS_Solid:
    """The one solid of what a boolean returned; anything else is a fault of the test's own generator."""
    found = solids(shape)
    if len(found) != 1:
        raise AssertionError(f"expected one solid, the kernel returned {len(found)}")
    return found[0]


def compound(parts: Iterable[TopoDS_Shape]) -> TopoDS_Compound:
    builder, result = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(result)
    for part in parts:
        builder.Add(result, part)
    return result


def moved(shape: TopoDS_Shape, pose: Pose) -> TopoDS_Shape:
    """``shape`` where ``pose`` puts it, on top of where it already stands."""
    trsf = gp_Trsf()
    (a, b, c), o = pose.rotation, pose.origin
    trsf.SetValues(a[0], a[1], a[2], o[0], b[0], b[1], b[2], o[1], c[0], c[1], c[2], o[2])
    return shape.Moved(TopLoc_Location(trsf))


def vertex(p: Sequence[float]) -> TopoDS_Shape:
    return BRepBuilderAPI_MakeVertex(_point(p)).Vertex()


def box(corner: Vec, size: Vec) -> TopoDS_Solid:
    return BRepPrimAPI_MakeBox(_point(corner), *size).Solid()


def _axes(base: Vec, axis: Vec) -> gp_Ax2:
    return gp_Ax2(_point(base), gp_Dir(*axis))


def cylinder(base: Vec, axis: Vec, radius: float, length: float) -> TopoDS_Solid:
    return TopoDS.Solid_s(BRepPrimAPI_MakeCylinder(_axes(base, axis), radius, length).Solid())


def cone(base: Vec, axis: Vec, r0: float, r1: float, length: float) -> TopoDS_Solid:
    """A frustum: radius r0 at ``base``, r1 at ``base + length * axis``."""
    return TopoDS.Solid_s(BRepPrimAPI_MakeCone(_axes(base, axis), r0, r1, length).Solid())


def _list(parts: Iterable[TopoDS_Shape]) -> TopTools_ListOfShape:
    result = TopTools_ListOfShape()
    for part in parts:
        result.Append(part)
    return result


def cut(blank: TopoDS_Shape, tools: Sequence[TopoDS_Shape]) -> TopoDS_Solid:
    operation = BRepAlgoAPI_Cut()
    operation.SetArguments(_list([blank]))
    operation.SetTools(_list(tools))
    operation.Build()
    assert operation.IsDone(), "cut failed"
    return single_solid(operation.Shape())


def fuse(first: TopoDS_Shape, others: Sequence[TopoDS_Shape]) -> TopoDS_Solid:
    operation = BRepAlgoAPI_Fuse()
    operation.SetArguments(_list([first]))
    operation.SetTools(_list(others))
    operation.Build()
    assert operation.IsDone(), "fuse failed"
    return single_solid(operation.Shape())


def _polygon(points: Iterable[Vec]) -> TopoDS_Face:
    maker = BRepBuilderAPI_MakePolygon()
    for p in points:
        maker.Add(_point(p))
    maker.Close()
    return BRepBuilderAPI_MakeFace(maker.Wire(), True).Face()


def prism(outline: Sequence[Vec], sweep: Vec) -> TopoDS_Solid:
    """A plane polygon swept along ``sweep``."""
    return TopoDS.Solid_s(BRepPrimAPI_MakePrism(_polygon(outline), gp_Vec(*sweep)).Shape())


def revolved(half_profile: Sequence[tuple[float, float]]) -> TopoDS_Solid:
    """A polygon of (radius, z) turned about z."""
    face = _polygon((r, 0.0, z) for r, z in half_profile)
    return TopoDS.Solid_s(BRepPrimAPI_MakeRevol(face, gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))).Shape())


def plate_with_holes(length: float, width: float, thickness: float, holes: Sequence[tuple[float, float, float]],
                     cut_outs: Sequence[tuple[float, float, float, float]] = ()) -> TopoDS_Solid:
    """A plate [0, length] x [0, width] x [0, thickness]; holes (x, y, diameter), cut-outs (x0, y0, x1, y1).

    All wires lie in one face, which is extruded once: no boolean, so that some hundred vents cost nothing.
    """
    corners = ((0, 0, 0), (length, 0, 0), (length, width, 0), (0, width, 0))
    maker = BRepBuilderAPI_MakeFace(_polygon(corners))
    up = gp_Dir(0, 0, -1)  # inner wires run the other way round than the outer one
    for x, y, d in holes:
        edge = BRepBuilderAPI_MakeEdge(gp_Circ(gp_Ax2(gp_Pnt(x, y, 0), up), d / 2.0)).Edge()
        maker.Add(BRepBuilderAPI_MakeWire(edge).Wire())
    for x0, y0, x1, y1 in cut_outs:
        wire = BRepBuilderAPI_MakePolygon()
        for x, y in ((x0, y0), (x0, y1), (x1, y1), (x1, y0)):
            wire.Add(gp_Pnt(x, y, 0))
        wire.Close()
        maker.Add(wire.Wire())
    return single_solid(BRepPrimAPI_MakePrism(maker.Face(), gp_Vec(0, 0, thickness)).Shape())


def sphere(radius: float) -> TopoDS_Solid:
    """About the origin."""
    return TopoDS.Solid_s(BRepPrimAPI_MakeSphere(radius).Solid())


def torus(major: float, minor: float) -> TopoDS_Solid:
    """About z; its section's middle lies in z = 0."""
    return TopoDS.Solid_s(BRepPrimAPI_MakeTorus(major, minor).Solid())


def spline_prism(points: Sequence[tuple[float, float]], height: float) -> TopoDS_Solid:
    """A smooth closed curve through points of z = 0 (periodic cubic interpolation), swept upwards."""
    through = TColgp_HArray1OfPnt(1, len(points))
    for i, (x, y) in enumerate(points):
        through.SetValue(i + 1, gp_Pnt(x, y, 0))
    curve = GeomAPI_Interpolate(through, True, 1e-7)
    curve.Perform()
    wire = BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve.Curve()).Edge()).Wire()
    return single_solid(BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(wire, True).Face(), gp_Vec(0, 0, height)).Shape())


def volume(shape: TopoDS_Shape) -> float:
    return volume_within(shape)[0]


def volume_within(shape: TopoDS_Shape) -> tuple[float, float]:
    """mm³, and how far off it may be. The kernel has three integrators and none is always right:

    the plain one is off by up to 5e-5 where cylinders or splines have been cut by others, the adaptive one by 3 % on
    faces bounded by splines, the third (Gauss-Kronrod) does not always end. The first two agree where the second is right.
    """
    plain, adaptive = GProp_GProps(), GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, plain)
    BRepGProp.VolumeProperties_s(shape, adaptive, 1e-9, False, False)
    v, w = float(adaptive.Mass()), float(plain.Mass())
    return (v, 1e-8 * abs(v)) if abs(v - w) <= 2e-4 * abs(v) + 1e-3 else (w, 5e-5 * abs(w))


def surface(shape: TopoDS_Shape) -> float:
    props = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, props)
    return float(props.Mass())


def box_of(shape: TopoDS_Shape) -> tuple[Vec, Vec]:
    """A box that certainly holds the shape: from the exact geometry with its tolerances, never from triangles."""
    bounds = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, bounds, False, True)
    x0, y0, z0, x1, y1, z1 = bounds.Get()
    return (x0, y0, z0), (x1, y1, z1)
