"""The kernel's own hidden-line removal (HLRBRep), as points on paper: the second way to every view."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepLib import BRepLib
from OCP.GCPnts import GCPnts_AbscissaPoint, GCPnts_QuasiUniformAbscissa
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

from deskmodel.drawing.hidden_lines import View

STEP = 0.2  # mm between points


def kernel_view(shapes: list[object], view: View) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(n, 2) points on visible and on hidden edges and outlines, in the paper's x, y. Smooth edges are left out."""
    algo = HLRBRep_Algo()
    for shape in shapes:
        BRepLib.EncodeRegularity_s(shape)  # seams of cylinders and cones, and where a bend begins, are no sharp edges
        algo.Add(shape)
    eye = view.towards_eye
    algo.Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*eye), gp_Dir(*view.right))))
    algo.Update()
    algo.Hide()
    found = HLRBRep_HLRToShape(algo)
    return (_points([found.VCompound(), found.OutLineVCompound()]),
            _points([found.HCompound(), found.OutLineHCompound()]))


def _points(compounds: list[object]) -> NDArray[np.float64]:
    rows: list[tuple[float, float]] = []
    for compound in compounds:
        if compound is None or compound.IsNull():
            continue
        BRepLib.BuildCurves3d_s(compound)
        explorer = TopExp_Explorer(compound, TopAbs_EDGE)
        while explorer.More():
            curve = BRepAdaptor_Curve(TopoDS.Edge_s(explorer.Current()))
            n = max(3, int(GCPnts_AbscissaPoint.Length_s(curve) / STEP) + 1)
            spread = GCPnts_QuasiUniformAbscissa(curve, n)
            for i in range(1, spread.NbPoints() + 1):
                p = curve.Value(spread.Parameter(i))
                rows.append((p.X(), p.Y()))
            explorer.Next()
    return np.array(rows).reshape(-1, 2)
