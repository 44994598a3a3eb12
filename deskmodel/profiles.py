"""Closed outlines of lines and arcs in a plane, in closed form: area, box, inside, distance.

An outline is a tuple of vertices (x, y, bulge) in mm, anticlockwise. ``bulge`` shapes the edge to the next vertex:
0 a straight line, otherwise tan(angle / 4) of the arc, positive when it bulges to the right of the direction of
travel (outwards). A circle is two vertices with bulge 1.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from deskmodel.errors import InputFault
from deskmodel.tolerances import LENGTH

__all__ = ["Profile", "circle", "inside", "obround", "polygon", "rectangle"]

Point = tuple[float, float]
Vertex = tuple[float, float, float]
Edge = tuple[Point, Point, float]


@dataclass(frozen=True)
class Profile:
    """A closed outline. Made by ``circle``, ``rectangle``, ``obround`` or ``polygon``."""

    vertices: tuple[Vertex, ...]

    def edges(self) -> Iterator[Edge]:
        """(start, end, bulge) of each edge in turn."""
        for (x0, y0, bulge), (x1, y1, _) in zip(self.vertices, self.vertices[1:] + self.vertices[:1], strict=True):
            yield (x0, y0), (x1, y1), bulge

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
        for (x0, y0), (x1, y1), bulge in self.edges():
            total += (x0 * y1 - x1 * y0) / 2
            if bulge:
                radius, angle = _arc(x0, y0, x1, y1, bulge)
                total += math.copysign(radius * radius * (angle - math.sin(angle)) / 2, bulge)
        return total

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """(x low, y low, x high, y high) in mm, arcs included."""
        xs = [v[0] for v in self.vertices]
        ys = [v[1] for v in self.vertices]
        for start, end, bulge in self.edges():
            if bulge:
                centre, radius, from_angle, sweep = _arc_geometry(start, end, bulge)
                for quarter in range(4):
                    at = quarter * math.pi / 2
                    if (at - from_angle) * math.copysign(1, sweep) % (2 * math.pi) <= abs(sweep):
                        xs.append(centre[0] + radius * math.cos(at))
                        ys.append(centre[1] + radius * math.sin(at))
        return min(xs), min(ys), max(xs), max(ys)

    def moved(self, dx: float, dy: float) -> Profile:
        return Profile(tuple((x + dx, y + dy, bulge) for x, y, bulge in self.vertices))

    def turned(self, degrees: float) -> Profile:
        """The outline turned about (0, 0), anticlockwise."""
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        return Profile(tuple((c * x - s * y, s * x + c * y, bulge) for x, y, bulge in self.vertices))

    def points(self, step: float = math.radians(5)) -> list[Point]:
        """The outline as points: every vertex, and arcs in steps of at most ``step`` rad (chords, inside)."""
        result: list[Point] = []
        for start, end, bulge in self.edges():
            result.append(start)
            if bulge:
                centre, radius, from_angle, sweep = _arc_geometry(start, end, bulge)
                n = max(1, math.ceil(abs(sweep) / step))
                result += [(centre[0] + radius * math.cos(from_angle + sweep * i / n),
                            centre[1] + radius * math.sin(from_angle + sweep * i / n)) for i in range(1, n)]
        return result

    def distance(self, p: Point) -> float:
        """mm from a point to the nearest place on the outline, exact for lines and arcs."""
        return min(_edge_distance(p, edge) for edge in self.edges())

    def contains(self, p: Point) -> bool:
        """Whether the point is inside (points within 1e-6 mm of the outline may go either way)."""
        # off the chord of an arc, where the angle to both its ends is half a turn either way
        p = (p[0] + 3.1e-7, p[1] + 1.7e-7)
        winding = 0.0
        for start, end, bulge in self.edges():
            ax, ay, bx, by = start[0] - p[0], start[1] - p[1], end[0] - p[0], end[1] - p[1]
            winding += math.atan2(ax * by - ay * bx, ax * bx + ay * by)
            if bulge:
                centre, radius, _, _ = _arc_geometry(start, end, bulge)
                # between chord and arc: inside the circle, on the arc's side of the chord
                side = (end[0] - start[0]) * (p[1] - start[1]) - (end[1] - start[1]) * (p[0] - start[0])
                in_circle = math.hypot(p[0] - centre[0], p[1] - centre[1]) < radius
                if in_circle and side * bulge < 0:
                    winding += math.copysign(2 * math.pi, bulge)
        return abs(winding) > math.pi


def circle(diameter: float, at: Point = (0.0, 0.0)) -> Profile:
    """A circle about ``at``."""
    _positive("diameter", diameter)
    r = diameter / 2
    return Profile(((at[0] + r, at[1], 1.0), (at[0] - r, at[1], 1.0)))


def rectangle(width: float, depth: float, at: Point = (0.0, 0.0), radius: float = 0.0) -> Profile:
    """A rectangle with its lowest corner at ``at``; ``radius`` rounds all four corners."""
    _positive("width", width)
    _positive("depth", depth)
    x0, y0, x1, y1 = at[0], at[1], at[0] + width, at[1] + depth
    if radius == 0:
        return Profile(((x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0)))
    if not 0 < radius < min(width, depth) / 2:
        raise InputFault(f"a corner radius of {radius} mm on a rectangle {width} × {depth}",
                         allowed=f"0 to below {min(width, depth) / 2}")
    b, r = math.tan(math.pi / 8), radius
    return Profile(((x0 + r, y0, 0.0), (x1 - r, y0, b), (x1, y0 + r, 0.0), (x1, y1 - r, b),
                    (x1 - r, y1, 0.0), (x0 + r, y1, b), (x0, y1 - r, 0.0), (x0, y0 + r, b)))


def obround(length: float, width: float, at: Point = (0.0, 0.0), degrees: float = 0.0) -> Profile:
    """A slot with round ends about ``at``: ``length`` over all, along x before turning."""
    _positive("width", width)
    if length <= width:
        raise InputFault(f"a slot {length} long and {width} wide", allowed="a length over the width")
    a, r = (length - width) / 2, width / 2
    shape = Profile(((-a, -r, 0.0), (a, -r, 1.0), (a, r, 0.0), (-a, r, 1.0)))
    return (shape.turned(degrees) if degrees else shape).moved(*at)


def polygon(points: Sequence[Point]) -> Profile:
    """A polygon of straight edges, given in either sense of rotation; must not cross itself."""
    if len(points) < 3:
        raise InputFault(f"a polygon of {len(points)} points", allowed="3 or more")
    shape = Profile(tuple((x, y, 0.0) for x, y in points))
    edges = list(shape.edges())
    for i, (a, b, _) in enumerate(edges):
        if math.dist(a, b) <= LENGTH:
            raise InputFault(f"two corners of a polygon at {a}", allowed="corners apart from each other")
        for j in range(i + 2, len(edges) - (1 if i == 0 else 0)):
            if _cross(a, b, edges[j][0], edges[j][1]):
                raise InputFault(f"a polygon that crosses itself between corners {i} and {j}",
                                 allowed="an outline without crossings")
    if abs(shape.area) <= LENGTH:
        raise InputFault("a polygon without area", allowed="corners that are not all in one line")
    return shape if shape.area > 0 else Profile(tuple((x, y, 0.0) for x, y in reversed(points)))


def inside(inner: Profile, outer: Profile) -> bool:
    """Whether ``inner`` lies within ``outer`` (their borders may touch). Exact where inner is a circle;
    otherwise arcs of inner are taken in 5° chords."""
    round_hole = inner.as_circle
    if round_hole:
        centre, radius = round_hole
        return outer.contains(centre) and outer.distance(centre) >= radius - LENGTH
    for p in inner.points():
        if outer.distance(p) > LENGTH and not outer.contains(p):
            return False
    return not any(inner.distance((x, y)) > LENGTH and inner.contains((x, y)) for x, y, _ in outer.vertices)


def _positive(name: str, value: float) -> None:
    if not (isinstance(value, int | float) and math.isfinite(value) and value > 0):
        raise InputFault(f"{name} {value!r}", allowed="a length above 0 mm")


def _arc(x0: float, y0: float, x1: float, y1: float, bulge: float) -> tuple[float, float]:
    """(radius, angle > 0) of an arc edge."""
    angle = 4 * math.atan(abs(bulge))
    return math.hypot(x1 - x0, y1 - y0) / 2 / math.sin(angle / 2), angle


def _arc_geometry(start: Point, end: Point, bulge: float) -> tuple[Point, float, float, float]:
    """(centre, radius, start angle, signed sweep) of an arc edge; positive sweep is anticlockwise."""
    (x0, y0), (x1, y1) = start, end
    radius, angle = _arc(x0, y0, x1, y1, bulge)
    # the centre lies to the left of the chord for an anticlockwise arc below half a turn
    along = (1 - bulge * bulge) / (4 * bulge)
    centre = ((x0 + x1) / 2 - along * (y1 - y0), (y0 + y1) / 2 + along * (x1 - x0))
    return centre, radius, math.atan2(y0 - centre[1], x0 - centre[0]), math.copysign(angle, bulge)


def _edge_distance(p: Point, edge: Edge) -> float:
    start, end, bulge = edge
    if bulge:
        centre, radius, from_angle, sweep = _arc_geometry(start, end, bulge)
        at = math.atan2(p[1] - centre[1], p[0] - centre[0])
        if (at - from_angle) * math.copysign(1, sweep) % (2 * math.pi) <= abs(sweep):
            return abs(math.dist(p, centre) - radius)
        return min(math.dist(p, start), math.dist(p, end))
    dx, dy = end[0] - start[0], end[1] - start[1]
    t = ((p[0] - start[0]) * dx + (p[1] - start[1]) * dy) / (dx * dx + dy * dy)
    t = min(1.0, max(0.0, t))
    return math.dist(p, (start[0] + t * dx, start[1] + t * dy))


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
