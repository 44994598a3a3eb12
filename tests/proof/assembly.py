"""Where the members stand in the desk, from ``model.step``: the two members of a joint are put together by it. mm."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from OCP.IFSelect import IFSelect_RetDone
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from tests.proof.seating import Pose


def read_assembly(path: Path) -> dict[str, Pose]:
    """World pose of every named occurrence of the one assembly in the file: world = turn · part + shift. ValueError where
    it cannot be read or a name comes twice."""
    document = TDocStd_Document(TCollection_ExtendedString("proof"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    if reader.ReadFile(str(path)) != IFSelect_RetDone or not reader.Transfer(document):
        raise ValueError(f"{path.name}: the kernel cannot read it")
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    roots = TDF_LabelSequence()
    tool.GetFreeShapes(roots)
    parts = TDF_LabelSequence()
    for i in range(1, roots.Length() + 1):
        XCAFDoc_ShapeTool.GetComponents_s(roots.Value(i), parts)
    placed: dict[str, Pose] = {}
    for i in range(1, parts.Length() + 1):
        name = _name(parts.Value(i))
        if name in placed:
            raise ValueError(f"{path.name}: two parts are called {name!r}")
        moved = XCAFDoc_ShapeTool.GetLocation_s(parts.Value(i)).Transformation()
        rows = np.array([[moved.Value(row, column) for column in range(1, 5)] for row in range(1, 4)])
        placed[name] = Pose(rows[:, :3], rows[:, 3])
    return placed


def _name(label: TDF_Label) -> str:
    attribute = TDataStd_Name()
    return attribute.Get().ToExtString() if label.FindAttribute(TDataStd_Name.GetID_s(), attribute) else ""
