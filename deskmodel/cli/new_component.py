"""``deskmodel new --component FILE.toml``: a data sheet to be filled in from calliper readings."""

from __future__ import annotations

import argparse
import re
from argparse import Namespace
from contextlib import suppress
from pathlib import Path

from deskmodel.component._scaffold import HoleReading, Readings, hole_from_edges, missing, scaffold
from deskmodel.errors import InputFault

__all__ = ["component_options", "new_component", "refuse_readings"]

_NUMBER = r"[0-9]{1,6}(?:\.[0-9]{1,6})?"
_SIZE = re.compile(rf"\s*({_NUMBER})\s*[x×]\s*({_NUMBER})\s*[x×]\s*({_NUMBER})\s*", re.ASCII)
_CENTRE = re.compile(rf"\s*({_NUMBER})\s*,\s*({_NUMBER})\s*,\s*({_NUMBER})\s*", re.ASCII)
_EDGES = re.compile(rf"\s*({_NUMBER})\s*-\s*({_NUMBER})\s*,\s*({_NUMBER})\s*-\s*({_NUMBER})\s*", re.ASCII)
_READINGS = ("name", "source", "mass", "heat", "size", "hole")


def component_options(parser: argparse.ArgumentParser) -> None:
    group = parser.add_argument_group(
        "a data sheet instead", "--component writes a sheet whose missing readings are marked '?'; what is known already\n"
        "may be given here. Lengths in mm; x from the left end, y from the front, z from below.")
    group.add_argument("--component", metavar="FILE.toml", help="the sheet to write; never overwritten")
    group.add_argument("--size", metavar="WxDxH", help="width, depth and height of the housing over its longest points")
    group.add_argument("--mass", metavar="KG", help="without plugs and cables")
    group.add_argument("--heat", metavar="W", help="what it turns into heat")
    group.add_argument("--name", help="what it is (default: the file's name)")
    group.add_argument("--source", help="where the numbers are from")
    group.add_argument("--hole", action="append", default=[], metavar="READING",
                       help="a mounting hole: X,Y,DIAMETER of its centre, or NEAR-FAR,NEAR-FAR of its edges from the "
                            "left end and from the front, such as 4.3-7.7,10.3-13.7; may be repeated")


def new_component(arguments: Namespace) -> int:
    """Write the sheet; refuse a file that is there."""
    path = Path(arguments.component)
    desk = arguments.folder if arguments.folder is not None else arguments.desk
    if desk is not None:
        raise InputFault(f"a desk, {desk!r}, and a data sheet at once", allowed="one of them", key="--component")
    if path.suffix != ".toml" or not path.stem.strip():
        raise InputFault(f"data sheet {str(path)!r}", allowed="a name that ends in .toml", key="--component")
    text = scaffold(_readings(arguments, path))
    try:
        path.parent.mkdir(exist_ok=True)  # equipment/ beside the script is made, a path that is mistyped is not
        with path.open("x", encoding="utf-8", newline="\n") as file:
            try:
                file.write(text)
            except OSError:
                with suppress(OSError):
                    path.unlink()
                raise
    except FileExistsError:
        raise InputFault("is there already", file=str(path), allowed="a file that does not exist yet") from None
    except (OSError, ValueError) as error:  # ValueError: a null byte in the name
        raise InputFault(f"cannot be written ({getattr(error, 'strerror', None) or error})", file=str(path)) from None
    lines = missing(text)
    print(f"{path}: {len(lines)} lines with a reading to fill in:")
    print("\n".join(f"    line {number}: {key}" for number, key in lines))
    print(f"deskmodel refuses it until the last '?' is gone. Then, in the script beside its folder equipment/:\n"
          f"    d.place(component({path.stem!r}), at=(…))")
    return 0


def refuse_readings(arguments: Namespace) -> None:
    """InputFault where readings are given without a sheet to write them to."""
    for key in _READINGS:
        if getattr(arguments, key):
            raise InputFault("is a reading for a data sheet", key=f"--{key}", allowed="with --component FILE.toml only")


def _readings(arguments: Namespace, path: Path) -> Readings:
    name = path.stem.replace("-", " ").replace("_", " ").strip() if arguments.name is None else arguments.name
    given: dict[str, float | None] = {}
    for key, unit in (("mass", "kg"), ("heat", "W")):
        text = getattr(arguments, key)
        if text is not None and not re.fullmatch(_NUMBER, text.strip(), re.ASCII):
            raise InputFault(f"{text!r}", key=f"--{key}", allowed=f"a number, in {unit}")
        given[key] = None if text is None else float(text)
    size = None
    if arguments.size is not None:
        found = _SIZE.fullmatch(arguments.size)
        if not found:
            raise InputFault(f"{arguments.size!r}", key="--size", allowed="width x depth x height in mm, such as 160x100x28")
        size = (float(found[1]), float(found[2]), float(found[3]))
    return Readings(name, arguments.source, given["mass"], given["heat"], size, tuple(map(_hole, arguments.hole)))


def _hole(text: str) -> HoleReading:
    try:
        if found := _EDGES.fullmatch(text):
            return hole_from_edges((float(found[1]), float(found[2])), (float(found[3]), float(found[4])))
        if found := _CENTRE.fullmatch(text):
            return HoleReading((float(found[1]), float(found[2])), float(found[3]))
    except InputFault as fault:
        raise fault.located(key="--hole") from None
    raise InputFault(f"{text!r}", key="--hole", allowed="X,Y,DIAMETER or NEAR-FAR,NEAR-FAR in mm, such as 4.3-7.7,10.3-13.7")
