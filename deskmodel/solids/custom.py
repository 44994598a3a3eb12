"""The way out: shapes that somebody's own cadquery code makes, each as a B-rep with its hash.

The code runs in a process of its own that is started anew (never forked from one that has used the kernel, whose
booleans would hang); here only bytes arrive. What has been made in this process is remembered under its digest, by
which the model knows it.
"""

from __future__ import annotations

import base64
import hashlib
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from deskmodel.errors import BuildFault, InputFault
from deskmodel.processes import ask

__all__ = ["MadeShape", "ShapeRequest", "load_custom", "make_shapes"]

IMPORT_SECONDS = 20.0
"""s. What starting the process and importing cadquery may take on a slow machine, beside the time of the code."""

MEMORY = 8 << 30
"""Bytes of address space: the kernel's libraries alone map about two."""

Box = tuple[tuple[float, float, float], tuple[float, float, float]]
_made: dict[str, bytes] = {}


@dataclass(frozen=True, slots=True)
class ShapeRequest:
    """Call ``function(**parameters)`` of the Python file ``script``; ``shown`` is its name for the user."""

    script: Path
    shown: str
    function: str
    parameters: Mapping[str, float | int | str | bool]


@dataclass(frozen=True, slots=True)
class MadeShape:
    """``digest``: SHA-256 of the B-rep without triangles; ``box``: its corners, mm, in the shape's own frame."""

    digest: str
    box: Box
    brep: bytes


def make_shapes(requests: Sequence[ShapeRequest], *, seconds: float) -> tuple[MadeShape, ...]:
    """All shapes, in one process; ``seconds`` for each. Equal requests are made once.

    Raises InputFault, at the line of the code where there is one, for whatever the code got wrong: no such
    function, an exception, too much time or memory, something that is not a solid, an invalid or inside-out solid,
    solids that overlap each other.
    """
    different = list({_key(request): request for request in requests}.values())
    if not different:
        return ()
    answer = ask("deskmodel.solids.custom_child",
                 {"memory": MEMORY, "each": seconds,
                  "shapes": [{"script": str(r.script.resolve()), "shown": r.shown, "function": r.function,
                              "parameters": dict(r.parameters)} for r in different]},
                 seconds=IMPORT_SECONDS + seconds * len(different))
    value: Any = answer.value
    if value is None:
        raise InputFault(answer.ending, file=different[0].shown if len(different) == 1 else None,
                         key=", ".join(r.function for r in different))
    if "fault" in value:
        raise InputFault(**value["fault"])
    if "crash" in value:
        raise BuildFault(f"a custom shape could not be written down: {value['crash']} ({value['where']})")
    made = {_key(request): _made_shape(entry) for request, entry in zip(different, value["shapes"], strict=True)}
    return tuple(made[_key(request)] for request in requests)


def load_custom(digest: str) -> Any:
    """The shape (an OCP ``TopoDS_Shape``) that was made under this digest in this process."""
    from deskmodel.solids.brep import from_bytes

    if digest not in _made:
        raise BuildFault(f"no custom shape {digest[:12]} has been made in this process")
    return from_bytes(_made[digest])


def _key(request: ShapeRequest) -> tuple[str, str, str]:
    return os.path.abspath(request.script), request.function, repr(sorted(request.parameters.items()))


def _made_shape(entry: Mapping[str, Any]) -> MadeShape:
    brep = base64.b64decode(entry["brep"])
    digest = hashlib.sha256(brep).hexdigest()
    low, high = entry["low"], entry["high"]
    _made[digest] = brep
    return MadeShape(digest, ((low[0], low[1], low[2]), (high[0], high[1], high[2])), brep)
