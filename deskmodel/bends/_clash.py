"""Whether a folded sheet runs into itself.

Legs are boxes; a bend is taken as wedges within it, at most 5° each, so that nothing is refused that is free; what lies
between wedge and arc, below 0.001 (R + t), is not looked at. Two such bodies are convex: they are apart where a
direction separates them. The base may have any outline: what a body has between its two sides is laid upon it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from deskmodel._edges import Point, edge_distance, point_at, splits
from deskmodel.bends._pieces import Bend, Panel
from deskmodel.errors import InputFault
from deskmodel.frames import Vec, cross, dot, norm, scale, sub
from deskmodel.profiles import Profile
from deskmodel.tolerances import LENGTH

__all__ = ["check_clear"]

_STEP = 5.0  # degrees
_SLACK = 1e-5  # mm; neighbours touch


@dataclass(frozen=True)
class _Body:
    """A prism over four corners: ``points`` 0 to 3 and 4 to 7."""

    of: str
    points: tuple[Vec, ...]
    low: Vec
    high: Vec

    def directions(self) -> list[Vec]:
        p = self.points
        return [sub(p[1], p[0]), sub(p[2], p[1]), sub(p[3], p[2]), sub(p[0], p[3]), sub(p[4], p[0])]

    def edges(self) -> Iterator[tuple[Vec, Vec]]:
        p = self.points
        for i in range(4):
            yield p[i], p[(i + 1) % 4]
            yield p[4 + i], p[4 + (i + 1) % 4]
            yield p[i], p[4 + i]


def check_clear(panels: Sequence[Panel], bends: Sequence[Bend]) -> None:
    """InputFault where two flanges, or a flange and the base, would be in one place."""
    base = panels[0]
    bodies = [body for panel in panels[1:] for body in _leg_bodies(panel)]
    bodies += [body for bend in bends for body in _bend_bodies(bend)]
    for body in bodies:
        if _meets_base(body, base):
            raise InputFault(f"flange {body.of!r} runs into the base when folded",
                             allowed="shorter flanges, other angles, or start and stop that keep them apart")
    bodies.sort(key=lambda body: body.low[0])
    active: list[_Body] = []
    for body in bodies:
        active = [other for other in active if other.high[0] > body.low[0] + _SLACK]
        for other in active:
            if other.of != body.of and _meet(body, other):
                names = " and ".join(repr(name) for name in sorted((body.of, other.of)))
                raise InputFault(f"flanges {names} run into each other when folded",
                                 allowed="shorter flanges, other angles, or start and stop that keep them apart")
        active.append(body)


def _body(of: str, points: Sequence[Vec]) -> _Body:
    lows, highs = ([pick(p[i] for p in points) for i in range(3)] for pick in (min, max))
    return _Body(of, tuple(points), (lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2]))


def _leg_bodies(panel: Panel) -> Iterator[_Body]:
    """The leg cut into boxes along its own corners: its region has square corners only."""
    v0 = panel.region.bounds[1]
    for u0, u1 in pairwise(sorted({round(u, 9) for u, _, _ in panel.region.vertices})):
        if u1 - u0 > LENGTH:
            middle = (u0 + u1) / 2
            tops = [y0 for (x0, y0), (x1, y1), _ in panel.region.edges()
                    if min(x0, x1) < middle < max(x0, x1) and y0 - v0 > LENGTH]
            corners = [(u0, v0), (u1, v0), (u1, min(tops)), (u0, min(tops))]
            yield _body(panel.name, [panel.point(u, v, h) for h in (0.0, panel.thickness) for u, v in corners])


def _bend_bodies(bend: Bend) -> Iterator[_Body]:
    count = math.ceil(bend.angle / _STEP)
    outer, inner = bend.radius + bend.thickness, bend.radius / math.cos(math.radians(bend.angle / count / 2))
    if inner >= outer:
        inner = (bend.radius + outer) / 2
    for i in range(count):
        a, b = bend.angle * i / count, bend.angle * (i + 1) / count
        corners = [(outer, a), (outer, b), (inner, b), (inner, a)]
        yield _body(bend.leg, [bend.at(u, rho, angle) for u in (bend.start, bend.stop) for rho, angle in corners])


def _meet(a: _Body, b: _Body) -> bool:
    if any(a.high[i] <= b.low[i] + _SLACK or b.high[i] <= a.low[i] + _SLACK for i in range(3)):
        return False
    ways = a.directions(), b.directions()
    sides = [cross(way[4], each) for way in ways for each in way[:4]] + [ways[0][4], ways[1][4]]
    for axis in (*sides, *(cross(p, q) for p in ways[0] for q in ways[1])):
        size = norm(axis)
        if size > 1e-9:
            axis = scale(axis, 1 / size)
            on_a, on_b = ([dot(axis, p) for p in body.points] for body in (a, b))
            if max(on_a) <= min(on_b) + _SLACK or max(on_b) <= min(on_a) + _SLACK:
                return False
    return True


def _meets_base(body: _Body, base: Panel) -> bool:
    low, high = _SLACK, base.thickness - _SLACK
    if body.high[2] <= low or body.low[2] >= high:
        return False
    points = [(x, y) for x, y, z in body.points if low <= z <= high]
    for p, q in body.edges():
        for z in (low, high):
            if (p[2] - z) * (q[2] - z) < 0:
                share = (z - p[2]) / (q[2] - p[2])
                points.append((p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])))
    hull = _hull(points)
    if len(hull) < 3:
        return False
    laid = Profile(tuple((x, y, 0.0) for x, y in hull))
    return laid.area > _SLACK and (_runs_into(laid, base.region) or _runs_into(base.region, laid))


def _runs_into(inner: Profile, outer: Profile) -> bool:
    """Whether the border of one runs within the other, farther from its border than they may touch."""
    others = list(outer.edges())
    for edge in inner.edges():
        cuts = sorted({0.0, 1.0, *(t for other in others for t in splits(edge, other))})
        for t, following in pairwise(cuts):
            p = point_at(edge, (t + following) / 2)
            if min(edge_distance(p, other) for other in others) > _SLACK and outer.contains(p):
                return True
    return False


def _hull(points: Sequence[Point]) -> list[Point]:
    """The convex hull, anticlockwise (Andrew's monotone chain, 1979)."""
    ordered = sorted({(round(x, 7), round(y, 7)) for x, y in points})
    chains = []
    for run in (ordered, ordered[::-1]):
        chain: list[Point] = []
        for p in run:
            while len(chain) > 1 and ((chain[-1][0] - chain[-2][0]) * (p[1] - chain[-2][1])
                                      - (chain[-1][1] - chain[-2][1]) * (p[0] - chain[-2][0])) <= 1e-9:
                chain.pop()
            chain.append(p)
        chains += chain[:-1]
    return chains
