"""What the page measures between: planes and axes of a part in closed form, in the part's frame, mm.

    plane   [x, y, z, nx, ny, nz]: a point of it, its unit normal out of the material
    axis    [x, y, z, x, y, z, r …]: its two ends, the mouth first where there is one, and the radii of what is round it
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from deskmodel._edges import arc_circle
from deskmodel._remembered import remembered
from deskmodel.features import (
    Bevel,
    CutOut,
    Face,
    Feature,
    Groove,
    Hole,
    Notch,
    Pocket,
    Prism,
    Removal,
    Revolve,
    Slot,
    VentField,
)
from deskmodel.frames import IDENTITY, Pose, Vec, cross, scale
from deskmodel.part import Blank, Bodies, Part, SheetBlank, TurnedBlank, cuts_of
from deskmodel.tolerances import LENGTH

__all__ = ["exact_record", "rounded"]

Line = list[float]


def rounded(values: Sequence[float], digits: int = 6) -> list[float]:
    """Lengths to a millionth of a mm, which is far below anything that is made; no minus zero."""
    return [round(float(value), digits) + 0.0 for value in values]


@dataclass(frozen=True, slots=True)
class _Bare:
    """What of a part shapes it."""

    blank: Blank
    features: tuple[Feature, ...]
    name: str = ""
    material: str = ""


@remembered
def exact_record(part: Part) -> dict[str, Any]:
    """"size" of the blank along x, y, z, its "faces": [name, plane] and "axes"; of each feature in the order of the stages
    what it is, "axes" and "planes". Equal parts get one and the same record: it is not to be changed."""
    return _record(_Bare(part.blank, part.features))


@lru_cache(maxsize=512)
def _record(part: _Bare) -> dict[str, Any]:
    low, high = part.blank.bounds
    return {"size": rounded([b - a for a, b in zip(low, high, strict=True)]),
            "faces": [[name, plane] for name, plane in _faces(part)], "axes": list(_own_axes(part)),
            "features": [_feature(part.blank, feature, removals) for feature, removals in cuts_of(part)]}


def _faces(part: Part) -> Iterator[tuple[str, Line]]:
    blank = part.blank
    names = [*blank.face_names, *(blank.body_face_names if isinstance(blank, Bodies) else ())]
    for name in names:
        yield name, _of_face(blank.face(name))
    if isinstance(blank, SheetBlank):
        for number, (x, y, z, *normal) in enumerate(_prism_planes(_whole(blank))[2:], 1):
            yield f"edge {number}", [x, y, z, *rounded([-each for each in normal], 9)]
    if isinstance(blank, TurnedBlank):
        sides = _sides(blank.half)
        sense = sum(r * w - s * z for (r, z), (s, w) in sides)  # above 0: the material lies to the left of each side
        flats = sorted({(z, -1.0 if (s > r) == (sense > 0) else 1.0) for (r, z), (s, w) in sides
                        if abs(z - w) < LENGTH and abs(s - r) > LENGTH})
        for number, (z, way) in enumerate(flats, 1):
            yield f"flat {number}", [*rounded((0.0, 0.0, z)), 0.0, 0.0, way]


def _own_axes(part: Part) -> Iterator[Line]:
    blank = part.blank
    if isinstance(blank, TurnedBlank):
        yield _revolve_axis(blank.solid)
    if isinstance(blank, Bodies):
        for body in blank.bodies:
            yield from _prism_axes(body)
    if isinstance(blank, SheetBlank):  # of rounded corners
        yield from _prism_axes(_whole(blank))


def _whole(sheet: SheetBlank) -> Prism:
    return Prism(sheet.outline, IDENTITY, sheet.thickness)


def _feature(blank: Blank, feature: Feature, removals: Sequence[Removal]) -> dict[str, Any]:
    axes: list[Line] = []
    planes: list[Line] = []
    for removal in removals:
        if isinstance(removal, Revolve):
            axes.append(_revolve_axis(removal))
        else:
            axes += _prism_axes(removal)
            if not isinstance(feature, VentField):  # its ends lie in the plate's own faces
                planes += _prism_planes(removal)
    on = getattr(feature, "face", None)
    if on is not None:
        axes = [_mouth_first(blank.face(on), axis) for axis in axes]
    return {"name": feature.name, "what": _what(feature), "stage": feature.stage, "purpose": feature.purpose, "on": on,
            "text": _text(feature), "axes": axes, "planes": planes}


def _mouth_first(face: Face, axis: Line) -> Line:
    x0, y0, z0, x1, y1, z1, *radii = axis
    if face.coordinates((x0, y0, z0))[2] <= face.coordinates((x1, y1, z1))[2]:
        return axis
    return [x1, y1, z1, x0, y0, z0, *radii]


def _of_face(face: Face) -> Line:
    u0, v0, u1, v1 = face.outline.bounds
    return [*rounded(face.point((u0 + u1) / 2, (v0 + v1) / 2)), *rounded(face.normal, 9)]


def _revolve_axis(removal: Revolve) -> Line:
    zs = [z for _, z in removal.half]
    radii = sorted({round(r, 6) for r, _ in removal.half if r > LENGTH})
    return [*_ends(removal.pose, 0.0, 0.0, min(zs), max(zs)), *radii]


def _prism_axes(prism: Prism) -> list[Line]:
    """Of a round one its own; of another one those of its arcs, each once."""
    whole = prism.profile.as_circle
    if whole is not None:
        (x, y), radius = whole
        return [[*_ends(prism.pose, x, y, 0.0, prism.depth), round(radius, 6)]]
    found: dict[tuple[float, ...], Line] = {}
    for edge in prism.profile.edges():
        if edge[2]:
            (x, y), radius, _, _ = arc_circle(edge)
            key = (round(x, 6), round(y, 6), round(radius, 6))
            found.setdefault(key, [*_ends(prism.pose, x, y, 0.0, prism.depth), round(radius, 6)])
    return list(found.values())


def _ends(pose: Pose, x: float, y: float, z0: float, z1: float) -> Line:
    return [*rounded(pose.apply((x, y, z0))), *rounded(pose.apply((x, y, z1)))]


def _prism_planes(prism: Prism) -> list[Line]:
    """Both ends and the straight sides of what is cut away, normals into it: out of what is left."""
    pose = prism.pose
    x0, y0, x1, y1 = prism.profile.bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    z = pose.axis(2)
    planes = [_plane(pose.apply((*middle, 0.0)), z), _plane(pose.apply((*middle, prism.depth)), scale(z, -1.0))]
    for (ax, ay), (bx, by), bulge in prism.profile.edges():
        if bulge == 0:
            length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
            along = pose.turn(((bx - ax) / length, (by - ay) / length, 0.0))
            planes.append(_plane(pose.apply(((ax + bx) / 2, (ay + by) / 2, prism.depth / 2)), cross(z, along)))
    return planes


def _plane(point: Vec, normal: Vec) -> Line:
    return [*rounded(point), *rounded(normal, 9)]


def _sides(half: Sequence[tuple[float, float]]) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(zip(half, [*half[1:], half[0]], strict=True))


def _what(feature: Feature) -> str:
    return {Hole: "hole", Slot: "slot", CutOut: "cut-out", Pocket: "pocket", Groove: "groove", Notch: "notch",
            Bevel: "bevel", VentField: "vent field"}[type(feature)]


def _text(feature: Feature) -> str:
    """Its figures, as a schedule would say them."""
    match feature:
        case Hole():
            deep = "through" if feature.depth is None else f"{feature.depth:g} deep"
            more = f", countersunk Ø {feature.countersink[0]:g}, {feature.countersink[1]:g}°" if feature.countersink else ""
            more += f", counterbored Ø {feature.counterbore[0]:g}, {feature.counterbore[1]:g} deep" \
                if feature.counterbore else ""
            more += f", point {feature.point:g}°" if feature.point else ""
            return f"Ø {feature.diameter:g}, {deep}{more}"
        case Slot():
            deep = "through" if feature.depth is None else f"{feature.depth:g} deep"
            return f"{feature.length:g} × {feature.width:g}, {deep}"
        case Pocket():
            return f"{_size(feature.outline.bounds)}, {feature.depth:g} deep"
        case CutOut():
            whole = feature.outline.as_circle
            return f"Ø {2 * whole[1]:g}, through" if whole else f"{_size(feature.outline.bounds)}, through"
        case Groove():
            return f"{feature.width:g} wide, {feature.depth:g} deep"
        case Notch():
            return f"{feature.length:g} long, {feature.depth:g} deep"
        case Bevel():
            return f"{feature.width:g} at {feature.angle:g}°, {feature.between[0]} to {feature.between[1]}"
        case VentField():
            return f"{len(feature.centres())} holes Ø {feature.diameter:g}, {feature.pitch:g} apart"
    return ""


def _size(bounds: tuple[float, float, float, float]) -> str:
    return f"{round(bounds[2] - bounds[0], 3):g} × {round(bounds[3] - bounds[1], 3):g}"
