"""A hole cut through its axis, larger than in the views: depth to the shoulder and to the point, mouth and angle."""

from __future__ import annotations

import math

from deskmodel.drawing._section_cuts import hatching
from deskmodel.drawing.dimensions import figure, polyline, ruler, width_dimension
from deskmodel.drawing.hole_marks import HoleKind
from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.records import Path, Record, Text
from deskmodel.drawing.shelf import Detail
from deskmodel.features import Prism, Revolve
from deskmodel.part import Member, Plate

__all__ = ["hole_section"]

_SCALES = ((20, 1), (10, 1), (5, 1), (2, 1), (1, 1), (1, 2), (1, 5), (1, 10))
_WIDE, _HIGH, _HIGHEST = 30.0, 30.0, 70.0
_TEXT, _TITLE = 2.2, 2.5
_WOOD, _WHITE = (240, 224, 194), (255, 255, 255)
_METAL = (222, 226, 230)


def hole_section(kind: HoleKind, part: Member | Plate, *, metal: bool) -> Detail:
    """Seen with its mouth up."""
    hole = kind.hole
    removal, = hole.removals(part.blank)
    if isinstance(removal, Revolve):
        half = removal.half
    else:
        assert isinstance(removal, Prism)
        depth = kind.behind if hole.depth is None else hole.depth
        half = ((0.0, 0.0), (hole.diameter / 2, 0.0), (hole.diameter / 2, depth), (0.0, depth))
    widest, deepest = max(r for r, _ in half), max(z for _, z in half)
    through = deepest >= kind.behind - 1e-6
    shown = kind.behind if kind.behind <= deepest + 6 else deepest + 5
    reach = widest + max(2.0, 0.4 * widest)
    big, small = next(((a, b) for a, b in _SCALES if 2 * reach * a / b <= _WIDE
                       and shown * a / b <= (_HIGH if a > b else _HIGHEST)), _SCALES[-1])
    k = big / small
    # figures need room on both sides
    left, foot = 14.0, 7.0
    wide, high = 2 * reach * k, shown * k
    middle, top = left + wide / 2, foot + high

    def at(r: float, z: float) -> tuple[float, float]:
        return middle + r * k, top - z * k

    hull = [at(r, z) for r, z in half]
    mirror = [at(-r, z) for r, z in reversed(half)]
    outline = _once([*hull, *mirror])
    records: list[Record] = []
    block = ((left, foot, 0.0), (left + wide, foot, 0.0), (left + wide, top, 0.0), (left, top, 0.0))
    records.append(Path("fill", (block,), _METAL if metal else _WOOD))
    records += hatching((left, foot, left + wide, top))
    records.append(Path("fill", (outline,), _WHITE))
    mouth = max(r for r, z in half if z < 1e-6)
    wall = [(r, z) for r, z in half if r > 1e-9 or (z > 1e-9 and not through)]
    records.append(Path("cut", (tuple((*at(r, z), 0.0) for r, z in wall),), closed=False))
    records.append(Path("cut", (tuple((*at(-r, z), 0.0) for r, z in wall),), closed=False))
    for a, b in ((left, middle - mouth * k), (middle + mouth * k, left + wide)):
        records.append(polyline("cut", (a, top), (b, top)))
    if kind.behind <= shown + 1e-6:
        bottom = max((r for r, z in half if abs(z - kind.behind) < 1e-6), default=0.0)
        for a, b in ((left, middle - bottom * k), (middle + bottom * k, left + wide)):
            records.append(polyline("cut", (a, foot), (b, foot)))
        if through:
            records.append(polyline("visible", at(-bottom, kind.behind), at(bottom, kind.behind)))
    records.append(polyline("visible", at(-mouth, 0), at(mouth, 0)))
    records.append(polyline("centre", (middle, foot - 2), (middle, top + 2)))
    levels = sorted({round(z, 3) for r, z in half} | ({kind.behind} if kind.behind <= shown + 1e-6 else set()), reverse=True)
    right = left + wide
    records += ruler([(top - z * k, figure(z)) for z in levels], right, 5.0, upright=False, height=_TEXT)
    tall = top + 3.5
    above: list[tuple[float, str]] = [(2 * mouth, f"Ø {figure(2 * mouth)}")]
    if abs(mouth - hole.diameter / 2) > 1e-6:
        above.insert(0, (hole.diameter, f"Ø {figure(hole.diameter)}"))
    for i, (size, text) in enumerate(above):
        records += width_dimension(middle - size * k / 2, middle + size * k / 2, tall + 5.5 * i, text, _TEXT, top)
    tall += 5.5 * len(above)
    angles: list[str] = []
    if hole.countersink:
        angles.append(f"countersink {hole.countersink[1]:g}°, on the {hole.face}")
    if hole.point is not None:
        angles.append(f"point {hole.point:g}°")
    for text in angles:
        tall += 0.5
        records.append(Text(text, (left, tall), _TEXT))
        tall += 3.5
    scale = f"{big} : {small}"
    records.append(Text(f"{kind.letter}, section, {scale}", (left, 1.0), _TITLE, bold=True))
    wide = max(right + 7.0 + max(width_of(figure(z), _TEXT) for z in levels),
               *(left + width_of(text, _TEXT) for text in angles), middle + widest * k + 6 + width_of(above[-1][1], _TEXT))
    return Detail((wide, max(tall + 1.5, top + 10)), tuple(records))


def _once(points: list[tuple[float, float]]) -> tuple[tuple[float, float, float], ...]:
    found: list[tuple[float, float]] = []
    for p in points:
        if not found or math.dist(found[-1], p) > 1e-6:
            found.append(p)
    if len(found) > 1 and math.dist(found[0], found[-1]) <= 1e-6:
        found.pop()
    return tuple((x, y, 0.0) for x, y in found)


