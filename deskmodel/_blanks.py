"""Blanks: the piece before features, with its faces by their trade names. Re-exported by ``deskmodel.part``."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

from deskmodel._numbers import told
from deskmodel.bends import FoldedBlank
from deskmodel.errors import InputFault
from deskmodel.features import Box3, Face, Prism, Revolve
from deskmodel.frames import Pose, scale
from deskmodel.profiles import Profile, rectangle

__all__ = ["Blank", "Bodies", "BoxBlank", "CustomBlank", "FoldedBlank", "SheetBlank", "TurnedBlank"]


@dataclass(frozen=True, slots=True)
class BoxBlank:
    """A box from the origin to (length, width, height)."""

    length: float
    width: float
    height: float

    @property
    def volume(self) -> float:
        return self.length * self.width * self.height

    @property
    def bounds(self) -> Box3:
        return (0.0, 0.0, 0.0), (self.length, self.width, self.height)

    def face(self, name: str) -> Face:
        """The six faces by their trade names; u and v are the part's own other two coordinates."""
        L, w, h = self.length, self.width, self.height
        x, y, z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
        o = (0.0, 0.0, 0.0)
        faces = {
            "datum end": lambda: Face(name, o, y, z, (-1.0, 0.0, 0.0), rectangle(w, h), L),
            "far end": lambda: Face(name, (L, 0.0, 0.0), y, z, x, rectangle(w, h), L),
            "face side": lambda: Face(name, o, x, z, (0.0, -1.0, 0.0), rectangle(L, h), w),
            "back side": lambda: Face(name, (0.0, w, 0.0), x, z, y, rectangle(L, h), w),
            "under edge": lambda: Face(name, o, x, y, (0.0, 0.0, -1.0), rectangle(L, w), h),
            "face edge": lambda: Face(name, (0.0, 0.0, h), x, y, z, rectangle(L, w), h),
        }
        return _pick(faces, name)

    face_names = ("datum end", "far end", "face side", "back side", "under edge", "face edge")


@dataclass(frozen=True, slots=True)
class SheetBlank:
    """``outline`` (in x, y) times ``thickness`` (z from 0)."""

    outline: Profile
    thickness: float

    @property
    def volume(self) -> float:
        return self.outline.area * self.thickness

    @property
    def bounds(self) -> Box3:
        x0, y0, x1, y1 = self.outline.bounds
        return (x0, y0, 0.0), (x1, y1, self.thickness)

    def face(self, name: str) -> Face:
        x, y, z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
        t = self.thickness
        faces = {
            "bottom": lambda: Face(name, (0.0, 0.0, 0.0), x, y, (0.0, 0.0, -1.0), self.outline, t),
            "top": lambda: Face(name, (0.0, 0.0, t), x, y, z, self.outline, t),
        }
        return _pick(faces, name)

    face_names = ("bottom", "top")


@dataclass(frozen=True, slots=True)
class TurnedBlank:
    """The closed polygon ``half`` of (r, z) points turned about z: dowels, screws, inserts."""

    half: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        Revolve(self.half, Pose())  # its points are looked at there

    @property
    def solid(self) -> Revolve:
        return Revolve(self.half, Pose())

    @property
    def volume(self) -> float:
        return self.solid.volume

    @property
    def bounds(self) -> Box3:
        return self.solid.bounds

    def face(self, name: str) -> Face:
        raise InputFault(f"face {name!r} of a turned part", allowed="features on members and plates only")

    face_names = ()


@dataclass(frozen=True, slots=True)
class Bodies:
    """A union of boxes and cylinders (each a prism), as a data sheet gives equipment."""

    bodies: tuple[Prism, ...]

    def __post_init__(self) -> None:
        if not self.bodies or not all(isinstance(body, Prism) for body in self.bodies):
            raise InputFault(f"bodies {told(self.bodies)}", allowed="one prism or more")

    @property
    def bounds(self) -> Box3:
        boxes = [b.bounds for b in self.bodies]
        lows = [min(box[0][i] for box in boxes) for i in range(3)]
        highs = [max(box[1][i] for box in boxes) for i in range(3)]
        return (lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2])

    def face(self, name: str) -> Face:
        """"bottom" and "top" of the box about it all: what mounting holes are measured on; and the flat faces of each
        body, "body 2 left": a rim hangs in an opening by its own underside."""
        (x0, y0, z0), (x1, y1, z1) = self.bounds
        outline = rectangle(x1 - x0, y1 - y0, (x0, y0))
        x, y = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
        faces = {
            "bottom": lambda: Face(name, (0.0, 0.0, z0), x, y, (0.0, 0.0, -1.0), outline, z1 - z0),
            "top": lambda: Face(name, (0.0, 0.0, z1), x, y, (0.0, 0.0, 1.0), outline, z1 - z0),
        }
        for number, body in enumerate(self.bodies, 1):
            for side in _SIDES if body.profile.as_circle is None else _ENDS:
                faces[f"body {number} {side}"] = partial(_body_face, name, body, side)
        return _pick(faces, name)

    face_names = ("bottom", "top")

    @property
    def body_face_names(self) -> tuple[str, ...]:
        return tuple(f"body {number} {side}" for number, body in enumerate(self.bodies, 1)
                     for side in (_SIDES if body.profile.as_circle is None else _ENDS))


@dataclass(frozen=True, slots=True)
class CustomBlank:
    """A shape that ``function`` of the script file ``script`` makes with cadquery from ``parameters``.

    ``digest`` is the hash of its B-rep and ``box`` its box; both are empty until the shape has been made.
    """

    script: str
    function: str
    parameters: tuple[tuple[str, float | int | str | bool], ...]
    digest: str = ""
    box: Box3 = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))

    @property
    def bounds(self) -> Box3:
        return self.box

    def face(self, name: str) -> Face:
        raise InputFault(f"face {name!r} of a custom shape", allowed="features on members and plates only")

    face_names = ()


Blank = BoxBlank | SheetBlank | FoldedBlank | TurnedBlank | Bodies | CustomBlank


_ENDS = ("start", "end")
_SIDES = (*_ENDS, "left", "right", "front", "back")


def _body_face(name: str, body: Prism, side: str) -> Face:
    """A flat face of a box or the flat end of a cylinder, in the part's frame. "start" and "end" lie across the prism's
    own z, the others across its x and y."""
    x0, y0, x1, y1 = body.profile.bounds
    pose, flat = body.pose, body.profile
    x, y, z = pose.axis(0), pose.axis(1), pose.axis(2)
    if side in _ENDS:
        at_end = side == "end"
        origin = pose.apply((0.0, 0.0, body.depth if at_end else 0.0))
        return Face(name, origin, x, y, z if at_end else scale(z, -1.0), flat, body.depth)
    if side in ("left", "right"):
        corner, normal = (x1 if side == "right" else x0, 0.0, 0.0), x if side == "right" else scale(x, -1.0)
        return Face(name, pose.apply(corner), y, z, normal, rectangle(y1 - y0, body.depth, (y0, 0.0)), x1 - x0)
    corner, normal = (0.0, y1 if side == "back" else y0, 0.0), y if side == "back" else scale(y, -1.0)
    return Face(name, pose.apply(corner), x, z, normal, rectangle(x1 - x0, body.depth, (x0, 0.0)), y1 - y0)


def _pick(faces: dict[str, Any], name: str) -> Face:
    make = faces.get(name) if isinstance(name, str) else None
    if make is None:
        raise InputFault(f"face {told(name)}", allowed=", ".join(faces))
    face: Face = make()
    return face
