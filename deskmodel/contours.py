"""Closed outlines against each other and against themselves, in closed form for lines and arcs: distance, where they meet,
how narrow one is, how long, mirrored."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from deskmodel._edges import (
    Edge,
    Point,
    arc_circle,
    arc_size,
    edge_box,
    edge_distance,
    edge_nearest,
    edge_way,
    meetings,
    point_at,
)
from deskmodel.profiles import Profile
from deskmodel.tolerances import LENGTH

__all__ = ["Width", "length_of", "meeting", "mirrored", "nearest", "nearest_to", "widths"]

_FACING = 0.7071  # cosine: two stretches turned by up to 45° still lie opposite each other


@dataclass(frozen=True, slots=True)
class Width:
    """``size`` mm from ``p`` to ``q``, both on one outline; ``inside``: what lies between them is within it."""

    size: float
    p: Point
    q: Point
    inside: bool


def length_of(outline: Profile) -> float:
    """mm round the outline."""
    return sum(math.prod(arc_size(edge)) if edge[2] else math.dist(edge[0], edge[1]) for edge in outline.edges())


def mirrored(outline: Profile, about: float = 0.0) -> Profile:
    """The outline mirrored at the line x = ``about``, anticlockwise again."""
    points = [(2 * about - x, y) for x, y, _ in reversed(outline.vertices)]
    bulges = [bulge for _, _, bulge in reversed(outline.vertices)]
    bulges = bulges[1:] + bulges[:1]  # reversed, each bulge belongs to the new start of its edge
    return Profile(tuple((x, y, bulge) for (x, y), bulge in zip(points, bulges, strict=True)))


def nearest_to(p: Point, outline: Profile) -> tuple[float, Point]:
    """(mm, the point of the outline that is nearest)."""
    ring = outline.as_circle
    if ring:
        (x, y), radius = ring
        away = math.dist(p, (x, y))
        towards = (1.0, 0.0) if away < LENGTH else ((p[0] - x) / away, (p[1] - y) / away)
        return abs(away - radius), (x + radius * towards[0], y + radius * towards[1])
    there = [edge_nearest(p, edge) for edge in outline.edges()]
    return min((math.dist(p, q), q) for q in there)


def nearest(a: Profile, b: Profile, within: float = math.inf) -> tuple[float, Point, Point] | None:
    """(mm, point of a, point of b) of the nearest places of two outlines, which count as lines without inside; None where
    they stay ``within`` apart or more."""
    best: tuple[float, Point, Point] | None = None
    round_a, round_b = a.as_circle, b.as_circle
    if round_a and round_b:
        best = _circles(round_a, round_b)
        return best if best[0] < within else None
    others = [(edge, edge_box(edge)) for edge in b.edges()]
    for edge in a.edges():
        box = edge_box(edge)
        for other, room in others:
            if _boxes_apart(box, room) >= (within if best is None else best[0]):
                continue
            for p, q in _pairs(edge, other):
                away = math.dist(p, q)
                if away < (within if best is None else best[0]):
                    best = away, p, q
    return best


def meeting(a: Profile, b: Profile) -> Point | None:
    """A place where two outlines touch or cross, else None."""
    found = nearest(a, b, 2 * LENGTH)
    return found[1] if found is not None and found[0] <= LENGTH else None


def widths(outline: Profile, below: float) -> list[Width]:
    """Where two stretches of an outline lie opposite each other, less than ``below`` apart: across a slot or a tongue. Ends
    that run to a point between neighbours are not told."""
    if outline.as_circle:
        (x, y), r = outline.as_circle
        return [Width(2 * r, (x - r, y), (x + r, y), True)] if 2 * r < below else []
    edges = list(outline.edges())
    boxes = [edge_box(edge) for edge in edges]
    found = []
    for i, j in combinations(range(len(edges)), 2):
        if j - i in (1, len(edges) - 1) and not (edges[i][2] and edges[j][2]):
            continue  # neighbours meet anyway
        if _boxes_apart(boxes[i], boxes[j]) < below:
            for p, q in _across(edges[i], edges[j]):
                size = math.dist(p, q)
                if LENGTH < size < below and _opposite(edges[i], p, edges[j], q):
                    inside = outline.contains(((p[0] + q[0]) / 2, (p[1] + q[1]) / 2))
                    found.append(Width(size, p, q, inside))
    return sorted(found, key=lambda width: (round(width.size, 6), width.p, width.q))


def _opposite(a: Edge, p: Point, b: Edge, q: Point) -> bool:
    """Whether the edges run along each other at p and q, and the way from one to the other leads across."""
    ends = all(min(math.dist(end, at) for end in edge[:2]) <= LENGTH for edge, at in ((a, p), (b, q)))
    if ends and (a[2] or b[2] or _shared(a, b) <= LENGTH):
        return False  # only their ends are opposite: a step, not a slot
    size = math.dist(p, q)
    across = ((q[0] - p[0]) / size, (q[1] - p[1]) / size)
    ways = edge_way(a, p), edge_way(b, q)
    square = max(abs(across[0] * x + across[1] * y) for x, y in ways) <= _FACING
    return square and abs(ways[0][0] * ways[1][0] + ways[0][1] * ways[1][1]) >= _FACING


def _across(a: Edge, b: Edge) -> Iterator[tuple[Point, Point]]:
    """As ``_pairs``; of straight edges side by side only the middle of the stretch that they share."""
    (x, y), (u, v) = edge_way(a, a[0]), edge_way(b, b[0])
    if a[2] or b[2] or abs(x * v - y * u) > 1e-9:
        yield from _pairs(a, b)
    elif _shared(a, b) > LENGTH:
        (ox, oy) = a[0]
        ends = sorted((px - ox) * x + (py - oy) * y for px, py in (*a[:2], *b[:2]))
        p = ox + (ends[1] + ends[2]) / 2 * x, oy + (ends[1] + ends[2]) / 2 * y
        yield p, edge_nearest(p, b)


def _shared(a: Edge, b: Edge) -> float:
    """mm that two straight edges run beside each other."""
    (x, y), (ox, oy) = edge_way(a, a[0]), a[0]
    first, second = (sorted((px - ox) * x + (py - oy) * y for px, py in edge[:2]) for edge in (a, b))
    return min(first[1], second[1]) - max(first[0], second[0])


def _circles(a: tuple[Point, float], b: tuple[Point, float]) -> tuple[float, Point, Point]:
    (ax, ay), r = a
    (bx, by), s = b
    apart = math.hypot(bx - ax, by - ay)
    ux, uy = ((bx - ax) / apart, (by - ay) / apart) if apart > 1e-12 else (1.0, 0.0)
    if apart >= r + s:
        return apart - r - s, (ax + r * ux, ay + r * uy), (bx - s * ux, by - s * uy)
    if apart <= abs(r - s):  # one within the other
        out = 1.0 if r > s else -1.0
        return abs(r - s) - apart, (ax + out * r * ux, ay + out * r * uy), (bx + out * s * ux, by + out * s * uy)
    along = (apart * apart + r * r - s * s) / (2 * apart)
    across = math.sqrt(max(0.0, r * r - along * along))
    p = ax + along * ux - across * uy, ay + along * uy + across * ux
    return 0.0, p, p


def _pairs(a: Edge, b: Edge) -> Iterator[tuple[Point, Point]]:
    """Pairs of points, among them the nearest two: ends and what is nearest to them, meetings, where arcs come nearest."""
    for p in a[:2]:
        yield p, edge_nearest(p, b)
    for q in b[:2]:
        yield edge_nearest(q, a), q
    for p in meetings(a, b):
        if edge_distance(p, a) <= LENGTH and edge_distance(p, b) <= LENGTH:
            yield p, p
    for p in _towards(a, b):
        yield p, edge_nearest(p, b)
    for q in _towards(b, a):
        yield edge_nearest(q, a), q


def _towards(arc: Edge, other: Edge) -> Iterator[Point]:
    """Points of an arc that look at the other edge squarely."""
    if not arc[2]:
        return
    centre, radius, _, _ = arc_circle(arc)
    if other[2]:
        aim = arc_circle(other)[0]
    else:
        (x0, y0), (x1, y1), _ = other
        t = ((centre[0] - x0) * (x1 - x0) + (centre[1] - y0) * (y1 - y0)) / ((x1 - x0) ** 2 + (y1 - y0) ** 2)
        aim = point_at((other[0], other[1], 0.0), t)
    away = math.dist(aim, centre)
    if away > 1e-9:
        for sign in (1.0, -1.0):
            p = (centre[0] + sign * radius * (aim[0] - centre[0]) / away,
                 centre[1] + sign * radius * (aim[1] - centre[1]) / away)
            if edge_distance(p, arc) <= LENGTH:
                yield p


def _boxes_apart(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> float:
    return math.hypot(max(0.0, a[0] - b[2], b[0] - a[2]), max(0.0, a[1] - b[3], b[1] - a[3]))
