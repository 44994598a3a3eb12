"""A round hole: plain, counterbored or countersunk, blind with the drill's point or through."""

from __future__ import annotations

import math
from dataclasses import dataclass

from deskmodel._numbers import is_number, told
from deskmodel.errors import InputFault
from deskmodel.features._base import (
    BlankFaces,
    Purpose,
    Removal,
    Revolve,
    Stage,
    check_inside,
    check_length,
    check_pair,
    prism_into,
)
from deskmodel.profiles import circle
from deskmodel.tolerances import LENGTH

__all__ = ["TWIST_DRILL_POINT", "Hole"]

TWIST_DRILL_POINT = 118.0
"""degrees; ISO 5419 twist drills for general use (from memory)."""


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole of ``diameter`` at ``at`` = (u, v) of a face, square to it.

    ``depth`` is that of the full diameter (None: right through); ``point`` the drill's point angle in degrees, whose
    cone lies below ``depth`` (None: flat bottom); ``counterbore`` (diameter, depth); ``countersink`` (diameter at
    the face, full angle in degrees). mm.
    """

    face: str
    at: tuple[float, float]
    diameter: float
    depth: float | None = None
    point: float | None = None
    counterbore: tuple[float, float] | None = None
    countersink: tuple[float, float] | None = None
    name: str = "hole"
    purpose: Purpose = "shape"
    stage: Stage = "drill"

    def removals(self, blank: BlankFaces) -> tuple[Removal, ...]:
        face = blank.face(self.face)
        check_length("diameter", self.diameter)
        bottom = face.behind if self.depth is None else self.depth
        check_length("depth", bottom, at_most=face.behind)
        tip = 0.0
        if self.point is not None:
            if self.depth is None:
                raise InputFault("a drill point on a hole right through", allowed="a point on a blind hole only")
            if not is_number(self.point) or not 60 <= self.point < 180:
                raise InputFault(f"point {told(self.point)}°", allowed="60 to below 180")
            tip = self.diameter / 2 / math.tan(math.radians(self.point / 2))
            if bottom + tip > face.behind - LENGTH:
                raise InputFault(f"depth {bottom:g} mm and a point of {tip:.2f} mm break through",
                                 allowed=f"together below {face.behind:g} mm")
        if self.counterbore is not None and self.countersink is not None:
            raise InputFault("a counterbore and a countersink on one hole", allowed="one of them")
        if self.counterbore is not None:
            check_pair("counterbore", self.counterbore, "(diameter, depth)")
            check_length("counterbore diameter", self.counterbore[0])
            check_length("counterbore depth", self.counterbore[1], below=bottom)
            if self.counterbore[0] <= self.diameter:
                raise InputFault(f"counterbore diameter {self.counterbore[0]:g} mm", allowed=f"over {self.diameter:g}")
        widest = self.diameter
        mouth: list[tuple[float, float]] = [(self.diameter / 2, 0.0)]
        if self.counterbore is not None:
            widest, deep = self.counterbore
            mouth = [(widest / 2, 0.0), (widest / 2, deep), (self.diameter / 2, deep)]
        if self.countersink is not None:
            widest, mouth, bottom_radius = self._countersink(bottom)
        else:
            bottom_radius = self.diameter / 2
        check_inside(f"hole {self.name!r}", circle(widest, self.at), face)
        if self.counterbore is None and self.countersink is None and not tip:
            return (prism_into(face, circle(self.diameter, self.at), bottom),)
        half = [(0.0, 0.0), *mouth, (bottom_radius, bottom)]
        half += [(0.0, bottom + tip)] if tip else [(0.0, bottom)]
        return (Revolve(tuple(_without_repeats(half)), face.axis_into(*self.at)),)

    def _countersink(self, bottom: float) -> tuple[float, list[tuple[float, float]], float]:
        """(widest diameter, mouth of the half profile, radius at the bottom): in a thin plate the cone goes through."""
        assert self.countersink is not None
        check_pair("countersink", self.countersink, "(diameter at the face, angle in degrees)")
        widest, angle = self.countersink
        check_length("countersink diameter", widest)
        if widest <= self.diameter or not is_number(angle) or not 30 <= angle <= 150:
            raise InputFault(f"countersink {widest:g} mm, {told(angle)}°", allowed=f"over {self.diameter:g} mm, 30 to 150°")
        slope = math.tan(math.radians(angle / 2))
        deep = (widest - self.diameter) / 2 / slope
        if self.depth is not None and deep > bottom - LENGTH:
            raise InputFault(f"a countersink {deep:.2f} mm deep in a blind hole {bottom:g} mm deep",
                             allowed="a deeper hole, or one right through")
        if deep >= bottom:
            return widest, [(widest / 2, 0.0)], widest / 2 - bottom * slope
        return widest, [(widest / 2, 0.0), (self.diameter / 2, deep)], self.diameter / 2


def _without_repeats(half: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return [p for i, p in enumerate(half) if math.dist(p, half[i - 1]) > LENGTH]
