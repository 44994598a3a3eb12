"""Whether a plate as it is cut looks the same when it is turned over, or so nearly that nobody sees the difference."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from deskmodel._edges import Point, arc_circle, point_at
from deskmodel._remembered import remembered
from deskmodel.contours import mirrored
from deskmodel.cutting import CutSheet
from deskmodel.profiles import Profile

__all__ = ["UNNOTICED", "Turned", "turned_over"]

UNNOTICED = 2.0
"""mm. Contours that are off by less are taken for the same by eye (common practice)."""

_AXES = 200  # of a round plate, at most: through its holes and midway between them


@dataclass(frozen=True, slots=True)
class Turned:
    """Turned over about the line through ``middle`` in direction ``axis`` (unit vector; X, Y of the sheet) every contour
    comes to lie within ``off`` mm of one of the plate; ``at``: on the contour that is farthest off."""

    middle: Point
    axis: Point
    off: float
    at: Point


@remembered
def turned_over(sheet: CutSheet, within: float = UNNOTICED) -> Turned | None:
    """The turn after which the plate looks most like itself; None where it is ``within`` mm or more off whichever way it is
    turned. It is laid by its outline: turns are about lines through the middle of the outline's area, no other brings it
    back, and what its cuts are off is told of an outline that lies as it did."""
    middle = _middle(sheet.outline)
    cuts = [cut.outline for cut in sheet.cuts]
    best: Turned | None = None
    for axis in _axes(sheet.outline, cuts, middle):
        found = _off(sheet.outline, cuts, middle, axis, within if best is None else best.off)
        if found is not None and (best is None or found.off < best.off - 1e-9):
            best = found
            if best.off <= 1e-6:
                break
    return best


def _axes(outline: Profile, cuts: Sequence[Profile], middle: Point) -> Iterator[Point]:
    """Directions of lines about which the outline may be its own mirror image: through corners and middles of edges; of a
    circle through the middles of cuts and midway between two of them."""
    if outline.as_circle:
        ways = [_angle(middle, _centre(cut)) for cut in cuts if math.dist(middle, _centre(cut)) > 0.1]
        angles = [*ways, *((a + b) / 2 for i, a in enumerate(ways) for b in ways[:i])][:_AXES] or [0.0]
    else:
        points = [p for edge in outline.edges() for p in (edge[0], point_at(edge, 0.5))]
        angles = [_angle(middle, p) for p in points if math.dist(middle, p) > 0.1]
    told: list[float] = []
    for angle in angles:
        folded = angle % math.pi
        if all(min(abs(folded - other), math.pi - abs(folded - other)) > 1e-4 for other in told):
            told.append(folded)
            yield math.cos(folded), math.sin(folded)


def _off(outline: Profile, cuts: Sequence[Profile], middle: Point, axis: Point, within: float) -> Turned | None:
    """How far it is off after that turn; None: ``within`` or more."""
    turn = math.degrees(math.atan2(axis[1], axis[0])) - 90

    def over(shape: Profile) -> Profile:  # turned so that the axis stands upright, mirrored, turned back
        return mirrored(shape.moved(-middle[0], -middle[1]).turned(-turn)).turned(turn).moved(*middle)

    worst, at = _apart(over(outline), outline)
    if worst >= within:
        return None
    cells: dict[tuple[int, int], list[Profile]] = {}
    for cut in cuts:
        cells.setdefault(_cell(_centre(cut), within), []).append(cut)
    for cut in cuts:
        turned = over(cut)
        x, y = _cell(_centre(turned), within)
        there = [other for i in (x - 1, x, x + 1) for j in (y - 1, y, y + 1) for other in cells.get((i, j), ())]
        off, p = min((_apart(turned, other) for other in there), default=(math.inf, middle))
        if off >= within:
            return None
        if off > worst:
            worst, at = off, p
    return Turned(middle, axis, worst, at)


def _apart(a: Profile, b: Profile) -> tuple[float, Point]:
    """(mm, point of a) by which two contours are off, at corners and middles of edges."""
    if a.as_circle and b.as_circle:
        (p, r), (q, s) = a.as_circle, b.as_circle
        return math.dist(p, q) + abs(r - s), p
    worst = (0.0, a.vertices[0][:2])
    for one, other in ((a, b), (b, a)):
        for edge in one.edges():
            for p in (edge[0], point_at(edge, 0.5)):
                worst = max(worst, (other.distance(p), p))
    return worst


def _cell(p: Point, size: float) -> tuple[int, int]:
    return math.floor(p[0] / max(size, 1e-3)), math.floor(p[1] / max(size, 1e-3))


def _centre(shape: Profile) -> Point:
    if shape.as_circle:
        return shape.as_circle[0]
    return _middle(shape)


def _angle(middle: Point, p: Point) -> float:
    return math.atan2(p[1] - middle[1], p[0] - middle[0])


def _middle(shape: Profile) -> Point:
    """Middle of the area: of the polygon of its corners and of the segments between chords and arcs."""
    ox, oy, _ = shape.vertices[0]
    total, mx, my = 0.0, 0.0, 0.0
    for edge in shape.edges():
        (x0, y0), (x1, y1), bulge = edge
        part = ((x0 - ox) * (y1 - oy) - (x1 - ox) * (y0 - oy)) / 2
        total, mx, my = total + part, mx + part * (ox + x0 + x1) / 3, my + part * (oy + y0 + y1) / 3
        if bulge:
            (cx, cy), radius, from_angle, sweep = arc_circle(edge)
            angle = abs(sweep)
            part = math.copysign(radius * radius * (angle - math.sin(angle)) / 2, sweep)
            # centroid of a circular segment from the centre: 4 r sin³(a/2) / (3 (a - sin a))
            out = 4 * radius * math.sin(angle / 2) ** 3 / (3 * (angle - math.sin(angle)))
            way = from_angle + sweep / 2
            total, mx, my = total + part, mx + part * (cx + out * math.cos(way)), my + part * (cy + out * math.sin(way))
    return mx / total, my / total
