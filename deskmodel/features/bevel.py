"""A bevel along the edge between two faces: of an arris, or of an end (a mitre)."""

from __future__ import annotations

import math
from dataclasses import dataclass

from deskmodel._numbers import is_number, told
from deskmodel.errors import InputFault
from deskmodel.features._base import BlankFaces, Face, Prism, Purpose, Removal, Stage, check_length, check_pair
from deskmodel.frames import Vec, add, cross, dot, pose_from_axes, scale
from deskmodel.profiles import polygon
from deskmodel.tolerances import ANGLE

__all__ = ["Bevel"]


@dataclass(frozen=True, slots=True)
class Bevel:
    """Takes ``width`` mm off the first of the faces ``between``; ``angle`` degrees is that between the first face
    and the bevel, so that width · tan(angle) is taken off the second face.

        first face
        ------------+ - - -      both faces must meet at a right angle
                     \\  angle
                      \\  |
                       + second face
    """

    between: tuple[str, str]
    width: float
    angle: float = 45.0
    name: str = "bevel"
    purpose: Purpose = "shape"
    stage: Stage = "bevel and notch"

    def removals(self, blank: BlankFaces) -> tuple[Removal, ...]:
        check_pair("a bevel between", self.between, "the names of two faces")
        first, second = (blank.face(name) for name in self.between)
        if abs(dot(first.normal, second.normal)) > ANGLE:
            raise InputFault(f"a bevel between {first.name} and {second.name}", allowed="two faces that share an edge")
        check_length("bevel width", self.width, at_most=second.behind)
        if not is_number(self.angle) or not 0 < self.angle < 90:
            raise InputFault(f"bevel angle {told(self.angle)}°", allowed="above 0, below 90")
        drop = self.width * math.tan(math.radians(self.angle))
        check_length("bevel height", drop, at_most=first.behind)
        corner, along, length = _edge(first, second)
        # profile plane: x into the first face from the edge, y down the second face
        x, y = scale(second.normal, -1.0), scale(first.normal, -1.0)
        z = cross(x, y)
        if dot(z, along) < 0:
            corner = add(corner, scale(along, length))
        triangle = polygon(((0.0, 0.0), (self.width, 0.0), (0.0, drop)))
        return (Prism(triangle, pose_from_axes(corner, x, z), length),)


def _edge(first: Face, second: Face) -> tuple[Vec, Vec, float]:
    """(start, direction, length) of the edge in which two rectangular faces meet."""
    along = first.u if abs(dot(first.u, second.normal)) <= ANGLE else first.v
    u0, v0, u1, v1 = first.outline.bounds
    corners = [first.point(u, v) for u in (u0, u1) for v in (v0, v1)]
    on_edge = [p for p in corners if abs(second.coordinates(p)[2]) <= 1e-6]
    if len(on_edge) != 2:
        raise InputFault(f"{first.name} and {second.name} do not meet in an edge", allowed="two faces that share an edge")
    start, stop = sorted(on_edge, key=lambda p: dot(p, along))
    return start, along, dot(stop, along) - dot(start, along)
