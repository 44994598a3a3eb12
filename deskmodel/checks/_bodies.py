"""Distances of what features take away, in closed form: the hole with its drill's point, prisms, and the like.

A removal is taken apart into convex *bodies*, of which each knows its point nearest to a given one: turned bodies in their
half plane, extruded ones in the plane of their profile. Going to and fro between two convex bodies ends at their nearest
points (Cheney and Goldstein, Proc. Amer. Math. Soc. 10, 1959); where they meet, in a point of both.

What it does not know: concave arcs are taken as chords of 2°, which make the removal larger by up to r/6500.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol, TypeVar

from deskmodel._edges import Edge, Point, arc_circle, edge_distance, point_at
from deskmodel.features import Box3, Removal, Revolve
from deskmodel.frames import Pose, Vec, dot, norm, sub
from deskmodel.profiles import Profile
from deskmodel.tolerances import LENGTH

__all__ = ["Body", "bodies_of", "box_gap", "near_pairs", "nearest"]

_SETTLED = 1e-9  # mm by which the last step moved
_STEPS = 2000
_CHORD = math.radians(2)


class Body(Protocol):
    def to(self, p: Vec) -> Vec:
        """The point of the body nearest to ``p``: itself where it lies inside."""
        ...


@dataclass(frozen=True)
class _Turned:
    """The convex region between the axis (z of ``pose``) and ``chain``, (r, z) points from its start to its end."""

    chain: tuple[Point, ...]
    pose: Pose

    def to(self, p: Vec) -> Vec:
        x, y, z = _local(self.pose, p)
        r = math.hypot(x, y)
        closed = ((0.0, self.chain[0][1]), *self.chain, (0.0, self.chain[-1][1]))
        near = _into((r, z), list(pairwise(closed)))
        c, s = (x / r, y / r) if r > 0 else (1.0, 0.0)
        return p if near is None else self.pose.apply((near[0] * c, near[0] * s, near[1]))


@dataclass(frozen=True)
class _Extruded:
    """A convex ``profile`` swept along the z of ``pose``."""

    profile: Profile
    pose: Pose
    depth: float

    def to(self, p: Vec) -> Vec:
        x, y, z = _local(self.pose, p)
        level = min(max(z, 0.0), self.depth)
        if not self.profile.contains((x, y)):
            x, y = _on_edge((x, y), min(self.profile.edges(), key=lambda edge: edge_distance((x, y), edge)))
        elif level == z:
            return p
        return self.pose.apply((x, y, level))


def bodies_of(removal: Removal) -> tuple[Body, ...]:
    """Convex bodies that together are the removal, in its part's frame."""
    if isinstance(removal, Revolve):
        return tuple(_Turned(chain, removal.pose) for chain in _chains(removal))
    round_hole = removal.profile.as_circle
    if round_hole:
        (x, y), radius = round_hole
        pose = Pose(removal.pose.rotation, removal.pose.apply((x, y, 0.0)))
        return (_Turned(((radius, 0.0), (radius, removal.depth)), pose),)
    return tuple(_Extruded(piece, removal.pose, removal.depth) for piece in _convex(removal.profile))


def nearest(a: Sequence[Body], b: Sequence[Body], start: Vec) -> tuple[float, Vec, Vec]:
    """(distance, point of a, point of b) of two removals; 0 and one point of both where they meet, near to ``start``."""
    return min((_to_and_fro(one, other, start) for one in a for other in b), key=lambda found: found[0])


def box_gap(a: Box3, b: Box3) -> float:
    """mm between two boxes, 0 where they meet."""
    return math.hypot(*(max(0.0, a[0][i] - b[1][i], b[0][i] - a[1][i]) for i in range(3)))


T = TypeVar("T")


def near_pairs(items: Sequence[T], box: Callable[[T], Box3], within: float) -> Iterator[tuple[T, T]]:
    """Each pair whose boxes are ``within`` mm or less of each other, the earlier one first. Swept along x."""
    boxes = [box(item) for item in items]
    active: list[int] = []
    for i in sorted(range(len(items)), key=lambda i: boxes[i][0][0]):
        active = [j for j in active if boxes[j][1][0] + within >= boxes[i][0][0]]
        for j in active:
            if box_gap(boxes[i], boxes[j]) <= within + LENGTH:
                yield (items[i], items[j]) if i < j else (items[j], items[i])
        active.append(i)


def _to_and_fro(a: Body, b: Body, start: Vec) -> tuple[float, Vec, Vec]:
    p = a.to(start)
    for _ in range(_STEPS):
        q = b.to(p)
        following = a.to(q)
        moved = norm(sub(following, p))
        p = following
        if moved <= _SETTLED:
            break
    q = b.to(p)
    return norm(sub(p, q)), p, q


def _chains(revolve: Revolve) -> Iterator[tuple[Point, ...]]:
    """The outline of a turned removal from its mouth to its end, cut where it is not convex."""
    outer = [p for i, p in enumerate(revolve.half) if p[0] > 0 or i > 0]
    chain: list[Point] = [outer[0]]
    for before, here in pairwise(outer):
        if abs(here[1] - before[1]) <= LENGTH and here[0] > LENGTH:  # the floor of a counterbore
            yield tuple(chain)
            chain = [here]
            continue
        if len(chain) > 1 and _turns_out(chain[-2], before, here):
            yield tuple(chain)
            chain = [before]
        chain.append(here)
    yield tuple(chain)


def _turns_out(a: Point, b: Point, c: Point) -> bool:
    """Whether the outline widens at b, seen along the axis: the body is then not convex there."""
    return (b[0] - a[0]) * (c[1] - b[1]) < (c[0] - b[0]) * (b[1] - a[1]) - LENGTH


def _convex(profile: Profile) -> Iterator[Profile]:
    """The profile itself where it is convex, else triangles that fill it."""
    corners = [(x, y) for x, y, _ in profile.vertices]
    if all(bulge >= 0 for _, _, bulge in profile.vertices) and _is_convex(profile):
        yield profile
        return
    if any(bulge for _, _, bulge in profile.vertices):
        corners = profile.points(_CHORD)
    while len(corners) > 3:
        ear = next((i for i in range(len(corners)) if _is_ear(corners, i)), None)
        if ear is None:  # only corners in line with their neighbours are left
            return
        triangle = (corners[ear - 1], corners[ear], corners[(ear + 1) % len(corners)])
        if _side(*triangle) > LENGTH * LENGTH:
            yield Profile(tuple((x, y, 0.0) for x, y in triangle))
        del corners[ear]
    if _side(*corners) > LENGTH * LENGTH:
        yield Profile(tuple((x, y, 0.0) for x, y in corners))


def _is_convex(profile: Profile) -> bool:
    """Whether it turns left all the way round; arcs (all bulging outwards) are looked at in steps."""
    points = profile.points(_CHORD)
    return all(_side(points[i - 2], points[i - 1], points[i]) >= -LENGTH * LENGTH for i in range(len(points)))


def _is_ear(corners: list[Point], i: int) -> bool:
    a, b, c = corners[i - 1], corners[i], corners[(i + 1) % len(corners)]
    if _side(a, b, c) < 0:
        return False
    return not any(_side(a, b, p) > 0 and _side(b, c, p) > 0 and _side(c, a, p) > 0 for p in corners if p not in (a, b, c))


def _side(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _into(p: Point, sides: list[tuple[Point, Point]]) -> Point | None:
    """The nearest point on the sides of a convex region that lies between them and the axis; None where p is inside.
    The sides run so that the region lies to their left in (z, r)."""
    r, z = p
    if all((b[1] - a[1]) * (r - a[0]) - (b[0] - a[0]) * (z - a[1]) <= 0 for a, b in sides):
        return None
    return min((_on_edge(p, (a, b, 0.0)) for a, b in sides if a != b), key=lambda q: math.dist(p, q))


def _on_edge(p: Point, edge: Edge) -> Point:
    """The point of a line or arc nearest to p."""
    start, end, bulge = edge
    if bulge:
        (cx, cy), radius, from_angle, sweep = arc_circle(edge)
        turned = (math.atan2(p[1] - cy, p[0] - cx) - from_angle) * math.copysign(1.0, sweep) % (2 * math.pi)
        if turned <= abs(sweep):
            angle = from_angle + math.copysign(turned, sweep)
            return cx + radius * math.cos(angle), cy + radius * math.sin(angle)
        return min(start, end, key=lambda q: math.dist(p, q))
    dx, dy = end[0] - start[0], end[1] - start[1]
    t = ((p[0] - start[0]) * dx + (p[1] - start[1]) * dy) / (dx * dx + dy * dy)
    return point_at(edge, min(1.0, max(0.0, t)))


def _local(pose: Pose, p: Vec) -> Vec:
    offset = sub(p, pose.origin)
    return dot(pose.axis(0), offset), dot(pose.axis(1), offset), dot(pose.axis(2), offset)
