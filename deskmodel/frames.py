"""Rigid placements without numpy: vectors are 3-tuples, a pose is a rotation and an origin.

Right angles are exact (entries 0, 1, -1), so a desk of boxes stays a desk of boxes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from deskmodel.errors import InputFault

__all__ = ["IDENTITY", "Pose", "Vec", "add", "axis_angle", "cross", "dot", "norm", "pose_from_axes", "scale", "sub",
           "unit"]

Vec = tuple[float, float, float]
_Rotation = tuple[Vec, Vec, Vec]


def add(a: Vec, b: Vec) -> Vec:
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def sub(a: Vec, b: Vec) -> Vec:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def scale(a: Vec, s: float) -> Vec:
    return (a[0] * s, a[1] * s, a[2] * s)


def dot(a: Vec, b: Vec) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def norm(a: Vec) -> float:
    return math.hypot(*a)


def unit(a: Vec) -> Vec:
    length = norm(a)
    if length == 0.0 or not math.isfinite(length):
        raise InputFault(f"a direction {a}", allowed="a vector of a length above 0")
    return (a[0] / length, a[1] / length, a[2] / length)  # not times 1 / length: (0, 0, 49) would not give 1


@dataclass(frozen=True, slots=True)
class Pose:
    """Where a frame stands in another: ``p_outer = rotation · p_inner + origin``. Rows of ``rotation``; mm."""

    rotation: _Rotation = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    origin: Vec = (0.0, 0.0, 0.0)

    def turn(self, v: Vec) -> Vec:
        """A direction of the inner frame, in the outer one."""
        r = self.rotation
        return (dot(r[0], v), dot(r[1], v), dot(r[2], v))

    def apply(self, p: Vec) -> Vec:
        """A point of the inner frame, in the outer one."""
        return add(self.turn(p), self.origin)

    def __matmul__(self, inner: Pose) -> Pose:
        """The pose that applies ``inner`` first."""
        columns = [self.turn(inner.axis(i)) for i in range(3)]
        return Pose(_rows(columns[0], columns[1], columns[2]), self.apply(inner.origin))

    def inverse(self) -> Pose:
        r = self.rotation
        back = Pose(_rows(*r))
        return Pose(back.rotation, scale(back.turn(self.origin), -1.0))

    def axis(self, i: int) -> Vec:
        """The i-th axis (0 x, 1 y, 2 z) of the inner frame, in the outer one."""
        r = self.rotation
        return (r[0][i], r[1][i], r[2][i])

    def moved(self, offset: Vec) -> Pose:
        return Pose(self.rotation, add(self.origin, offset))


IDENTITY = Pose()


def _rows(x: Vec, y: Vec, z: Vec) -> _Rotation:
    return ((x[0], y[0], z[0]), (x[1], y[1], z[1]), (x[2], y[2], z[2]))


def pose_from_axes(origin: Vec, x: Vec, z: Vec) -> Pose:
    """A right-handed frame from its origin, x axis and z axis (made unit; must be square to each other)."""
    x, z = unit(x), unit(z)
    if abs(dot(x, z)) > 1e-9:
        raise InputFault(f"axes {x} and {z} are not square to each other", allowed="two directions at 90°")
    return Pose(_rows(x, cross(z, x), z), origin)


def axis_angle(axis: Vec, degrees: float) -> Pose:
    """The rotation about an axis through the origin; multiples of 90° about x, y, z are exact."""
    if not math.isfinite(degrees):
        raise InputFault(f"a turn of {degrees}°", allowed="degrees")
    x, y, z = unit(axis)
    quarter = degrees / 90.0
    if quarter == round(quarter):
        c, s = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarter) % 4]
    else:
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    t = 1.0 - c
    return Pose(((t * x * x + c, t * x * y - s * z, t * x * z + s * y),
                 (t * x * y + s * z, t * y * y + c, t * y * z - s * x),
                 (t * x * z - s * y, t * y * z + s * x, t * z * z + c)))
