"""Edges of outlines in closed form: straight lines and arcs.

An edge is (start, end, bulge), see ``profiles``. Parameters along an edge run from 0 to 1, along an arc by its angle.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

__all__ = ["Edge", "Point", "arc_circle", "arc_size", "edge_box", "edge_distance", "edge_nearest", "edge_way", "meetings",
           "point_at", "splits"]

Point = tuple[float, float]
Edge = tuple[Point, Point, float]
Box2 = tuple[float, float, float, float]


def arc_size(edge: Edge) -> tuple[float, float]:
    """(radius, angle > 0) of an arc edge."""
    (x0, y0), (x1, y1), bulge = edge
    angle = 4 * math.atan(abs(bulge))
    return math.hypot(x1 - x0, y1 - y0) / 2 / math.sin(angle / 2), angle


def arc_circle(edge: Edge) -> tuple[Point, float, float, float]:
    """(centre, radius, start angle, signed sweep) of an arc edge; positive sweep is anticlockwise."""
    (x0, y0), (x1, y1), bulge = edge
    radius, angle = arc_size(edge)
    # the centre lies to the left of the chord for an anticlockwise arc below half a turn
    along = (1 - bulge * bulge) / (4 * bulge)
    centre = ((x0 + x1) / 2 - along * (y1 - y0), (y0 + y1) / 2 + along * (x1 - x0))
    return centre, radius, math.atan2(y0 - centre[1], x0 - centre[0]), math.copysign(angle, bulge)


def edge_box(edge: Edge) -> Box2:
    """(x low, y low, x high, y high)."""
    start, end, bulge = edge
    xs, ys = [start[0], end[0]], [start[1], end[1]]
    if bulge:
        centre, radius, from_angle, sweep = arc_circle(edge)
        for dx, dy in ((1, 0), (0, 1), (-1, 0), (0, -1)):
            if _on_arc(math.atan2(dy, dx), from_angle, sweep) is not None:
                xs.append(centre[0] + radius * dx)
                ys.append(centre[1] + radius * dy)
    return min(xs), min(ys), max(xs), max(ys)


def edge_distance(p: Point, edge: Edge) -> float:
    """mm from a point to the nearest place on the edge."""
    start, end, bulge = edge
    if bulge:
        centre, radius, from_angle, sweep = arc_circle(edge)
        if _on_arc(math.atan2(p[1] - centre[1], p[0] - centre[0]), from_angle, sweep) is not None:
            return abs(math.dist(p, centre) - radius)
        return min(math.dist(p, start), math.dist(p, end))
    t = min(1.0, max(0.0, _foot(p, start, end)))
    return math.dist(p, (start[0] + t * (end[0] - start[0]), start[1] + t * (end[1] - start[1])))


def edge_nearest(p: Point, edge: Edge) -> Point:
    """The point of the edge nearest to p; of a whole circle about p any."""
    start, end, bulge = edge
    if not bulge:
        return point_at(edge, min(1.0, max(0.0, _foot(p, start, end))))
    centre, radius, from_angle, sweep = arc_circle(edge)
    angle = math.atan2(p[1] - centre[1], p[0] - centre[0])
    if _on_arc(angle, from_angle, sweep) is not None:
        return centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)
    return min(start, end, key=lambda each: math.dist(p, each))


def edge_way(edge: Edge, p: Point) -> Point:
    """The direction of the edge at its point p."""
    (x0, y0), (x1, y1), bulge = edge
    if not bulge:
        length = math.hypot(x1 - x0, y1 - y0)
        return (x1 - x0) / length, (y1 - y0) / length
    centre, radius, _, sweep = arc_circle(edge)
    turn = math.copysign(1.0, sweep)
    return -turn * (p[1] - centre[1]) / radius, turn * (p[0] - centre[0]) / radius


def point_at(edge: Edge, t: float) -> Point:
    start, end, bulge = edge
    if not bulge:
        return start[0] + t * (end[0] - start[0]), start[1] + t * (end[1] - start[1])
    centre, radius, from_angle, sweep = arc_circle(edge)
    angle = from_angle + t * sweep
    return centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)


def splits(edge: Edge, other: Edge) -> list[float]:
    """Parameters on ``edge``, within 0 to 1, between which its side of ``other`` cannot change: wherever the two
    cross, touch or begin to run along each other, and a few more (lines and circles taken endless)."""
    start, end, bulge = edge
    points = [other[0], other[1], *meetings(edge, other)]
    if not bulge:
        found = [_foot(p, start, end) for p in points]
    else:
        centre, _, from_angle, sweep = arc_circle(edge)
        found = [t for p in points
                 if (t := _on_arc(math.atan2(p[1] - centre[1], p[0] - centre[0]), from_angle, sweep)) is not None]
    return [t for t in found if 0.0 <= t <= 1.0]


def meetings(edge: Edge, other: Edge) -> Iterator[Point]:
    """Where the endless line or full circle of one meets that of the other; the nearest place where they just miss."""
    if not edge[2] and not other[2]:
        yield from _line_line(edge, other)
    elif edge[2] and other[2]:
        yield from _circle_circle(edge, other)
    elif edge[2]:
        yield from _line_circle(other, edge)
    else:
        yield from _line_circle(edge, other)


def _line_line(a: Edge, b: Edge) -> Iterator[Point]:
    (x0, y0), (x1, y1), _ = a
    (x2, y2), (x3, y3), _ = b
    dx, dy, ex, ey = x1 - x0, y1 - y0, x3 - x2, y3 - y2
    cross = dx * ey - dy * ex
    if abs(cross) > 1e-14 * math.hypot(dx, dy) * math.hypot(ex, ey):
        t = ((x2 - x0) * ey - (y2 - y0) * ex) / cross
        yield x0 + t * dx, y0 + t * dy


def _line_circle(line: Edge, arc: Edge) -> Iterator[Point]:
    (x0, y0), (x1, y1), _ = line
    centre, radius, _, _ = arc_circle(arc)
    t = _foot(centre, (x0, y0), (x1, y1))
    foot = (x0 + t * (x1 - x0), y0 + t * (y1 - y0))
    half = math.sqrt(max(0.0, radius * radius - math.dist(foot, centre) ** 2))
    length = math.hypot(x1 - x0, y1 - y0)
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    yield foot[0] + half * ux, foot[1] + half * uy
    yield foot[0] - half * ux, foot[1] - half * uy


def _circle_circle(a: Edge, b: Edge) -> Iterator[Point]:
    (ax, ay), r, _, _ = arc_circle(a)
    (bx, by), s, _, _ = arc_circle(b)
    apart = math.hypot(bx - ax, by - ay)
    if apart > 1e-12:
        along = (apart * apart + r * r - s * s) / (2 * apart)
        across = math.sqrt(max(0.0, r * r - along * along))
        ux, uy = (bx - ax) / apart, (by - ay) / apart
        yield ax + along * ux - across * uy, ay + along * uy + across * ux
        yield ax + along * ux + across * uy, ay + along * uy - across * ux


def _foot(p: Point, start: Point, end: Point) -> float:
    """Parameter of the point of the endless line nearest to p."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    return ((p[0] - start[0]) * dx + (p[1] - start[1]) * dy) / (dx * dx + dy * dy)


def _on_arc(angle: float, from_angle: float, sweep: float) -> float | None:
    """Parameter of that direction on the arc, or None where it does not pass there."""
    turned = (angle - from_angle) * math.copysign(1.0, sweep) % (2 * math.pi)
    return turned / abs(sweep) if turned <= abs(sweep) else None
