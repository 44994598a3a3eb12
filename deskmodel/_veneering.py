"""Makes the veneers of a desk whose joints are laid out: pieces of their own, cut where their plates are open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart
from deskmodel.features import CutOut, Face, Feature, Prism, Removal, Revolve, VentField
from deskmodel.features._base import span
from deskmodel.frames import Pose, dot
from deskmodel.joints import JointRecord
from deskmodel.part import Plate
from deskmodel.profiles import Profile, circle, inside, rectangle
from deskmodel.tolerances import ANGLE, LENGTH
from deskmodel.veneer import Veneer, veneer_name

__all__ = ["veneered", "veneers_named"]


def veneers_named(parts: Sequence[PlacedPart]) -> dict[str, str]:
    """Name of each veneer that is to be -> the plate that carries it."""
    return {veneer_name(placed.name): placed.name for placed in parts
            if isinstance(placed.part, Plate) and placed.part.veneer is not None}


def veneered(placed: PlacedPart, bare: Sequence[Feature]) -> tuple[PlacedPart, JointRecord]:
    """The veneer on a plate that carries one, and its bond. ``bare``: what else is cut from the veneer alone.

    Its frame is the plate's, moved to the face, so that (u, v) mean the same on both. InputFault where what has to stay
    bare leaves the plate, or nothing is left."""
    plate = placed.part
    assert isinstance(plate, Plate)
    assert plate.veneer is not None
    veneer, own = plate.veneer, plate.blank.face(plate.veneer.face)
    cuts = _without_nested([*_openings(plate, veneer, own), *_outlines(bare)])
    features = tuple(CutOut(outline, name=name, stage="finish") for name, outline in cuts)
    low = own.origin[2] if veneer.face == "top" else -veneer.thickness
    piece = Plate(veneer_name(plate.name), own.outline, veneer.thickness, veneer.material, features)
    pose = placed.pose @ Pose(origin=(0.0, 0.0, low))
    face = placed.face(veneer.face)
    u0, v0, u1, v1 = own.outline.bounds
    p, q = face.point(u0, v0), face.point(u1, v1)
    region = ((min(p[0], q[0]), min(p[1], q[1]), min(p[2], q[2])), (max(p[0], q[0]), max(p[1], q[1]), max(p[2], q[2])))
    opposite = "bottom" if veneer.face == "top" else "top"
    record = JointRecord(
        f"{piece.name} bond", "bond", piece.name, plate.name, (opposite, veneer.face), 0.0, 0.0,
        face.point((u0 + u1) / 2, (v0 + v1) / 2), region, (),
        f"{veneer.material} {veneer.thickness:g} mm, its glue counted in; the plate is cut first, the veneer trimmed after")
    return PlacedPart(piece, pose, "veneer", plate.name), record


def _openings(plate: Plate, veneer: Veneer, face: Face) -> Iterator[tuple[str, Profile]]:
    """What opens in the veneered face, in its (u, v): through cuts, and whatever is sunk from that face."""
    for feature in plate.features:
        if isinstance(feature, VentField):
            yield feature.name, _clear_of(feature, veneer)
            continue
        for removal in feature.removals(plate.blank):
            if span(removal.bounds, face.normal, face.origin)[1] > -LENGTH:
                yield feature.name, _outline_at(removal, face)


def _clear_of(field: VentField, veneer: Veneer) -> Profile:
    """The rectangle about all holes of a field and the bare margin round them."""
    reach = field.diameter / 2 + veneer.bare_margin
    centres = field.centres()
    x0, x1 = min(x for x, _ in centres) - reach, max(x for x, _ in centres) + reach
    y0, y1 = min(y for _, y in centres) - reach, max(y for _, y in centres) + reach
    return rectangle(x1 - x0, y1 - y0, (x0, y0))


def _outline_at(removal: Removal, face: Face) -> Profile:
    """The outline of a removal that opens in the face, there."""
    pose = removal.pose
    along = dot(pose.axis(2), face.normal)
    if isinstance(removal, Revolve) and abs(along) > 1 - ANGLE:
        u, v, below = face.coordinates(pose.origin)
        at_face = [r for r, z in removal.half if abs(z - below * along) < LENGTH]
        return circle(2 * max(at_face or (r for r, _ in removal.half)), (u, v))
    if isinstance(removal, Prism) and pose.axis(2)[2] > 1 - ANGLE:  # as every prism sunk into a sheet
        x, y = pose.axis(0), pose.axis(1)
        return Profile(tuple((pose.origin[0] + u * x[0] + v * y[0], pose.origin[1] + u * x[1] + v * y[1], bulge)
                             for u, v, bulge in removal.profile.vertices))
    (u0, u1), (v0, v1) = (span(removal.bounds, axis, face.origin) for axis in (face.u, face.v))
    return rectangle(u1 - u0, v1 - v0, (u0, v0))  # its box: seen from the side it is one


def _outlines(bare: Sequence[Feature]) -> Iterator[tuple[str, Profile]]:
    for feature in bare:
        if not isinstance(feature, CutOut):
            raise InputFault(f"{type(feature).__name__} in a veneer", allowed="cut-outs only")
        yield feature.name, feature.outline


def _without_nested(cuts: list[tuple[str, Profile]]) -> list[tuple[str, Profile]]:
    """Without those that lie within another, each once: what is cut away already needs no second cut."""
    kept: list[tuple[str, Profile]] = []
    for name, outline in sorted(cuts, key=lambda cut: (-cut[1].area, cut[0], cut[1].vertices)):
        if not any(inside(outline, other) for _, other in kept):
            kept.append((name, outline))
    return kept
