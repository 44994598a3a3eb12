"""Exact measures on the B-rep: distance, volume, box, validity, common material, points inside.

Every function raises BuildFault where the kernel fails; none hands back a number it is not sure of.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Builder
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepGProp import BRepGProp
from OCP.gp import gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_IN
from OCP.TopoDS import TopoDS_Compound, TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from deskmodel.errors import BuildFault
from deskmodel.frames import Pose, Vec
from deskmodel.solids.brep import kernel, moved, solids_of

__all__ = ["Distance", "PointTest", "area", "bounding_box", "centroid", "common", "distance", "is_valid", "volume"]


@dataclass(frozen=True, slots=True)
class Distance:
    """Shortest distance (mm) between two shapes and one pair of points where it is taken."""

    value: float
    point_a: Vec
    point_b: Vec


def distance(a: TopoDS_Shape, b: TopoDS_Shape, pose_b: Pose | None = None) -> Distance:
    """Exact distance between two faces or shapes; ``b`` may be given a pose in the frame of ``a``.

    Solids that contain each other have distance 0 by the kernel; faces know nothing of an inside.
    """
    measure = BRepExtrema_DistShapeShape()
    measure.LoadS1(a)
    measure.LoadS2(moved(b, pose_b) if pose_b is not None else b)
    with kernel("to measure a distance"):
        done = measure.Perform() and measure.IsDone() and measure.NbSolution() > 0
    if not done:
        raise BuildFault("the kernel found no distance between two shapes")
    return Distance(measure.Value(), measure.PointOnShape1(1).Coord(), measure.PointOnShape2(1).Coord())


def volume(shape: TopoDS_Shape) -> float:
    """mm³, from the exact surfaces."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties)
    return float(properties.Mass())


def centroid(shape: TopoDS_Shape) -> Vec:
    """Of the material, from the exact surfaces; mm, in the shape's frame."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties)
    x, y, z = properties.CentreOfMass().Coord()
    return x, y, z


def area(shape: TopoDS_Shape) -> float:
    """mm², of all faces."""
    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, properties)
    return float(properties.Mass())


def bounding_box(shape: TopoDS_Shape) -> tuple[Vec, Vec]:
    """Lowest and highest corner (mm), to the kernel's tolerance (about 1e-7)."""
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, box, False, False)
    if box.IsVoid():
        raise BuildFault("the shape is empty")
    x0, y0, z0, x1, y1, z1 = box.Get()
    return (x0, y0, z0), (x1, y1, z1)


def is_valid(shape: TopoDS_Shape) -> bool:
    """Whether the kernel's own analysis finds nothing wrong with it."""
    return bool(BRepCheck_Analyzer(shape).IsValid())


def common(a: TopoDS_Shape, b: TopoDS_Shape, pose_b: Pose | None = None) -> TopoDS_Shape | None:
    """The material two shapes share, as a compound of solids; None where they share none.

    Raises BuildFault where the kernel reports an error or its result is not a set of valid solids.
    """
    operation = BRepAlgoAPI_Common()
    arguments, tools = TopTools_ListOfShape(), TopTools_ListOfShape()
    arguments.Append(a)
    tools.Append(moved(b, pose_b) if pose_b is not None else b)
    operation.SetArguments(arguments)
    operation.SetTools(tools)
    operation.SetRunParallel(False)
    operation.SetNonDestructive(True)
    with kernel("to intersect two shapes"):
        operation.Build()
    if not operation.IsDone():  # an error inside the operation says nothing else
        raise BuildFault("the kernel failed to intersect two shapes")
    solids = [solid for solid in solids_of(operation.Shape()) if abs(volume(solid)) > 0.0]
    most = min(volume(a), volume(b))
    if sum(volume(solid) for solid in solids) > most * (1 + 1e-6) + 1e-9:
        raise BuildFault("the kernel found more common material than one of two shapes has")
    return compound(solids)


def compound(solids: list[Any]) -> TopoDS_Shape | None:
    """One compound of the solids given; None for none."""
    if not solids:
        return None
    made, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(made)
    for solid in solids:
        builder.Add(made, solid)
    return made


class PointTest:
    """Asks the B-rep whether points lie in its material (more than ``tolerance`` mm below the surface)."""

    def __init__(self, shape: TopoDS_Shape, tolerance: float = 1e-7) -> None:
        self._classifiers = [BRepClass3d_SolidClassifier(solid) for solid in solids_of(shape)]
        self._tolerance = tolerance

    def __call__(self, point: Vec) -> bool:
        for classifier in self._classifiers:
            classifier.Perform(gp_Pnt(*point), self._tolerance)
            if classifier.State() == TopAbs_IN:
                return True
        return False
