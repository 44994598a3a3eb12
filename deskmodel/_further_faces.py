"""Faces that joints may meet besides those of the blank: the floor of a rebate, the slope of a bevel, the underside of a
body's rim. Features are not cut into them."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.errors import InputFault
from deskmodel.features import Bevel, Face, Groove, Notch, Pocket, Prism
from deskmodel.frames import Vec, cross, dot, scale
from deskmodel.part import Bodies, BoxBlank, Part
from deskmodel.profiles import rectangle
from deskmodel.tolerances import LENGTH

__all__ = ["further_faces", "own_face"]

_CUTS = (Bevel, Groove, Notch, Pocket)


def further_faces(part: Part) -> Iterator[Face]:
    """In the part's frame: flat faces that grooves, notches, pockets and bevels leave in a member, "rebate face 1", and
    those of the bodies of equipment, "body 2 left"."""
    blank = part.blank
    if isinstance(blank, Bodies):
        for name in blank.body_face_names:
            yield blank.face(name)
    if not isinstance(blank, BoxBlank):
        return
    taken: dict[str, int] = {}
    for feature in part.features:
        if isinstance(feature, _CUTS):
            for removal in feature.removals(blank):
                assert isinstance(removal, Prism)
                for face in _left_by(removal):
                    behind = _behind(face, blank)
                    if behind > LENGTH:
                        number = taken[feature.name] = taken.get(feature.name, 0) + 1
                        yield Face(f"{feature.name} face {number}", face.origin, face.u, face.v, face.normal, face.outline,
                                   behind)


def own_face(part: Part, name: str) -> Face:
    """The face of that name in the part's frame, of its blank or a further one. InputFault lists the blank's."""
    try:
        return part.blank.face(name)
    except InputFault:
        for face in further_faces(part):
            if face.name == name:
                return face
        raise


def _left_by(cut: Prism) -> Iterator[Face]:
    """Both ends and the straight sides of a prism, each with its normal into the prism: out of what is left."""
    pose, depth = cut.pose, cut.depth
    x, y, z = pose.axis(0), pose.axis(1), pose.axis(2)
    yield Face("", pose.apply((0.0, 0.0, 0.0)), x, y, z, cut.profile, 0.0)
    yield Face("", pose.apply((0.0, 0.0, depth)), x, y, scale(z, -1.0), cut.profile, 0.0)
    for (x0, y0), (x1, y1), bulge in cut.profile.edges():
        if bulge == 0:
            length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
            along = pose.turn(((x1 - x0) / length, (y1 - y0) / length, 0.0))
            # the outline runs anticlockwise: what is cut away lies to the left
            yield Face("", pose.apply((x0, y0, 0.0)), along, z, cross(z, along), rectangle(length, depth), 0.0)


def _behind(face: Face, blank: BoxBlank) -> float:
    """mm of the blank behind the middle of the face; 0 where the face lies on the blank's surface or outside."""
    u0, v0, u1, v1 = face.outline.bounds
    middle, inwards = face.point((u0 + u1) / 2, (v0 + v1) / 2), scale(face.normal, -1.0)
    low, high = blank.bounds
    if any(not low[i] - LENGTH <= middle[i] <= high[i] + LENGTH for i in range(3)):
        return 0.0
    return min(_until(middle[i], inwards, i, low[i], high[i]) for i in range(3))


def _until(at: float, direction: Vec, axis: int, low: float, high: float) -> float:
    step = dot(direction, ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))[axis])
    if abs(step) < 1e-9:
        return float("inf")
    return max(0.0, ((high if step > 0 else low) - at) / step)
