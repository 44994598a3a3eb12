"""Flanges along one straight edge: where each begins and ends, and the way of the outline past them.

Along an edge s runs with the outline (anticlockwise) from 0 to its length, d from the edge into the piece.

        outline           P            s0      s1          Q
                          +-----+ r +-----------+ r +------+     r: relief, its bottom half a thickness past the bend line
        bend line               |   |- - - - - -|   |
                                +---+           +---+
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from deskmodel._edges import Edge, Point, arc_circle
from deskmodel.bends.allowance import bend_deduction, outside_setback
from deskmodel.bends.flange import Flange, edge_told
from deskmodel.errors import InputFault
from deskmodel.features._base import SHORTEST
from deskmodel.profiles import Profile
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["Corner", "Line", "Strip", "base_lines", "corners_of", "edge_number", "path", "strips_of", "takes_corner"]

End = Literal["flush", "corner", "open", "relief"]  # open: its relief runs out at the end of the edge


@dataclass(frozen=True)
class Line:
    """A straight edge: where it starts, its direction, its length, and the direction out of the piece."""

    start: Point
    along: Point
    length: float
    out: Point

    def at(self, s: float, d: float) -> Point:
        return (self.start[0] + s * self.along[0] - d * self.out[0], self.start[1] + s * self.along[1] - d * self.out[1])


@dataclass(frozen=True)
class Strip:
    """A flange at its place on the edge: from ``s0`` to ``s1``, how it ends at either, in the measures of its bend."""

    flange: Flange
    s0: float
    s1: float
    first: End
    last: End
    setback: float
    deduction: float
    deep: float  # of the relief

    @property
    def width(self) -> float:
        assert self.flange.relief is not None
        return self.flange.relief


@dataclass(frozen=True)
class Corner:
    """Where an edge meets its neighbour: the angle of the piece there, degrees, and whether both are straight. At the
    neighbour, ``other``: the flange nearest to the corner, and ``apart``: its distance from it, None: as near as can be."""

    angle: float
    straight: bool
    other: Flange | None = None
    apart: float | None = None

    @property
    def square(self) -> bool:
        return self.straight and abs(math.cos(math.radians(self.angle))) <= ANGLE and self.angle < 180


def base_lines(outline: Profile) -> list[Line | None]:
    """Each edge of an outline as a line; None for arcs."""
    found: list[Line | None] = []
    for (x0, y0), (x1, y1), bulge in outline.edges():
        length = math.hypot(x1 - x0, y1 - y0)
        x, y = (x1 - x0) / length, (y1 - y0) / length
        found.append(None if bulge else Line((x0, y0), (x, y), length, (y, -x)))
    return found


def edge_number(flange: Flange, outline: Profile) -> int:
    """Which edge of the outline the flange is on. InputFault where there is none, or it is an arc."""
    lines = base_lines(outline)
    if isinstance(flange.edge, int):
        if flange.edge >= len(lines):
            raise InputFault(f"{edge_told(flange)} on edge {flange.edge} of an outline of {len(lines)} edges",
                             allowed=f"0 to {len(lines) - 1}")
        if lines[flange.edge] is None:
            raise InputFault(f"{edge_told(flange)} on edge {flange.edge}, which is an arc", allowed="a straight edge")
        return flange.edge
    out = {"front": (0.0, -1.0), "back": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}[flange.edge]
    far = outline.reach(*out)
    on = [i for i, line in enumerate(lines) if line and math.dist(line.out, out) <= ANGLE
          and abs(line.start[0] * out[0] + line.start[1] * out[1] - far) <= LENGTH]
    if len(on) != 1:
        raise InputFault(f"{edge_told(flange)} on the {flange.edge} of an outline that has {len(on) or 'no'} straight "
                         f"edge{'' if len(on) == 1 else 's'} along there", allowed="the number of an edge, from 0")
    return on[0]


def corners_of(outline: Profile) -> list[Corner]:
    """The corner at the start of each edge."""
    edges = list(outline.edges())
    found = []
    for before, after in zip([edges[-1], *edges[:-1]], edges, strict=True):
        (ax, ay), (bx, by) = _direction(before, 1.0), _direction(after, 0.0)
        turn = math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))
        found.append(Corner(180.0 - turn, not before[2] and not after[2]))
    return found


def _direction(edge: Edge, t: float) -> Point:
    (x0, y0), (x1, y1), bulge = edge
    if not bulge:
        return x1 - x0, y1 - y0
    _, _, from_angle, sweep = arc_circle(edge)
    way = from_angle + t * sweep + math.copysign(math.pi / 2, sweep)
    return math.cos(way), math.sin(way)


def strips_of(line: Line, flanges: Sequence[tuple[Flange, float | None, float | None]], corners: tuple[Corner, Corner],
              thickness: float) -> list[Strip]:
    """The flanges of one edge, in its order. Each is given with its two ends as s, None: the end of the edge.
    ``corners``: where the edge starts and where it ends."""
    made = []
    for flange, low, high in flanges:
        assert flange.radius is not None
        assert flange.k is not None
        bend = flange.angle, flange.radius, thickness
        setback = outside_setback(*bend)
        deep = setback + thickness / 2
        if flange.length < setback + SHORTEST:
            raise InputFault(f"{edge_told(flange)} {flange.length:g} mm long",
                             allowed=f"over {setback:.4g} mm, where the leg begins: (R + t) tan(angle / 2), outside")
        first, s0 = _end(flange, low, corners[0], setback, deep, thickness)
        last, from_end = _end(flange, None if high is None else line.length - high, corners[1], setback, deep, thickness)
        s1 = line.length - from_end
        if s0 < 0 or s1 > line.length or s1 - s0 < SHORTEST:
            raise InputFault(f"{edge_told(flange)} from {s0:.4g} to {s1:.4g} along an edge of {line.length:g} mm",
                             allowed="start below stop, both on the edge")
        made.append(Strip(flange, s0, s1, first, last, setback, bend_deduction(*bend, flange.k), deep))
    made.sort(key=lambda strip: strip.s0)
    for a, b in pairwise(made):
        if b.s0 - a.s1 < max(a.width, b.width) - LENGTH:
            raise InputFault(f"{edge_told(a.flange)} and {edge_told(b.flange)} {b.s0 - a.s1:.4g} mm apart on one edge",
                             allowed=f"{max(a.width, b.width):g} mm, the width of a relief, or more")
    return made


def _end(flange: Flange, given: float | None, corner: Corner, setback: float, deep: float,
         thickness: float) -> tuple[End, float]:
    """How the flange ends at a corner, and how far from it; ``given``: how far the script says, None: as near as can be."""
    assert flange.relief is not None
    other, wide = corner.other, flange.relief
    clear = 0.0  # what the neighbour's bend takes up of this edge
    if other is not None:
        assert other.radius is not None
        assert other.relief is not None
        clear = outside_setback(other.angle, other.radius, thickness)
        if corner.apart is not None and corner.apart >= setback + other.relief - LENGTH:
            clear, other = 0.0, None  # it keeps away from the corner itself
    if given is None:
        if other is None:
            if corner.square:
                return "flush", 0.0
            # beside an oblique corner, or a round one, the relief stands in the piece
            lean = math.radians(corner.angle)
            return "relief", wide + (deep / math.tan(lean) + thickness if 0 < corner.angle < 90 else 0.0)
        if corner.square and corner.apart is None:
            return "corner", clear + thickness / 2
        assert other.relief is not None
        raise InputFault(f"{edge_told(flange)} and {edge_told(other)} run into each other at their corner",
                         allowed=f"start and stop that keep {edge_told(other)} {setback + other.relief:.4g} mm from it")
    if given <= LENGTH:
        if corner.square and other is None and given >= -LENGTH:
            return "flush", 0.0
        beside = f"{edge_told(other)} begins" if other is not None else "the edge does not end square"
        raise InputFault(f"{edge_told(flange)} reaches to {given:.4g} mm from a corner where {beside}",
                         allowed=f"{clear + wide:.4g} mm or more, or no start and stop")
    if corner.square and other is None and given <= wide + SHORTEST:
        return "open", given
    if given < clear + wide - LENGTH:
        raise InputFault(f"{edge_told(flange)} ends {given:.4g} mm from a corner",
                         allowed=f"{clear + wide:.4g} mm or more, so that there is room for the relief")
    return "relief", given


def path(line: Line, strips: Sequence[Strip], beyond: Mapping[str, Sequence[Point]] | None = None) -> list[Point]:
    """The outline's way along the edge from its start P to before its end Q: back to the bend lines, or, in the flat, out
    round each flange; ``beyond`` is then the way round the far end of each. Without P where a flange takes the corner."""
    points = [line.at(0.0, 0.0)] if not (strips and strips[0].first != "relief") else []
    for i, strip in enumerate(strips):
        before = strips[i - 1] if i else None
        if strip.first != "flush":
            if strip.first == "relief" and not (before and _one_slit(before, strip)):
                points += [line.at(strip.s0 - strip.width, 0.0), line.at(strip.s0 - strip.width, strip.deep)]
            elif strip.first == "open":
                points.append(line.at(0.0, strip.deep))
            points.append(line.at(strip.s0, strip.deep))
        points.append(line.at(strip.s0, strip.setback))
        if beyond is not None:
            points += beyond[strip.flange.title]
        points.append(line.at(strip.s1, strip.setback))
        after = strips[i + 1] if i + 1 < len(strips) else None
        if strip.last != "flush":
            points.append(line.at(strip.s1, strip.deep))
            if after and _one_slit(strip, after):
                deepest = max(strip.deep, after.deep)
                points[-1] = line.at(strip.s1, deepest)
                points.append(line.at(after.s0, deepest))
            elif strip.last == "relief":
                points += [line.at(strip.s1 + strip.width, strip.deep), line.at(strip.s1 + strip.width, 0.0)]
            elif strip.last == "open":
                points.append(line.at(line.length, strip.deep))
    return points


def _one_slit(a: Strip, b: Strip) -> bool:
    """Whether the reliefs of two neighbours make one."""
    return b.s0 - a.s1 <= a.width + b.width + SHORTEST


def takes_corner(strips: Sequence[Strip], at_start: bool) -> bool:
    """Whether the outline's corner at that end of the edge is bent away."""
    return bool(strips) and (strips[0].first if at_start else strips[-1].last) != "relief"
