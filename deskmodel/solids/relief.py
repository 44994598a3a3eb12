"""A male part without the rings in which it is meant to overlap its female."""

from __future__ import annotations

import math
from collections.abc import Sequence

from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.TopoDS import TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from deskmodel.errors import BuildFault
from deskmodel.frames import Pose, add, scale
from deskmodel.solids.brep import kernel, solids_of
from deskmodel.solids.measure import area, compound, volume

__all__ = ["Ring", "without_rings"]

Ring = tuple[Pose, float, float, float, float]
"""Axis (z along it), inner and outer radius, start and end along z; mm, in the part's frame."""

_PROUD = 1e-4
"""mm. The tool stands this far outside the outer radius, so that it never shares a surface with the part; the same
beyond an end of the ring would cut what must stay, so ends are taken as given."""

_SKIN = 0.003
"""mm, twice the volume over the surface: of a skin its mean thickness. What the cut leaves of no more is dropped: nowhere
is it three times as thick, so that no overlap of 0.01 is lost."""


def without_rings(shape: TopoDS_Shape, rings: Sequence[Ring]) -> TopoDS_Shape:
    """The part minus the rings, in one cut. Raises BuildFault where the kernel's result can't be right."""
    arguments, tools = TopTools_ListOfShape(), TopTools_ListOfShape()
    arguments.Append(shape)
    most = 0.0
    for ring in rings:
        tool = _tube(ring)
        most += volume(tool)
        tools.Append(tool)
    operation = BRepAlgoAPI_Cut()
    operation.SetArguments(arguments)
    operation.SetTools(tools)
    operation.SetNonDestructive(True)
    with kernel("to relieve a part"):
        operation.Build()
    solids = solids_of(operation.Shape()) if operation.IsDone() else []
    whole = volume(shape)
    rest = sum(volume(solid) for solid in solids)
    made = compound([solid for solid in solids if 2.0 * volume(solid) > _SKIN * area(solid)])
    # The cut takes no more than its tools hold and adds nothing; else the kernel went wrong.
    if made is None or rest > whole * (1 + 1e-9) or rest < whole - most - 1e-6 * whole:
        raise BuildFault(f"relieving a part left {rest:.6g} of {whole:.6g} mm³; its rings hold {most:.6g}")
    return made


def _tube(ring: Ring) -> TopoDS_Shape:
    axis, inner, outer, start, end = ring
    if not (0.0 <= inner < outer and start < end and all(map(math.isfinite, (outer, start, end)))):
        raise BuildFault(f"no ring: radius {inner:g} to {outer:g}, z {start:g} to {end:g}")
    frame = gp_Ax2(gp_Pnt(*add(axis.origin, scale(axis.axis(2), start))), gp_Dir(*axis.axis(2)),
                   gp_Dir(*axis.axis(0)))
    tube = BRepPrimAPI_MakeCylinder(frame, outer + _PROUD, end - start).Shape()
    if inner <= 0.0:
        return tube
    cut = BRepAlgoAPI_Cut(tube, BRepPrimAPI_MakeCylinder(frame, inner, end - start).Shape())
    cut.Build()
    solids = solids_of(cut.Shape())
    if len(solids) != 1:
        raise BuildFault("the kernel failed to make a ring")
    return solids[0]
