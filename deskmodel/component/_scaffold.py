"""A data sheet to be filled in, with what is known already put in. The plain one is ``scaffold.toml`` beside this file."""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import dataclass
from importlib.resources import files

from deskmodel._numbers import check_text, number
from deskmodel.component._sheet import LARGEST, SMALLEST
from deskmodel.component._table import PLACEHOLDER
from deskmodel.errors import BuildFault, InputFault

__all__ = ["HoleReading", "Readings", "hole_from_edges", "missing", "scaffold"]

_ROUND = 0.3
"""mm by which two readings of one hole's width may differ: callipers by hand on a hole's edges (common practice)."""


@dataclass(frozen=True, slots=True)
class HoleReading:
    """Centre (x from the left, y from the front) and diameter of a mounting hole, mm."""

    at: tuple[float, float]
    diameter: float

    def __post_init__(self) -> None:
        for value in self.at:
            number("hole at", value, 0, LARGEST, "mm")
        number("hole diameter", self.diameter, 0.5, 100, "mm")


@dataclass(frozen=True, slots=True)
class Readings:
    """What is known of the equipment; None: not yet. ``size`` = (width, depth, height) mm, ``mass`` kg, ``heat`` W."""

    name: str | None = None
    source: str | None = None
    mass: float | None = None
    heat: float | None = None
    size: tuple[float, float, float] | None = None
    holes: tuple[HoleReading, ...] = ()

    def __post_init__(self) -> None:
        for what, text in (("name", self.name), ("source", self.source)):
            if text is not None:
                check_text(what, text)
                if text == PLACEHOLDER or not _is_text(text):
                    raise InputFault(f"{what} {text!r}", allowed="a text that can be read")
        if self.mass is not None:
            number("mass", self.mass, 0, 200, "kg")
        if self.heat is not None:
            number("heat", self.heat, 0, 5000, "W")
        for value in self.size or ():
            number("size", value, SMALLEST, LARGEST, "mm")
        for hole in self.holes:
            self._inside(hole)

    def _inside(self, hole: HoleReading) -> None:
        if self.size is None:
            return
        r = hole.diameter / 2
        for what, place, extent in zip(("left end", "front"), hole.at, self.size, strict=False):
            if not r <= place <= extent - r:
                raise InputFault(f"a hole Ø {hole.diameter:g} at {place:g} mm from the {what} of {extent:g} mm",
                                 allowed=f"{r:g} to {extent - r:g}")


def hole_from_edges(left: tuple[float, float], front: tuple[float, float]) -> HoleReading:
    """The hole whose near and far edge are read from the left end and from the front, mm. InputFault where the two widths
    are not those of one round hole."""
    widths = []
    for side, (near, far) in (("left", left), ("front", front)):
        if not near < far:
            raise InputFault(f"edges at {near:g} and {far:g} mm from the {side}", allowed="the near edge, then the far one")
        widths.append(far - near)
    if abs(widths[0] - widths[1]) > _ROUND:
        raise InputFault(f"a hole {widths[0]:.2f} mm wide and {widths[1]:.2f} mm deep",
                         allowed=f"a round hole: the two at most {_ROUND:g} mm apart; a slot is given by its narrow width")
    return HoleReading((_middle(left), _middle(front)), round(sum(widths) / 2, 2))


def _middle(edges: tuple[float, float]) -> float:
    return round(sum(edges) / 2, 3)


def scaffold(readings: Readings) -> str:
    """The text of the sheet: valid TOML, "?" wherever something is not known."""
    text = (files("deskmodel") / "component" / "scaffold.toml").read_text(encoding="utf-8")
    known = {"name": readings.name, "source": readings.source, "mass": readings.mass, "heat": readings.heat,
             "box": readings.size}
    for key, value in known.items():
        if value is not None:
            text = _put_in(text, key, _toml(value))
    blocks = [f"[[hole]]                     # a mounting hole\nat = {_toml(hole.at)}\ndiameter = {_toml(hole.diameter)}\n\n"
              for hole in readings.holes]
    before, mark, after = text.partition("# [[hole]]")
    text = "".join([before, *blocks, mark, after])
    tomllib.loads(text)
    return text


def _put_in(text: str, key: str, value: str) -> str:
    """The first of its keys, which is the sheet's own, before ports have names and commented bodies boxes."""
    found = re.search(rf'^{key} = (?:"\?"|\["\?", "\?", "\?"\]) *', text, flags=re.M)
    if found is None:
        raise BuildFault(f"the scaffold has no {key}")
    line = f"{key} = {value} ".ljust(len(found[0]))
    return text[: found.start()] + line + text[found.end():]


def missing(text: str) -> list[tuple[int, str]]:
    """Line (from 1) and key of each reading that is still missing."""
    lines = enumerate(text.split("\n"), 1)
    return [(n, line.partition("=")[0].strip()) for n, line in lines
            if f'"{PLACEHOLDER}"' in line.partition("#")[0].partition("=")[2]]


def _toml(value: str | float | tuple[float, ...]) -> str:
    if isinstance(value, str):
        # a JSON text is a TOML text but for one character that TOML wants escaped
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, tuple):
        return f"[{', '.join(map(_toml, value))}]"
    return f"{value:.10g}"


def _is_text(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:  # half a character, as a shell hands on what is not UTF-8
        return False
    return True
