"""Closed outlines of lines and arcs in a plane, in closed form: area, box, inside, distance.

An outline is a tuple of vertices (x, y, bulge) in mm, anticlockwise. ``bulge`` shapes the edge to the next vertex:
0 a straight line, otherwise tan(angle / 4) of the arc, positive when it bulges to the right of the direction of
travel (outwards). A circle is two vertices with bulge 1.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Any

from deskmodel._edges import (
    Edge,
    Point,
    arc_circle,
    arc_size,
    edge_box,
    edge_distance,
    point_at,
    splits,
)
from deskmodel._numbers import LARGEST, is_number, told, vector
from deskmodel.errors import InputFault
from deskmodel.tolerances import LENGTH

__all__ = ["Profile", "check_outline", "circle", "corner_radius", "inside", "obround", "polygon", "rectangle"]

Vertex = tuple[float, float, float]

_FLATTEST, _ROUNDEST = 1e-6, 1e6  # bulges beyond these have no radius that floats could hold


@dataclass(frozen=True)
class Profile:
    """A closed outline. Made by ``circle``, ``rectangle``, ``obround`` or ``polygon``, or from vertices.

    InputFault where a vertex is no triple of numbers, or two neighbours coincide; ``check_outline`` asks the rest."""

    vertices: tuple[Vertex, ...]

    def __post_init__(self) -> None:
        object.__setattr__(self, "vertices", _vertices(self.vertices))

    def edges(self) -> Iterator[Edge]:
        """(start, end, bulge) of each edge in turn."""
        corners = [(x, y) for x, y, _ in self.vertices]
        for start, end, (_, _, bulge) in zip(corners, corners[1:] + corners[:1], self.vertices, strict=True):
            yield start, end, bulge

    @cached_property
    def as_circle(self) -> tuple[Point, float] | None:
        """(centre, radius) where the outline is one full circle, else None."""
        if len(self.vertices) == 2 and self.vertices[0][2] == self.vertices[1][2] == 1.0:
            (x0, y0, _), (x1, y1, _) = self.vertices
            return ((x0 + x1) / 2, (y0 + y1) / 2), math.hypot(x1 - x0, y1 - y0) / 2
        return None

    @cached_property
    def area(self) -> float:
        """mm²; negative where the vertices run clockwise."""
        total = 0.0
        ox, oy, _ = self.vertices[0]  # from a corner: far from (0, 0) the products would drown the area
        for edge in self.edges():
            (x0, y0), (x1, y1), bulge = edge
            total += ((x0 - ox) * (y1 - oy) - (x1 - ox) * (y0 - oy)) / 2
            if bulge:
                radius, angle = arc_size(edge)
                total += math.copysign(radius * radius * (angle - math.sin(angle)) / 2, bulge)
        return total

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """(x low, y low, x high, y high) in mm, arcs included."""
        boxes = [edge_box(edge) for edge in self.edges()]
        return (min(box[0] for box in boxes), min(box[1] for box in boxes),
                max(box[2] for box in boxes), max(box[3] for box in boxes))

    def reach(self, x: float, y: float) -> float:
        """The largest p · (x, y) over its points."""
        length = math.hypot(x, y)
        if length < 1e-12:
            return 0.0
        if x == 0 or y == 0:  # no turning: at right angles the answer stays exact to the last digit
            x0, y0, x1, y1 = self.bounds
            return max(x * x0, x * x1) if y == 0 else max(y * y0, y * y1)
        return length * self.turned(-math.degrees(math.atan2(y, x))).bounds[2]

    @cached_property
    def crossing(self) -> Point | None:
        """A place where the outline crosses or touches itself, else None."""
        return _crossing(list(self.edges()))

    def moved(self, dx: float, dy: float) -> Profile:
        return Profile(tuple((x + dx, y + dy, bulge) for x, y, bulge in self.vertices))

    def turned(self, degrees: float) -> Profile:
        """The outline turned about (0, 0), anticlockwise."""
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        return Profile(tuple((c * x - s * y, s * x + c * y, bulge) for x, y, bulge in self.vertices))

    def points(self, step: float = math.radians(5)) -> list[Point]:
        """The outline as points: every vertex, and arcs in steps of at most ``step`` rad (chords, inside)."""
        result: list[Point] = []
        for edge in self.edges():
            n = max(1, math.ceil(arc_size(edge)[1] / step)) if edge[2] else 1
            result += [edge[0], *(point_at(edge, i / n) for i in range(1, n))]
        return result

    def distance(self, p: Point) -> float:
        """mm from a point to the nearest place on the outline, exact for lines and arcs."""
        return min(edge_distance(p, edge) for edge in self.edges())

    def contains(self, p: Point) -> bool:
        """Whether the point is inside (points within 1e-6 mm of the outline may go either way)."""
        x0, y0, x1, y1 = self.bounds
        if not (x0 <= p[0] <= x1 and y0 <= p[1] <= y1):
            return False
        winding = 0.0
        for edge in self.edges():
            start, end, bulge = edge
            ax, ay, bx, by = start[0] - p[0], start[1] - p[1], end[0] - p[0], end[1] - p[1]
            side = ax * by - ay * bx + 0.0  # above 0: the point lies to the left of the chord; on it counts as left
            winding += math.atan2(side, ax * bx + ay * by)
            if bulge and (side < 0) == (bulge > 0):  # on the arc's side of the chord
                centre, radius, _, _ = arc_circle(edge)
                if math.hypot(p[0] - centre[0], p[1] - centre[1]) < radius:
                    winding += math.copysign(2 * math.pi, bulge)
        return abs(winding) > math.pi


def check_outline(what: str, outline: Any) -> None:
    """InputFault unless it is an outline that runs anticlockwise and neither crosses nor touches itself."""
    if not isinstance(outline, Profile):
        raise InputFault(f"{what} {told(outline)}", allowed="rectangle(…), polygon(…), circle(…) or obround(…)")
    if outline.as_circle:
        return
    if outline.crossing:
        x, y = outline.crossing
        raise InputFault(f"{what} crosses or touches itself at ({x:g}, {y:g})", allowed="an outline that does not")
    if outline.area <= 0:
        raise InputFault(f"{what} runs clockwise", allowed="an anticlockwise outline")


def circle(diameter: float, at: Point = (0.0, 0.0)) -> Profile:
    """A circle of ``diameter`` about ``at``, mm."""
    _positive("diameter", diameter)
    (x, y), r = vector("centre of a circle", at, 2), diameter / 2
    return Profile(((x + r, y, 1.0), (x - r, y, 1.0)))


def rectangle(width: float, depth: float, at: Point = (0.0, 0.0), radius: float = 0.0) -> Profile:
    """A rectangle with its lowest corner at ``at``; ``radius`` rounds all four corners."""
    if radius == 0 and type(width) is type(depth) is float and type(at) is tuple and len(at) == 2:
        x, y = at
        if type(x) is type(y) is float:  # faces of blanks, asked for again and again
            return _sharp(width, depth, x + 0.0, y + 0.0)
    return _rectangle(width, depth, at, radius)


@lru_cache(maxsize=4096)
def _sharp(width: float, depth: float, x: float, y: float) -> Profile:
    return _rectangle(width, depth, (x, y), 0.0)


def _rectangle(width: float, depth: float, at: Point, radius: float) -> Profile:
    _positive("width", width)
    _positive("depth", depth)
    x0, y0 = vector("corner of a rectangle", at, 2)
    x1, y1 = x0 + width, y0 + depth
    if not is_number(radius) or not 0 <= radius < min(width, depth) / 2:
        raise InputFault(f"a corner radius of {told(radius)} mm on a rectangle {width:g} × {depth:g}",
                         allowed=f"0 to below {min(width, depth) / 2:g}")
    if radius == 0:
        return Profile(((x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0)))
    b, r = math.tan(math.pi / 8), radius
    return Profile(((x0 + r, y0, 0.0), (x1 - r, y0, b), (x1, y0 + r, 0.0), (x1, y1 - r, b),
                    (x1 - r, y1, 0.0), (x0 + r, y1, b), (x0, y1 - r, 0.0), (x0, y0 + r, b)))


def obround(length: float, width: float, at: Point = (0.0, 0.0), degrees: float = 0.0) -> Profile:
    """A slot with round ends about ``at``: ``length`` over all, along x before turning."""
    _positive("length", length)
    _positive("width", width)
    if length <= width + LENGTH:
        raise InputFault(f"a slot {length:g} long and {width:g} wide", allowed="a length over the width")
    if not is_number(degrees):
        raise InputFault(f"a slot turned by {told(degrees)}", allowed="degrees")
    x, y = vector("middle of a slot", at, 2)
    a, r = (length - width) / 2, width / 2
    shape = Profile(((-a, -r, 0.0), (a, -r, 1.0), (a, r, 0.0), (-a, r, 1.0)))
    return (shape.turned(degrees) if degrees else shape).moved(x, y)


def polygon(points: Iterable[Point]) -> Profile:
    """A polygon of straight edges, given in either sense of rotation; must not cross or touch itself."""
    try:
        corners = [vector("corner of a polygon", p, 2) for p in points]
    except TypeError:
        raise InputFault(f"a polygon of {told(points)}", allowed="its corners, [(x, y), …]") from None
    if len(corners) < 3:
        raise InputFault(f"a polygon of {len(corners)} points", allowed="3 or more")
    shape = Profile(tuple((x, y, 0.0) for x, y in corners))
    if abs(shape.area) <= LENGTH:
        if not _in_line(corners):  # what lies to the left of it and what to the right cancel out
            check_outline("a polygon", shape)
        raise InputFault("a polygon without area", allowed="corners that are not all in one line")
    if shape.area < 0:
        shape = Profile(tuple((x, y, 0.0) for x, y in reversed(corners)))
    check_outline("a polygon", shape)
    return shape


def corner_radius(outline: Profile) -> float | None:
    """mm, of a rectangle with all corners rounded alike; 0 where they are sharp; None of any other outline."""
    x0, y0, x1, y1 = outline.bounds
    radii = {round(arc_size(edge)[0], 6) for edge in outline.edges() if edge[2]}
    radius = max(radii, default=0.0)
    if len(radii) > 1 or radius >= min(x1 - x0, y1 - y0) / 2:
        return None
    alike = abs(outline.area - rectangle(x1 - x0, y1 - y0, radius=radius).area) <= LENGTH * (x1 - x0 + y1 - y0)
    return radius if alike and len(outline.vertices) == (8 if radius else 4) else None


def _in_line(corners: Sequence[Sequence[float]]) -> bool:
    (x, y), (u, v) = corners[0], max(corners, key=lambda p: math.dist(p, corners[0]))
    long = math.dist((x, y), (u, v))
    return long <= LENGTH or all(abs((u - x) * (q - y) - (v - y) * (p - x)) <= LENGTH * long for p, q in corners)


def inside(inner: Profile, outer: Profile) -> bool:
    """Whether ``inner`` lies within ``outer`` (their borders may touch), exact to 1e-6 mm."""
    round_hole = inner.as_circle
    if round_hole:
        centre, radius = round_hole
        return outer.contains(centre) and outer.distance(centre) >= radius - LENGTH
    others = list(outer.edges())
    for edge in inner.edges():
        # between two splits no border is crossed: one point speaks for the whole stretch
        cuts = sorted({0.0, 1.0, *(t for other in others for t in splits(edge, other))})
        for low, high in pairwise(cuts):
            p = point_at(edge, (low + high) / 2)
            if outer.distance(p) > LENGTH and not outer.contains(p):
                return False
    return True


def _crossing(edges: list[Edge]) -> Point | None:
    boxes = [edge_box(edge) for edge in edges]
    order = sorted(range(len(edges)), key=lambda i: boxes[i][0])
    active: list[int] = []
    for i in order:
        active = [j for j in active if boxes[j][2] >= boxes[i][0] - LENGTH]
        for j in active:
            if boxes[j][1] <= boxes[i][3] + LENGTH and boxes[i][1] <= boxes[j][3] + LENGTH:
                a, b = edges[i], edges[j]
                shared = [p for p, q in ((a[1], b[0]), (b[1], a[0])) if p is q]  # neighbours, not a corner met again
                for t in (0.0, 1.0, *splits(a, b)):
                    p = point_at(a, t)
                    if edge_distance(p, b) <= LENGTH and all(math.dist(p, corner) > 10 * LENGTH for corner in shared):
                        return p
        active.append(i)
    return None


def _vertices(given: Any) -> tuple[Vertex, ...]:
    try:
        rows = [tuple(row) for row in given]
    except TypeError:
        rows = []
    if len(rows) < 2:
        raise InputFault(f"an outline of {told(given)}", allowed="two or more vertices (x, y, bulge)")
    for row in rows:
        if len(row) != 3 or not all(is_number(v) for v in row) or max(abs(row[0]), abs(row[1])) > LARGEST:
            raise InputFault(f"vertex {told(row)}", allowed=f"(x, y, bulge), x and y in mm within ±{LARGEST:g}")
        if row[2] and not _FLATTEST <= abs(row[2]) <= _ROUNDEST:
            raise InputFault(f"bulge {row[2]:g}", allowed=f"0, or {_FLATTEST:g} to {_ROUNDEST:g} either way")
    vertices = tuple((float(x), float(y), float(bulge)) for x, y, bulge in rows)
    for (x0, y0, _), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1], strict=True):
        if abs(x1 - x0) <= LENGTH and abs(y1 - y0) <= LENGTH:
            raise InputFault(f"two corners of an outline at ({x0:g}, {y0:g})", allowed="corners apart from each other")
    return vertices


def _positive(name: str, value: float) -> None:
    if not is_number(value) or not LENGTH < value <= LARGEST:
        raise InputFault(f"{name} {told(value)}", allowed=f"a length above 0 mm, up to {LARGEST:g}")
