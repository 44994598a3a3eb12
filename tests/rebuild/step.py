"""Named solids of an assembly in a STEP file (ISO 10303-242 / 214), read with the kernel's own document reader."""

from __future__ import annotations

from pathlib import Path

import cadquery as cq
from OCP.IFSelect import IFSelect_RetDone
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

__all__ = ["named_solids"]


def named_solids(file: Path) -> dict[str, cq.Shape]:
    """Every occurrence by its name, where it stands."""
    document = TDocStd_Document(TCollection_ExtendedString("rebuild"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    assert reader.ReadFile(str(file)) == IFSelect_RetDone, file
    assert reader.Transfer(document), file
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    roots = TDF_LabelSequence()
    tool.GetFreeShapes(roots)
    found: dict[str, cq.Shape] = {}
    for i in range(1, roots.Length() + 1):
        parts = TDF_LabelSequence()
        XCAFDoc_ShapeTool.GetComponents_s(roots.Value(i), parts, False)
        for k in range(1, parts.Length() + 1):
            label = parts.Value(k)
            name = _name(label)
            assert name not in found, name
            found[name] = cq.Shape.cast(XCAFDoc_ShapeTool.GetShape_s(label))
        if parts.Length() == 0:
            found[_name(roots.Value(i))] = cq.Shape.cast(XCAFDoc_ShapeTool.GetShape_s(roots.Value(i)))
    return found


def _name(label: TDF_Label) -> str:
    name = TDataStd_Name()
    assert label.FindAttribute(TDataStd_Name.GetID_s(), name)
    return str(name.Get().ToExtString())
