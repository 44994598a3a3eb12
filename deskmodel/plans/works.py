"""What is cut into a piece besides drilled holes, measured from its datums: every figure that the bench needs."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from deskmodel.features import Bevel, CutOut, Face, Feature, Groove, Hole, Notch, Pocket, Slot, VentField
from deskmodel.part import Member, Plate
from deskmodel.plans._datums import ENDS, Span, datums_of, outline_from_datums, span_from_datums
from deskmodel.profiles import Profile, circle, obround

__all__ = ["KINDS", "Work", "end_cuts", "works_of"]

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Work:
    """One cut. mm and degrees.

    On ``face`` it spans ``x`` from the datum ``x_from`` and ``y`` from ``y_from``, and goes ``depth`` deep, square to the face;
    ``through``: right through. ``outlines``: where it is no rectangle, in the same x and y. A bevel is a wedge: nothing deep
    along the far side of its span, ``depth`` deep at the face ``second``; ``angle`` is that between face and slope.
    ``about``: the middle and the turn of a slot, the pitch of a vent field, in words."""

    stage: str
    kind: str
    name: str
    face: str
    x: Span
    x_from: str
    y: Span
    y_from: str
    depth: float
    through: bool
    outlines: tuple[Profile, ...] = ()
    second: str = ""
    angle: float | None = None
    about: str = ""


def works_of(part: Member | Plate) -> tuple[Work, ...]:
    """The cuts of a part in the order of its features, by stage; holes are in the drilling schedule."""
    return tuple(_WORKS[type(feature)](part, feature) for feature in part.features if not isinstance(feature, Hole))


def end_cuts(part: Member) -> tuple[float, float]:
    """Degrees by which the saw cut at the datum end and at the far end leans from square, where the bevel takes the whole end;
    0 where the end is square. The length of the member is that between its long points."""
    angles = {"datum end": 0.0, "far end": 0.0}
    for feature in part.features:
        if isinstance(feature, Bevel):
            end = next((name for name in feature.between if name in ENDS), None)
            if end is not None:
                first = feature.between[0] == end
                on_end = feature.width if first else feature.width * math.tan(math.radians(feature.angle))
                whole = part.blank.face(feature.between[1] if first else feature.between[0]).behind
                if on_end >= whole - 1e-6:
                    angles[end] = feature.angle if first else 90.0 - feature.angle
    return angles["datum end"], angles["far end"]


def _work(part: Member | Plate, feature: Feature, kind: str, face: Face, box: Box, depth: float | None,
          outlines: tuple[Profile, ...] = (), second: str = "", angle: float | None = None, about: str = "") -> Work:
    x, y = span_from_datums(part, face, box)
    x_from, y_from = datums_of(part, face.name)
    return Work(feature.stage, kind, feature.name, face.name, x, x_from, y, y_from,
                face.behind if depth is None else depth, depth is None,
                tuple(outline_from_datums(part, face, each) for each in outlines), second, angle, about)


def _bevel(part: Member | Plate, feature: Bevel) -> Work:
    """Its span on the first face; on the second it reaches ``depth`` from the same edge."""
    first, second = part.blank.face(feature.between[0]), part.blank.face(feature.between[1])
    u0, v0, u1, v1 = first.outline.bounds
    middle = first.coordinates(second.point(*_middle(second)))
    if abs(middle[0] - u0) < 1e-6:
        u1 = u0 + feature.width
    elif abs(middle[0] - u1) < 1e-6:
        u0 = u1 - feature.width
    elif abs(middle[1] - v0) < 1e-6:
        v1 = v0 + feature.width
    else:
        v0 = v1 - feature.width
    drop = feature.width * math.tan(math.radians(feature.angle))
    return _work(part, feature, "bevel", first, (u0, v0, u1, v1), drop, second=second.name, angle=feature.angle)


def _middle(face: Face) -> tuple[float, float]:
    u0, v0, u1, v1 = face.outline.bounds
    return (u0 + u1) / 2, (v0 + v1) / 2


def _notch(part: Member | Plate, feature: Notch) -> Work:
    face = part.blank.face(feature.face)
    _, v0, _, v1 = face.outline.bounds
    return _work(part, feature, "notch", face, (feature.start, v0, feature.start + feature.length, v1), feature.depth)


def _groove(part: Member | Plate, feature: Groove) -> Work:
    face = part.blank.face(feature.face)
    u0, _, u1, _ = face.outline.bounds
    start = u0 if feature.start is None else feature.start
    stop = u1 if feature.stop is None else feature.stop
    half = feature.width / 2
    return _work(part, feature, "groove", face, (start, feature.at - half, stop, feature.at + half), feature.depth)


def _pocket(part: Member | Plate, feature: Pocket) -> Work:
    return _work(part, feature, "pocket", part.blank.face(feature.face), feature.outline.bounds, feature.depth,
                 (feature.outline,))


def _cut_out(part: Member | Plate, feature: CutOut) -> Work:
    return _work(part, feature, "cut-out", part.blank.face(feature.face), feature.outline.bounds, None, (feature.outline,))


def _slot(part: Member | Plate, feature: Slot) -> Work:
    outline = obround(feature.length, feature.width, feature.at, feature.angle)
    about = f"{feature.length:g} long over all, {feature.width:g} wide"
    return _work(part, feature, "slot", part.blank.face(feature.face), outline.bounds, feature.depth, (outline,), about=about)


def _vents(part: Member | Plate, feature: VentField) -> Work:
    holes = tuple(circle(feature.diameter, centre) for centre in feature.centres())
    boxes = [hole.bounds for hole in holes]
    box = (min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes))
    about = (f"{feature.columns} × {feature.rows} holes of {feature.diameter:g}, pitch {feature.pitch:g}"
             f"{', every other row shifted by half of it' if feature.staggered else ''}")
    return _work(part, feature, "vent field", part.blank.face(feature.face), box, None, holes, about=about)


_WORKS: dict[type, Callable[[Any, Any], Work]] = {Bevel: _bevel, CutOut: _cut_out, Groove: _groove, Notch: _notch,
                                                  Pocket: _pocket, Slot: _slot, VentField: _vents}
KINDS = (*_WORKS, Hole)
"""Every kind of feature: those that are told here, and holes, which the drilling schedule tells."""
