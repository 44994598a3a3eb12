"""Points of a face that a joint was given, and whether there is material round them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from deskmodel._numbers import is_number, told, vector
from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart
from deskmodel.features import Box3, Face
from deskmodel.frames import Vec
from deskmodel.part import removals_of
from deskmodel.profiles import circle, inside
from deskmodel.tolerances import LENGTH

__all__ = ["check_material", "in_region", "is_points", "points_of"]

_SKIN = 0.005  # mm below the face at which material is looked for
_AROUND = 16  # places on the rim of a hole


def points_of(what: str, given: Any, apart: float) -> tuple[tuple[float, float], ...]:
    """(u, v) points of a face as a tuple of pairs, mm. InputFault unless there is one or more, and any two lie at least
    ``apart`` from each other."""
    allowed = "one or more points ((u, v), …) in mm"
    if not isinstance(given, Iterable) or isinstance(given, str | bytes):
        raise InputFault(f"{what} {told(given)}", allowed=allowed)
    points = [vector(what, point, 2) for point in given]
    if not points:
        raise InputFault(f"{what} {told(given)}", allowed=allowed)
    for i, p in enumerate(points):
        for q in points[:i]:
            if math.dist(p, q) < apart - LENGTH:
                raise InputFault(f"{what} ({q[0]:g}, {q[1]:g}) and ({p[0]:g}, {p[1]:g})",
                                 allowed=f"at least {apart:g} mm from each other")
    return tuple((u, v) for u, v in points)


def is_points(given: Any) -> bool:
    """Whether it looks like points rather than numbers along a row; what is neither is told by whoever reads it."""
    return isinstance(given, tuple | list) and bool(given) and not any(is_number(each) for each in given)


def in_region(point: tuple[float, float], pair: FacePair, margin: float) -> bool:
    """Whether a point of a's face lies ``margin`` or more inside the region in which the faces meet."""
    u0, v0, u1, v1 = pair.region
    u, v = point
    return (u0 + margin - LENGTH <= u <= u1 - margin + LENGTH) and (v0 + margin - LENGTH <= v <= v1 - margin + LENGTH)


def check_material(placed: PlacedPart, face: Face, p: Vec, diameter: float, what: str) -> None:
    """InputFault unless the part has material at its ``face`` within ``diameter`` round the point ``p`` (desk frame): a
    hole that opens into a notch, a bore or another hole holds nothing. Looked for at the middle and all round the rim."""
    u, v, _ = face.coordinates(p)
    if placed.veneer_on(face.name):
        raise InputFault(f"{what} in the veneered {face.name} of {placed.name!r}", allowed="a face that stays bare")
    if not inside(circle(diameter, (u, v)), face.outline):
        raise InputFault(f"{what} at ({u:g}, {v:g}) leaves the {face.name} of {placed.name!r}",
                         allowed=f"{diameter / 2:g} mm or more from its rim")
    own = placed.part.blank.face(face.name)
    middle = own.point(u, v, _SKIN)
    removals = [each for each in removals_of(placed.part) if _reaches(each.bounds, middle, diameter / 2)]
    turns = [2 * math.pi * i / _AROUND for i in range(_AROUND)]
    rim = [(u + diameter / 2 * math.cos(a), v + diameter / 2 * math.sin(a)) for a in turns]
    for place in ((u, v), *rim):
        q = own.point(*place, _SKIN)
        if any(removal.contains(q) for removal in removals):
            raise InputFault(f"{what} at ({u:g}, {v:g}) of the {face.name} of {placed.name!r}, where it is cut away",
                             allowed="a place with material all round it")


def _reaches(box: Box3, p: Vec, radius: float) -> bool:
    """Whether the box comes as near to the point: a plate has hundreds of vents, and few are near a screw."""
    reach = radius + LENGTH
    (x0, y0, z0), (x1, y1, z1) = box
    x, y, z = p
    return (x0 - reach <= x <= x1 + reach and y0 - reach <= y <= y1 + reach and z0 - reach <= z <= z1 + reach)
