"""The pieces of a folded sheet: panels that stay flat, and bends between them, each with its way into the flat and back.

A sheet has a top side and a bottom side wherever it goes. Height h runs from 0 at the bottom side to t at the top side.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from deskmodel._edges import Point
from deskmodel.bends.allowance import bend_allowance, turn_of
from deskmodel.features import Face
from deskmodel.frames import Pose, Vec, add, dot, pose_from_axes, scale, sub
from deskmodel.profiles import Profile

__all__ = ["Bend", "Panel", "mirrored"]


@dataclass(frozen=True)
class Panel:
    """A flat piece. A point (u, v, h) lies at ``origin + u U + v V + h W`` of the part, a right-handed frame of unit
    vectors with W out of the sheet's top side; in the flat at ``flat_origin + u flat_u + v flat_v``. ``region``: the
    piece in (u, v). ``mirror``: told to makers is u = mirror - u (None: u itself). ``inside``: 1 where the bend it comes
    from has its inside on the top side, -1 on the bottom side, 0 for the base."""

    name: str
    thickness: float
    origin: Vec
    u: Vec
    v: Vec
    w: Vec
    flat_origin: Point
    flat_u: Point
    flat_v: Point
    region: Profile
    mirror: float | None = None
    inside: int = 0

    @property
    def pose(self) -> Pose:
        return pose_from_axes(self.origin, self.u, self.w)

    def point(self, u: float, v: float, h: float) -> Vec:
        return add(add(self.origin, scale(self.u, u)), add(scale(self.v, v), scale(self.w, h)))

    def local(self, p: Vec) -> Vec:
        """(u, v, h) of a point of the part."""
        offset = sub(p, self.origin)
        return dot(offset, self.u), dot(offset, self.v), dot(offset, self.w)

    def to_flat(self, u: float, v: float) -> Point:
        return (self.flat_origin[0] + u * self.flat_u[0] + v * self.flat_v[0],
                self.flat_origin[1] + u * self.flat_u[1] + v * self.flat_v[1])

    def from_flat(self, p: Point) -> Point:
        x, y = p[0] - self.flat_origin[0], p[1] - self.flat_origin[1]
        return x * self.flat_u[0] + y * self.flat_u[1], x * self.flat_v[0] + y * self.flat_v[1]

    def face(self, name: str, top: bool) -> Face:
        """Its top or bottom side as a face of the part."""
        h = self.thickness if top else 0.0
        normal = self.w if top else scale(self.w, -1.0)
        if self.mirror is None:
            return Face(name, self.point(0.0, 0.0, h), self.u, self.v, normal, self.region, self.thickness)
        return Face(name, self.point(self.mirror, 0.0, h), scale(self.u, -1.0), self.v, normal,
                    mirrored(self.region, self.mirror), self.thickness)

    def reach(self, direction: Vec) -> float:
        """The largest p · direction over its points."""
        return (dot(self.origin, direction) + self.region.reach(dot(self.u, direction), dot(self.v, direction))
                + max(0.0, self.thickness * dot(self.w, direction)))


@dataclass(frozen=True)
class Bend:
    """The stretch between a panel and the leg bent from it: a part of a tube about the line ``centre + u U``.

    u from ``start`` to ``stop``; q from 0 (the panel) to ``allowance`` (the leg) along the neutral fibre, outward along E
    in the panel's plane; h as in the sheet. ``up``: 1 bent towards the top side, -1 towards the bottom side."""

    name: str
    leg: str
    start: float
    stop: float
    angle: float
    radius: float
    k: float
    thickness: float
    up: int
    centre: Vec
    u: Vec
    e: Vec
    w: Vec
    flat_origin: Point
    flat_u: Point
    flat_e: Point

    @cached_property
    def allowance(self) -> float:
        return bend_allowance(self.angle, self.radius, self.thickness, self.k)

    @property
    def volume(self) -> float:
        """mm³: a sector of a ring times its length."""
        outer = self.radius + self.thickness
        return math.radians(self.angle) / 2 * (outer * outer - self.radius * self.radius) * (self.stop - self.start)

    @property
    def pose(self) -> Pose:
        """Right-handed, at ``start``: x along E, y along W, z along the bend."""
        return pose_from_axes(add(self.centre, scale(self.u, self.start)), self.e, self.u)

    @property
    def fibre(self) -> float:
        """Radius of the neutral fibre."""
        return self.radius + self.k * self.thickness

    def at(self, u: float, rho: float, angle: float) -> Vec:
        """The point at radius ``rho`` from the axis, ``angle`` degrees into the bend."""
        c, s = turn_of(angle)
        out = add(scale(self.e, rho * s), scale(self.w, -self.up * rho * c))
        return add(add(self.centre, scale(self.u, u)), out)

    def point(self, u: float, q: float, h: float) -> Vec:
        rho = self.radius + (self.thickness - h if self.up > 0 else h)
        return self.at(u, rho, math.degrees(q / self.fibre))

    def local(self, p: Vec) -> Vec:
        """(u, q, h) of a point of the part; q below 0 or above ``allowance`` for points beside the bend."""
        offset = sub(p, self.centre)
        e, w = dot(offset, self.e), -self.up * dot(offset, self.w)
        rho = math.hypot(e, w)
        turn = math.atan2(e, w)  # -180 to 180°: what lies opposite the bend goes to the nearer end
        if turn < math.radians(self.angle) / 2 - math.pi:
            turn += 2 * math.pi
        h = rho - self.radius
        return dot(offset, self.u), turn * self.fibre, self.thickness - h if self.up > 0 else h

    def to_flat(self, u: float, q: float) -> Point:
        return (self.flat_origin[0] + u * self.flat_u[0] + q * self.flat_e[0],
                self.flat_origin[1] + u * self.flat_u[1] + q * self.flat_e[1])

    def from_flat(self, p: Point) -> Point:
        x, y = p[0] - self.flat_origin[0], p[1] - self.flat_origin[1]
        return x * self.flat_u[0] + y * self.flat_u[1], x * self.flat_e[0] + y * self.flat_e[1]

    def reach(self, direction: Vec) -> float:
        """The largest p · direction over its outer skin; its ends belong to the panels, too."""
        e, w = dot(self.e, direction), -self.up * dot(self.w, direction)
        turn = math.degrees(math.atan2(e, w))
        outer = self.radius + self.thickness
        at_most = max(self.start * dot(self.u, direction), self.stop * dot(self.u, direction)) + dot(self.centre, direction)
        if 0.0 <= turn <= self.angle:
            return at_most + outer * math.hypot(e, w)
        c, s = turn_of(self.angle)
        return at_most + max(rho * max(w, e * s + w * c) for rho in (self.radius, outer))


def mirrored(profile: Profile, about: float) -> Profile:
    """The profile with u = about - u, anticlockwise again."""
    points = [(about - x, y) for x, y, _ in reversed(profile.vertices)]
    bulges = [bulge for _, _, bulge in reversed(profile.vertices)]
    bulges = bulges[1:] + bulges[:1]  # an edge begins at the other of its ends now
    return Profile(tuple((x, y, bulge) for (x, y), bulge in zip(points, bulges, strict=True)))
