"""Places as a script gives them: points, sizes, and which way a part points."""

from __future__ import annotations

from deskmodel._numbers import number, told, vector
from deskmodel.errors import InputFault
from deskmodel.faces import AnyPart, PlacedPart, placed_box
from deskmodel.features._base import check_length
from deskmodel.frames import IDENTITY, Pose, Vec, axis_angle, sub
from deskmodel.part import CustomShape

__all__ = ["is_one_of", "point_of", "pose_of", "size_of"]

_ALONG = {"x": IDENTITY, "-x": axis_angle((0, 0, 1), 180), "y": axis_angle((0, 0, 1), 90),
          "-y": axis_angle((0, 0, 1), -90), "z": axis_angle((0, 1, 0), -90), "-z": axis_angle((0, 1, 0), 90)}


def is_one_of(value: object, texts: str) -> bool:
    """Whether it is one of the words in ``texts``; an array compared with a text is neither."""
    return isinstance(value, str) and value in texts.split()


def pose_of(part: AnyPart, at: Vec, along: str, turn: float) -> Pose:
    if not isinstance(along, str) or along not in _ALONG:
        raise InputFault(f"along {told(along)}", allowed=", ".join(_ALONG))
    point = point_of("at", at)
    turned = _ALONG[along] @ axis_angle((1, 0, 0), number("turn", turn, -360, 360, "degrees"))
    low, _ = placed_box(PlacedPart(part, turned, "member"))
    return Pose(turned.rotation, sub(point, low) if not isinstance(part, CustomShape) else point)


def point_of(what: str, value: Vec) -> Vec:
    x, y, z = vector(what, value)
    return x, y, z


def size_of(what: str, value: Vec) -> Vec:
    x, y, z = vector(what, value)
    for axis, side in zip(("width", "depth", "height"), (x, y, z), strict=True):
        check_length(f"{what} {axis}", side)
    return x, y, z
