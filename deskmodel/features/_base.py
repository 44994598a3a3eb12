"""What every feature is made of: faces of a blank to cut into, and two kinds of removal.

           v ^      n (out of the material)
             |    /
             |  /
    origin   +------> u        a feature says where it is in (u, v): the part's own remaining coordinates
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any, Literal, Protocol, get_args

from deskmodel._numbers import LARGEST, is_number, told
from deskmodel.errors import InputFault
from deskmodel.frames import Pose, Vec, add, cross, dot, pose_from_axes, scale, sub
from deskmodel.profiles import Profile, check_outline, inside
from deskmodel.tolerances import LENGTH

__all__ = ["SHORTEST", "Box3", "Face", "Feature", "Prism", "Purpose", "Removal", "Revolve", "Stage", "check_inside",
           "check_labels", "check_length", "check_pair", "on_sheet", "prism_into", "span"]

SHORTEST = 0.001
"""mm. Nothing in a workshop is thinner than a micrometre, and the kernel takes shorter edges for points."""

Purpose = Literal["dowel", "insert", "screw", "cable", "vent", "shape"]
Stage = Literal["plane", "crosscut", "drill", "laminate", "bevel and notch", "glue-up", "spot inserts", "finish", "fit out"]
Box3 = tuple[Vec, Vec]


@dataclass(frozen=True)
class Prism:
    """``profile`` (mm, in the xy plane of ``pose``) swept ``depth`` mm along the z of ``pose``."""

    profile: Profile
    pose: Pose
    depth: float

    def __post_init__(self) -> None:
        if not is_number(self.depth) or self.depth <= 0:
            raise InputFault(f"a prism {told(self.depth)} deep", allowed="a depth above 0 mm")

    @property
    def volume(self) -> float:
        return self.profile.area * self.depth

    @cached_property
    def bounds(self) -> Box3:
        """Box in the part's frame. Exact for poses at right angles and for circles, else a little large."""
        x0, y0, x1, y1 = self.profile.bounds
        round_hole = self.profile.as_circle
        if round_hole:
            return _disc_bounds(self.pose, round_hole[0], round_hole[1], 0.0, self.depth)
        return _box_of([self.pose.apply((x, y, z)) for x in (x0, x1) for y in (y0, y1) for z in (0.0, self.depth)])

    def contains(self, p: Vec) -> bool:
        """Whether a point of the part's frame lies in it (on its border: either way)."""
        if _outside(self.bounds, p):
            return False
        x, y, z = _within(self.pose, p)
        return 0.0 <= z <= self.depth and self.profile.contains((x, y))


@dataclass(frozen=True)
class Revolve:
    """The closed polygon ``half`` of (r, z) points, r >= 0 (mm), turned about the z axis of ``pose``."""

    half: tuple[tuple[float, float], ...]
    pose: Pose

    def __post_init__(self) -> None:
        if len(self.half) < 3 or not all(len(p) == 2 and all(map(is_number, p)) and p[0] >= 0 for p in self.half):
            raise InputFault(f"a half profile {told(self.half)}", allowed="three or more (r, z), no r below 0")

    @property
    def volume(self) -> float:
        # sum of frusta: pi/3 (z1 - z0)(r0² + r0 r1 + r1²) round the polygon
        closed = (*self.half, self.half[0])
        return abs(sum((z1 - z0) * (r0 * r0 + r0 * r1 + r1 * r1) for (r0, z0), (r1, z1) in pairwise(closed))) * math.pi / 3

    @cached_property
    def bounds(self) -> Box3:
        zs = [z for _, z in self.half]
        return _disc_bounds(self.pose, (0.0, 0.0), max(r for r, _ in self.half), min(zs), max(zs))

    def contains(self, p: Vec) -> bool:
        """Whether a point of the part's frame lies in it (on its border: either way)."""
        if _outside(self.bounds, p):
            return False
        x, y, z = _within(self.pose, p)
        r, crossed = math.hypot(x, y), False
        for (r0, z0), (r1, z1) in pairwise((*self.half, self.half[0])):
            if (z0 > z) != (z1 > z) and r < r0 + (z - z0) / (z1 - z0) * (r1 - r0):  # a ray outwards meets this side
                crossed = not crossed
        return crossed


Removal = Prism | Revolve


@dataclass(frozen=True, slots=True)
class Face:
    """A flat face of a blank, in the part's frame (mm).

    ``u`` and ``v`` are unit vectors in the face, ``normal`` points out of the material, ``outline`` is the face in
    (u, v), ``behind`` the thickness of material behind it.
    """

    name: str
    origin: Vec
    u: Vec
    v: Vec
    normal: Vec
    outline: Profile
    behind: float

    def point(self, u: float, v: float, depth: float = 0.0) -> Vec:
        """The point ``depth`` below the face at (u, v)."""
        return add(add(self.origin, scale(self.u, u)), add(scale(self.v, v), scale(self.normal, -depth)))

    def coordinates(self, p: Vec) -> tuple[float, float, float]:
        """(u, v, depth) of a point of the part's frame."""
        offset = sub(p, self.origin)
        return dot(offset, self.u), dot(offset, self.v), -dot(offset, self.normal)

    def axis_into(self, u: float, v: float) -> Pose:
        """A frame at (u, v) of the face whose z points into the material."""
        return pose_from_axes(self.point(u, v), self.u, scale(self.normal, -1.0))


class BlankFaces(Protocol):
    """What a feature may ask of the blank it is cut into."""

    def face(self, name: str) -> Face: ...


class Feature(Protocol):
    """What the workshop does to a blank. A feature is a frozen dataclass of numbers; ``removals`` is all it does."""

    @property
    def name(self) -> str: ...
    @property
    def purpose(self) -> Purpose: ...
    @property
    def stage(self) -> Stage: ...

    def removals(self, blank: BlankFaces) -> tuple[Removal, ...]:
        """What it takes away, inside the blank, in the part's frame. InputFault where it leaves the blank."""
        ...


def prism_into(face: Face, outline: Profile, depth: float) -> Prism:
    """The prism under ``outline`` (in the face's u, v), ``depth`` deep. Its frame is right-handed whichever way
    (u, v, normal) turns, so an arc is never mirrored."""
    if dot(cross(face.u, face.v), face.normal) < 0:
        return Prism(outline, pose_from_axes(face.origin, face.u, scale(face.normal, -1.0)), depth)
    low = add(face.origin, scale(face.normal, -depth))
    return Prism(outline, pose_from_axes(low, face.u, face.normal), depth)


def on_sheet(prism: Prism) -> Profile:
    """The profile of a through prism in the sheet's own x, y."""
    x, y = prism.pose.axis(0), prism.pose.axis(1)
    ox, oy, _ = prism.pose.origin
    flip = prism.pose.axis(2)[2] < 0
    vertices = [(ox + u * x[0] + v * y[0], oy + u * x[1] + v * y[1], -bulge if flip else bulge)
                for u, v, bulge in prism.profile.vertices]
    if not flip:
        return Profile(tuple(vertices))
    # seen from the other side the outline runs the other way: reverse it, each bulge moves to the new start
    points = [(vx, vy) for vx, vy, _ in reversed(vertices)]
    bulges = [bulge for _, _, bulge in reversed(vertices)]
    bulges = bulges[1:] + bulges[:1]
    return Profile(tuple((px, py, -bulge) for (px, py), bulge in zip(points, bulges, strict=True)))


def span(box: Box3, direction: Vec, origin: Vec = (0.0, 0.0, 0.0)) -> tuple[float, float]:
    """(least, greatest) of (p - origin) · direction over the points p of a box."""
    (x0, y0, z0), (x1, y1, z1) = box
    a, b, c = direction
    at = dot(origin, direction)
    return (min(a * x0, a * x1) + min(b * y0, b * y1) + min(c * z0, c * z1) - at,
            max(a * x0, a * x1) + max(b * y0, b * y1) + max(c * z0, c * z1) - at)


def check_length(name: str, value: float, *, below: float | None = None, at_most: float | None = None) -> None:
    """InputFault unless ``value`` is a length above 0 mm (and below / at most the limit)."""
    if not is_number(value) or not SHORTEST <= value <= LARGEST:
        raise InputFault(f"{name} {told(value)}", allowed=f"a length above 0 mm, {SHORTEST:g} to {LARGEST:g}")
    if below is not None and value >= below - LENGTH:
        raise InputFault(f"{name} {value:g} mm", allowed=f"below {below:g} mm")
    if at_most is not None and value > at_most + LENGTH:
        raise InputFault(f"{name} {value:g} mm", allowed=f"at most {at_most:g} mm")


def check_pair(what: str, value: Any, parts: str) -> None:
    """InputFault unless ``value`` has two entries; ``parts`` says which."""
    if not isinstance(value, tuple | list) or len(value) != 2:
        raise InputFault(f"{what} {told(value)}", allowed=parts)


def check_labels(feature: Feature) -> None:
    """InputFault unless name, purpose and stage are what a schedule can print and sort by."""
    if not isinstance(feature.name, str) or len(feature.name) > 700:
        raise InputFault(f"feature name {told(feature.name)}", allowed="a text")
    if not isinstance(feature.purpose, str) or feature.purpose not in get_args(Purpose):
        raise InputFault(f"purpose {told(feature.purpose)}", allowed=", ".join(get_args(Purpose)))
    if not isinstance(feature.stage, str) or feature.stage not in get_args(Stage):
        raise InputFault(f"stage {told(feature.stage)}", allowed=", ".join(get_args(Stage)))


def check_inside(what: str, outline: Profile, face: Face) -> None:
    """InputFault unless the outline is one (anticlockwise, without crossings) and lies within the face."""
    check_outline(what, outline)
    if not inside(outline, face.outline):
        u0, v0, u1, v1 = outline.bounds
        f0, g0, f1, g1 = face.outline.bounds
        raise InputFault(f"{what} leaves its blank: it spans {u0:g} to {u1:g} by {v0:g} to {v1:g} mm on the {face.name}",
                         allowed=f"within the face, {f0:g} to {f1:g} by {g0:g} to {g1:g} mm")


def _outside(box: Box3, p: Vec) -> bool:
    """Asked first: a plate has hundreds of cuts, and a point lies near one of them."""
    (x0, y0, z0), (x1, y1, z1) = box
    x, y, z = p
    return x < x0 or x > x1 or y < y0 or y > y1 or z < z0 or z > z1


def _within(pose: Pose, p: Vec) -> Vec:
    offset = sub(p, pose.origin)
    return dot(pose.axis(0), offset), dot(pose.axis(1), offset), dot(pose.axis(2), offset)


def _box_of(points: list[Vec]) -> Box3:
    lows = [min(p[i] for p in points) for i in range(3)]
    highs = [max(p[i] for p in points) for i in range(3)]
    return (lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2])


def _disc_bounds(pose: Pose, centre: tuple[float, float], radius: float, z0: float, z1: float) -> Box3:
    """Exact box of a cylinder about the z axis of ``pose``: a disc of normal n spans r sqrt(1 - n_i²) along axis i."""
    ends = [pose.apply((centre[0], centre[1], z)) for z in (z0, z1)]
    axis = pose.axis(2)
    spread = [radius * math.sqrt(max(0.0, 1.0 - axis[i] ** 2)) for i in range(3)]
    low, high = _box_of(ends)
    return ((low[0] - spread[0], low[1] - spread[1], low[2] - spread[2]),
            (high[0] + spread[0], high[1] + spread[1], high[2] + spread[2]))
