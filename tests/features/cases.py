"""Random features of every kind with the volume that they must take away, by school geometry."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from deskmodel.features import Bevel, CutOut, Feature, Groove, Hole, Notch, Pocket, Slot, VentField
from deskmodel.part import Member, Part, Plate
from deskmodel.profiles import Profile, circle, obround, polygon, rectangle

__all__ = ["CASES", "MEMBER", "PLATE", "Case", "faces_for", "lens"]

MEMBER = Member("rail", (22, 60), 400, "ash")
PLATE = Plate("sheet", polygon([(10, -20), (260, -20), (300, 60), (300, 180), (10, 180)]), 6, "aluminium")
ENDS = {"datum end", "far end"}


@dataclass(frozen=True)
class Case:
    feature: Feature
    removed: float  # mm³


def faces_for(kind: type, part: Part) -> tuple[str, ...]:
    """On which faces of the part a feature of this kind is tried."""
    names: tuple[str, ...] = part.blank.face_names
    if kind is Bevel:
        return names if part is MEMBER else ()
    if kind is Notch and part is PLATE:
        return ()  # spans its face from side to side: only rectangles have such faces
    return names


def _hole(rng: Random, part: Part, face: str) -> Case:
    (u0, v0, u1, v1), deep = _room(part, face)
    widest = min(u1 - u0, v1 - v0) * 0.8
    head = rng.uniform(0.3, 1) * widest
    d = head * rng.uniform(0.4, 0.8)
    at = _spot(rng, part, face, head / 2)
    kind = rng.choice(["through", "blind", "pointed", "counterbore", "countersink"])
    bottom = rng.uniform(0.4, 0.7) * min(deep, 60)
    cylinder = math.pi * d * d / 4
    if kind == "through":
        return Case(Hole(face, at, d), cylinder * deep)
    if kind == "blind":
        return Case(Hole(face, at, d, bottom), cylinder * bottom)
    if kind == "pointed":
        angle = rng.choice([118.0, 135.0, 90.0])
        tip = d / 2 / math.tan(math.radians(angle / 2))
        bottom = min(bottom, deep - tip - 0.5)
        if bottom <= 0.5:
            return Case(Hole(face, at, d), cylinder * deep)
        return Case(Hole(face, at, d, bottom, angle), cylinder * (bottom + tip / 3))  # cone: a third of its cylinder
    if kind == "counterbore":
        c = bottom * rng.uniform(0.2, 0.8)
        return Case(Hole(face, at, d, bottom, counterbore=(head, c)), math.pi / 4 * (head**2 * c + d * d * (bottom - c)))
    c = (head - d) / 2  # 90°: as deep as wide
    if c < deep - 0.1:
        frustum = math.pi * c / 12 * (head**2 + head * d + d * d)
        return Case(Hole(face, at, d, countersink=(head, 90)), frustum + cylinder * (deep - c))
    lower = head - 2 * deep
    return Case(Hole(face, at, d, countersink=(head, 90)), math.pi * deep / 12 * (head**2 + head * lower + lower**2))


def _slot(rng: Random, part: Part, face: str) -> Case:
    (u0, v0, u1, v1), deep = _room(part, face)
    length = min(u1 - u0, v1 - v0) * rng.uniform(0.5, 0.8)
    width = length * rng.uniform(0.2, 0.8)
    depth = rng.choice([None, deep * rng.uniform(0.2, 0.9)])
    area = (length - width) * width + math.pi * width**2 / 4
    return Case(Slot(face, _spot(rng, part, face, length / 2), length, width, depth, rng.uniform(-180, 180)),
                area * (depth or deep))


def _outline(rng: Random, part: Part, face: str) -> tuple[Profile, float]:
    (u0, v0, u1, v1), _ = _room(part, face)
    a, b = (min(60, side) * rng.uniform(0.3, 0.6) for side in (u1 - u0, v1 - v0))
    u, v = _spot(rng, part, face, math.hypot(a, b) / 2)
    r = min(a, b) * 0.3
    return rng.choice([
        (rectangle(a, b, (u - a / 2, v - b / 2)), a * b),
        (rectangle(a, b, (u - a / 2, v - b / 2), radius=r), a * b - (4 - math.pi) * r * r),
        (circle(min(a, b), (u, v)), math.pi * min(a, b) ** 2 / 4),
        (polygon([(u - a / 2, v - b / 2), (u + a / 2, v - b / 2), (u + a / 4, v + b / 2)]), a * b / 2),
        (obround(max(a, b), min(a, b) * 0.6, (u, v), 90 * (b > a)),
         (max(a, b) - min(a, b) * 0.6) * min(a, b) * 0.6 + math.pi * (min(a, b) * 0.6) ** 2 / 4),
        lens(a, b, u, v)])


def lens(a: float, b: float, u: float, v: float) -> tuple[Profile, float]:
    """A right-angled corner of sides a and b closed by a quarter arc of the chord between: no symmetry at all."""
    bulge = math.tan(math.pi / 8)
    chord = math.hypot(a, b)
    radius = chord / math.sqrt(2)
    shape = Profile(((u - a / 2, v - b / 2, 0.0), (u + a / 2, v - b / 2, bulge), (u - a / 2, v + b / 2, 0.0)))
    return shape, a * b / 2 + radius**2 * (math.pi / 4 - 0.5)  # triangle and segment of a quarter circle


def _cut_out(rng: Random, part: Part, face: str) -> Case:
    outline, area = _outline(rng, part, face)
    return Case(CutOut(outline, face), area * _room(part, face)[1])


def _pocket(rng: Random, part: Part, face: str) -> Case:
    outline, area = _outline(rng, part, face)
    depth = _room(part, face)[1] * rng.uniform(0.1, 0.9)
    return Case(Pocket(face, outline, depth), area * depth)


def _groove(rng: Random, part: Part, face: str) -> Case:
    (u0, v0, u1, v1), deep = _room(part, face)
    width, depth = (v1 - v0) * rng.uniform(0.1, 0.3), deep * rng.uniform(0.1, 0.6)
    at = (v0 + v1) / 2 + (v1 - v0) * rng.uniform(-0.2, 0.2)
    start, stop = u0 + (u1 - u0) * rng.uniform(0.05, 0.3), u0 + (u1 - u0) * rng.uniform(0.5, 0.9)
    if part is MEMBER and rng.random() < 0.5:
        return Case(Groove(face, at, width, depth), width * depth * (u1 - u0))
    return Case(Groove(face, at, width, depth, start, stop), width * depth * (stop - start))


def _notch(rng: Random, part: Part, face: str) -> Case:
    (u0, v0, u1, v1), deep = _room(part, face)
    length, depth = (u1 - u0) * rng.uniform(0.1, 0.4), deep * rng.uniform(0.1, 0.8)
    start = u0 + (u1 - u0) * rng.choice([0.0, 0.3, 0.55])
    return Case(Notch(face, start, length, depth), length * depth * (v1 - v0))


def _vent_field(rng: Random, part: Part, face: str) -> Case:
    (u0, v0, u1, v1), deep = _room(part, face)
    columns, rows = rng.randint(1, 4), rng.randint(1, 3)
    pitch = min((u1 - u0) / (columns + 1.5), (v1 - v0) / (rows + 1)) * 0.5
    d = pitch * rng.uniform(0.3, 0.9)
    u, v = _spot(rng, part, face, pitch * 2.5)
    at = (u - pitch * (columns - 1) / 2, v - pitch * (rows - 1) / 2)
    count = columns * rows
    without = ((columns - 1, 0),) if count > 1 and rng.random() < 0.5 else ()
    field = VentField(at, columns, rows, pitch, d, rng.random() < 0.5, face, left_out=without)
    return Case(field, (count - len(without)) * math.pi * d * d / 4 * deep)


def _bevel(rng: Random, part: Part, face: str) -> Case:
    across = [(ENDS, {"face side", "back side"}, {"under edge", "face edge"})[i] for i in range(3)]
    other = rng.choice(sorted(set().union(*(pair for pair in across if face not in pair))))
    length = {frozenset({0, 1}): 60.0, frozenset({0, 2}): 22.0, frozenset({1, 2}): 400.0}[
        frozenset(next(i for i, pair in enumerate(across) if name in pair) for name in (face, other))]
    width, angle = rng.uniform(1, 12), rng.uniform(20, 55)
    return Case(Bevel((face, other), width, angle), width**2 * math.tan(math.radians(angle)) / 2 * length)


CASES: dict[type, Callable[[Random, Part, str], Case]] = {
    Bevel: _bevel, CutOut: _cut_out, Groove: _groove, Hole: _hole, Notch: _notch, Pocket: _pocket, Slot: _slot,
    VentField: _vent_field}


def _room(part: Part, face: str) -> tuple[tuple[float, float, float, float], float]:
    """(u0, v0, u1, v1) within which the face is a rectangle, and the thickness behind it; from the part's own numbers."""
    if part is PLATE:
        return (10, -20, 240, 180), 6
    x, y, z = 400.0, 22.0, 60.0
    return {"datum end": ((0, 0, y, z), x), "far end": ((0, 0, y, z), x), "face side": ((0, 0, x, z), y),
            "back side": ((0, 0, x, z), y), "under edge": ((0, 0, x, y), z), "face edge": ((0, 0, x, y), z)}[face]


def _spot(rng: Random, part: Part, face: str, clear: float) -> tuple[float, float]:
    """A place at least ``clear`` from the sides."""
    (u0, v0, u1, v1), _ = _room(part, face)
    spare = [max(0.0, (high - low) / 2 - clear) * 0.9 for low, high in ((u0, u1), (v0, v1))]
    return (u0 + u1) / 2 + spare[0] * rng.uniform(-1, 1), (v0 + v1) / 2 + spare[1] * rng.uniform(-1, 1)
