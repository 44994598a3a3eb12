"""The process in which somebody's cadquery code makes a shape. Started by ``deskmodel.solids.custom``."""

from __future__ import annotations

import base64
import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NoReturn

from deskmodel.errors import InputFault
from deskmodel.scripting import Guard, answer, execute, limit_memory, limit_time

__all__ = ["main"]



def main(request_text: str) -> NoReturn:
    request = json.loads(request_text)
    limit_memory(int(request["memory"]))
    answer(int(request["channel"]),
           lambda: {"shapes": [_make(shape, float(request["each"])) for shape in request["shapes"]]})


def _make(request: Mapping[str, Any], seconds: float) -> dict[str, object]:
    import cadquery  # noqa: F401  # its import must not count as the script's time

    from deskmodel.solids.brep import to_bytes
    from deskmodel.solids.measure import bounding_box

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
    low, high = bounding_box(shape)
    return {"brep": base64.b64encode(to_bytes(shape)).decode("ascii"), "low": low, "high": high}


def _one_shape(made: Any) -> Any:
    """The one solid of a Workplane or Shape."""
    from deskmodel.solids.brep import solids_of
    from deskmodel.solids.measure import is_valid, volume

    solids = [solid for wrapped in _wrapped(made) for solid in solids_of(wrapped)]
    if not solids:
        raise InputFault("made no solid", allowed="a function that returns a cadquery Workplane or Shape with solids")
    for solid in solids:
        if not is_valid(solid):
            raise InputFault("made a solid that the kernel calls invalid", allowed="a valid solid")
        if volume(solid) <= 0.0:
            raise InputFault(f"made a solid of {volume(solid):g} mm³", allowed="a solid with its outside out")
    if len(solids) > 1:
        raise InputFault(f"made {len(solids)} separate solids", allowed="one solid: fuse them, or make a part of each")
    return solids[0]


def _wrapped(made: Any) -> list[Any]:
    """The kernel's shapes in what a function returned; vectors and planes on a Workplane's stack count for nothing."""
    if callable(getattr(made, "vals", None)):
        return [value.wrapped for value in made.vals() if hasattr(getattr(value, "wrapped", None), "ShapeType")]
    wrapped = getattr(made, "wrapped", None)
    if not hasattr(wrapped, "ShapeType"):
        raise InputFault(f"returned a value of type {type(made).__name__}", allowed="a cadquery Workplane or Shape")
    return [wrapped]


if __name__ == "__main__":
    main(sys.argv[1])
