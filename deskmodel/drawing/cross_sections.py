"""What a plane cuts of placed parts: polygons in closed form of their blanks and cuts, arcs in chords.

    look at the desk in the frame of a view: x right, y up, z to the eye; the plane is z = level
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

from deskmodel.drawing._part_solids import solid_of
from deskmodel.drawing._shapes import hull
from deskmodel.drawing._solids import Solid
from deskmodel.drawing.hidden_lines import View
from deskmodel.faces import PlacedPart
from deskmodel.features import Box3, Prism, Removal, Revolve
from deskmodel.frames import Pose
from deskmodel.meshes.areas import Area, Point, area_of
from deskmodel.part import CustomShape
from deskmodel.profiles import rectangle

__all__ = ["CutDesk", "cut_shape"]

Window = tuple[float, float, float, float]
Rings = list[list[Point]]

_SQUARE = 1e-9
_PARTS = 12  # chords of a side that becomes a curve


class CutDesk:
    """Parts, ready to be cut by many planes of one view."""

    def __init__(self, parts: Iterable[PlacedPart], view: View) -> None:
        self._solids = {placed.name: _placed(placed).seen_from(view.pose) for placed in parts}

    def cut(self, name: str, level: float, window: Window) -> Area | None:
        """What z = ``level`` cuts of a part within the window, in the view's x and y; None where it cuts nothing."""
        solid = self._solids[name]
        low, high = solid.box
        x0, y0, x1, y1 = window
        if not (low[2] < level < high[2] and low[0] < x1 and high[0] > x0 and low[1] < y1 and high[1] > y0):
            return None
        near = solid.near((x0, y0, level), (x1, y1, level))
        area = area_of([cut_shape(body.shape, level) for body in near.adds],
                       [cut_shape(body.shape, level) for body in near.cuts], window)
        return area if area.size > 0 else None

    def box(self, name: str) -> Box3:
        """About a part, in the frame of the view."""
        return self._solids[name].box


def _placed(placed: PlacedPart) -> Solid:
    """In the desk frame. A custom shape as the box about it."""
    solid = solid_of(placed.part) if not isinstance(placed.part, CustomShape) else None
    if solid is None:
        (x0, y0, z0), (x1, y1, z1) = placed.part.blank.bounds
        outline = rectangle(max(x1 - x0, 0.01), max(y1 - y0, 0.01), (x0, y0))
        solid = Solid([Prism(outline, Pose(origin=(0.0, 0.0, z0)), max(z1 - z0, 0.01))])
    return solid.seen_from(placed.pose)


def cut_shape(shape: Removal, level: float) -> Rings:
    """Where z = ``level`` runs through a prism or turned body, as rings in x and y; what they enclose an odd number of times
    is cut. A turned body whose axis is askew to the plane is told by the hull of its section."""
    return _prism(shape, level) if isinstance(shape, Prism) else _turned(shape, level)


def _prism(prism: Prism, level: float) -> Rings:
    pose = prism.pose
    a, b, c = pose.rotation[2]
    off = level - pose.origin[2]
    points = prism.profile.points()
    if abs(c) <= _SQUARE:  # its sides stand on the plane: stretches of the profile, swept
        found = []
        along = sorted(_crossings([(a * x + b * y, a * y - b * x) for x, y in points], off))
        for low, high in zip(along[::2], along[1::2], strict=False):
            corners = [(off * a - t * b, off * b + t * a, w) for t, w in ((low, 0.0), (high, 0.0), (high, prism.depth),
                                                                          (low, prism.depth))]
            found.append([pose.apply(p)[:2] for p in corners])
        return found

    def height(p: Point) -> float:
        return (off - a * p[0] - b * p[1]) / c

    if max(abs(a), abs(b)) <= _SQUARE:
        inside = points if 0.0 < off / c < prism.depth else []
    else:
        inside = _clipped(_clipped(points, height), lambda p: prism.depth - height(p))
    return [[pose.apply((x, y, height((x, y))))[:2] for x, y in inside]] if len(inside) > 2 else []


def _turned(body: Revolve, level: float) -> Rings:
    pose = body.pose
    a, b, c = pose.rotation[2]
    off = level - pose.origin[2]
    if abs(c) > 1 - _SQUARE:  # across its axis: circles
        radii = sorted(_crossings([(z, r) for r, z in body.half], off / c))
        return [[pose.apply((r * math.cos(t), r * math.sin(t), off / c))[:2]
                 for t in (i * math.tau / 72 for i in range(72))] for r in radii if r > 0]
    if abs(c) <= _SQUARE:  # along its axis, ``off`` beside it
        kept = _clipped(_fine(body.half), lambda p: p[0] - abs(off))
        return [[pose.apply((off * a - side * wide * b, off * b + side * wide * a, z))[:2]
                 for wide, z in ((math.sqrt(max(0.0, r * r - off * off)), z) for r, z in kept)]
                for side in (1.0, -1.0)] if len(kept) > 2 else []
    return _askew(body, level)


def _askew(body: Revolve, level: float) -> Rings:
    """Each circle of the body meets the plane in two points at most."""
    pose = body.pose
    a, b, c = pose.rotation[2]
    flat, towards = math.hypot(a, b), math.atan2(b, a)
    found = []
    for r, z in _fine(body.half, 20 * _PARTS):
        share = (level - pose.origin[2] - c * z) / (r * flat) if r > 0 else 2.0
        if abs(share) <= 1.0:
            found += [pose.apply((r * math.cos(t), r * math.sin(t), z))[:2]
                      for t in (towards + math.acos(share), towards - math.acos(share))]
    ring = hull(found) if len(found) > 2 else []
    return [ring] if len(ring) > 2 else []


def _fine(half: Sequence[Point], parts: int = _PARTS) -> list[Point]:
    return [(p[0] + i / parts * (q[0] - p[0]), p[1] + i / parts * (q[1] - p[1]))
            for p, q in pairwise((*half, half[0])) for i in range(parts)]


def _crossings(points: Sequence[Point], at: float) -> list[float]:
    """The second coordinate where the ring's first one is ``at``."""
    return [p[1] + (at - p[0]) / (q[0] - p[0]) * (q[1] - p[1]) for p, q in pairwise((*points, points[0]))
            if (p[0] > at) != (q[0] > at)]


def _clipped(points: Sequence[Point], over: Callable[[Point], float]) -> list[Point]:
    """The part of a ring where ``over`` (linear in the point) is above 0."""
    found: list[Point] = []
    if not points:
        return found
    values = [over(p) for p in points]
    for (p, at), (q, to) in pairwise([*zip(points, values, strict=True), (points[0], values[0])]):
        if at > 0:
            found.append(p)
        if (at > 0) != (to > 0):
            share = at / (at - to)
            found.append((p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])))
    return found
