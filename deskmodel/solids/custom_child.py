"""The process in which somebody's cadquery code makes a shape. Started by ``deskmodel.solids.custom``."""

from __future__ import annotations

import base64
import io
import json
import sys
from collections.abc import Mapping
from itertools import combinations
from pathlib import Path
from typing import Any, NoReturn

from deskmodel.errors import InputFault
from deskmodel.scripting import Guard, answer, execute, limit_memory, limit_time
from deskmodel.solids.step_file import measure_shape

__all__ = ["main"]

_TOUCHING = 1e-6
"""mm³. Solids of one shape may touch; what they share beyond this is an overlap."""


def main(request_text: str) -> NoReturn:
    request = json.loads(request_text)
    limit_memory(int(request["memory"]))
    answer(int(request["channel"]),
           lambda: {"shapes": [_make(shape, float(request["each"])) for shape in request["shapes"]]})


def _make(request: Mapping[str, Any], seconds: float) -> dict[str, object]:
    import cadquery  # noqa: F401  # its import must not count as the script's time

    shown, name = str(request["shown"]), str(request["function"])
    script = Path(request["script"])
    guard = Guard(script, shown)
    limit_time(seconds)
    module = guard.call(execute, script, shown)
    function = getattr(module, name, None)
    if not callable(function):
        raise InputFault(f"defines no function named {name}", file=shown)
    line = getattr(getattr(function, "__code__", None), "co_firstlineno", None)
    try:
        made = guard.call(function, **request["parameters"])
        limit_time(0)
        shape = _one_shape(made)
    except InputFault as fault:
        raise fault.located(file=shown, line=line, key=name) from None
    measure = measure_shape(shape)
    return {"brep": base64.b64encode(_brep(shape)).decode("ascii"), "low": measure.low, "high": measure.high}


def _one_shape(made: Any) -> Any:
    """The one solid of a Workplane or Shape, or a compound of its solids."""
    from OCP.BRep import BRep_Builder
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.TopoDS import TopoDS_Compound

    solids = [solid for wrapped in _wrapped(made) for solid in _solids(wrapped)]
    if not solids:
        raise InputFault("made no solid", allowed="a function that returns a cadquery Workplane or Shape with solids")
    for solid in solids:
        if not BRepCheck_Analyzer(solid).IsValid():
            raise InputFault("made a solid that the kernel calls invalid", allowed="a valid solid")
        volume = measure_shape(solid).volume
        if volume <= 0.0:
            raise InputFault(f"made a solid of {volume:g} mm³", allowed="a solid with its outside out")
    if len(solids) == 1:
        return solids[0]
    for a, b in combinations(solids, 2):
        shared = _shared_volume(a, b)
        if shared > _TOUCHING:
            raise InputFault(f"made solids that overlap by {shared:g} mm³", allowed="solids fused into one, or apart")
    compound, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(compound)
    for solid in solids:
        builder.Add(compound, solid)
    return compound


def _wrapped(made: Any) -> list[Any]:
    if callable(getattr(made, "vals", None)):
        return [value.wrapped for value in made.vals() if getattr(value, "wrapped", None) is not None]
    wrapped = getattr(made, "wrapped", None)
    if wrapped is None or not hasattr(wrapped, "ShapeType"):
        raise InputFault(f"returned a value of type {type(made).__name__}", allowed="a cadquery Workplane or Shape")
    return [wrapped]


def _solids(wrapped: Any) -> list[Any]:
    from OCP.TopAbs import TopAbs_SOLID
    from OCP.TopExp import TopExp_Explorer

    if not hasattr(wrapped, "ShapeType"):  # a vector or a plane on the stack
        return []
    found, explorer = [], TopExp_Explorer(wrapped, TopAbs_SOLID)
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def _shared_volume(a: Any, b: Any) -> float:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    common = BRepAlgoAPI_Common(a, b)
    if not common.IsDone():
        raise InputFault("made solids whose overlap the kernel cannot tell", allowed="solids fused into one")
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(common.Shape(), properties)
    return float(properties.Mass())


def _brep(shape: Any) -> bytes:
    """The B-rep as text without triangles: equal for equal shapes in any process."""
    from OCP.BRepTools import BRepTools
    from OCP.Message import Message_ProgressRange
    from OCP.TopTools import TopTools_FormatVersion

    stream = io.BytesIO()
    BRepTools.Write_s(shape, stream, False, False, TopTools_FormatVersion.TopTools_FormatVersion_VERSION_3,
                      Message_ProgressRange())
    return stream.getvalue()


if __name__ == "__main__":
    main(sys.argv[1])
