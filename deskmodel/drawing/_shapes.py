"""What is seen of a placed part from above and from the front, and what a plane cuts of it: closed forms of its blank."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Protocol

from deskmodel._edges import Edge, arc_circle, edge_box
from deskmodel.drawing.records import Outline
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import Prism, Removal
from deskmodel.frames import Pose, Vec
from deskmodel.part import Bodies, BoxBlank, FoldedBlank, SheetBlank, removals_of
from deskmodel.profiles import Profile
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["cut_stretches", "from_above", "hull", "openings", "removal_from_above", "shape_cuts",
           "sheet_pieces"]

_FASTENING = ("dowel", "insert", "screw")


def from_above(placed: PlacedPart) -> list[Outline]:
    """Its outlines in the desk's x, y, one for each body; exact for boxes at any turn and for what lies flat."""
    blank, pose = placed.part.blank, placed.pose
    if isinstance(blank, SheetBlank) and abs(pose.axis(2)[2]) > 1 - ANGLE:
        return [_flat(blank.outline, pose)]
    if isinstance(blank, FoldedBlank):
        return [outline for outline, _, _, _ in sheet_pieces(placed)]
    if isinstance(blank, Bodies):
        return [_prism_above(pose, body) for body in blank.bodies]
    if isinstance(blank, BoxBlank):
        (x0, y0, z0), (x1, y1, z1) = blank.bounds
        return [_hull_of(pose, (x0, y0, z0), (x1, y1, z1))]
    (x0, y0, _), (x1, y1, _) = placed_box(placed)
    return [_corners(x0, y0, x1, y1)]


def sheet_pieces(placed: PlacedPart) -> Iterator[tuple[Outline, float, float, bool]]:
    """(outline from above, z from, z to, whether it lies flat) of a sheet; of a bent one, of its panels and its bends by the
    boxes about them."""
    blank, pose = placed.part.blank, placed.pose
    if not isinstance(blank, FoldedBlank):
        (_, _, z0), (_, _, z1) = placed_box(placed)
        for outline in from_above(placed):
            yield outline, z0, z1, isinstance(blank, SheetBlank) and abs(pose.axis(2)[2]) > 1 - ANGLE
        return
    for panel in blank.folding.panels:
        flat = _prism_above(pose, Prism(panel.region, panel.pose, panel.thickness))
        yield flat, *_heights(panel, pose), abs(pose.turn(panel.w)[2]) > 1 - ANGLE
    for bend in blank.folding.bends:
        low, high = ([sign * bend.reach((sign * float(i == 0), sign * float(i == 1), sign * float(i == 2)))
                      for i in range(3)] for sign in (-1, 1))
        outline = _hull_of(pose, (low[0], low[1], low[2]), (high[0], high[1], high[2]))
        yield outline, *_heights(bend, pose), False


class _Reaching(Protocol):
    def reach(self, direction: Vec) -> float: ...


def _heights(piece: _Reaching, pose: Pose) -> tuple[float, float]:
    up = pose.inverse().turn((0.0, 0.0, 1.0))
    return pose.origin[2] - piece.reach((-up[0], -up[1], -up[2])), pose.origin[2] + piece.reach(up)


def removal_from_above(pose: Pose, removal: Removal) -> Outline:
    """The outline of a cut in the desk's x, y."""
    if isinstance(removal, Prism):
        return _prism_above(pose, removal)
    return _hull_of(pose, *removal.bounds)


def shape_cuts(placed: PlacedPart) -> Iterator[tuple[str, Removal]]:
    """(purpose, cut) of the features that a reader of a drawing looks for: all but the holes of fastenings."""
    for feature in placed.part.features:
        if feature.purpose not in _FASTENING:
            for removal in feature.removals(placed.part.blank):
                yield feature.purpose, removal


def openings(placed: PlacedPart) -> list[Outline]:
    """The openings right through a plate that lies flat, in the desk's x, y."""
    blank = placed.part.blank
    if not isinstance(blank, SheetBlank | FoldedBlank):
        return []
    return [_prism_above(placed.pose, removal) for removal in removals_of(placed.part)
            if isinstance(removal, Prism) and abs(removal.depth - blank.thickness) <= LENGTH
            and abs(placed.pose.turn(removal.pose.axis(2))[2]) > 1 - ANGLE]


def cut_stretches(outlines: Sequence[Outline], holes: Sequence[Outline], axis: int,
                  at: float) -> list[tuple[float, float]]:
    """Where the line ``axis`` = ``at`` (0: x, 1: y) runs in the outlines and in none of the holes; ascending."""
    at += 1.234e-7  # beside a corner or an edge that lies just on the line
    inside = [pair for outline in outlines for pair in _pairs(outline, axis, at)]
    gaps = sorted(pair for hole in holes for pair in _pairs(hole, axis, at))
    found = []
    for low, high in sorted(inside):
        for start, end in gaps:
            if end > low and start < high:
                if start > low:
                    found.append((low, start))
                low = max(low, end)
        if high > low:
            found.append((low, high))
    return found


def _pairs(outline: Outline, axis: int, at: float) -> Iterator[tuple[float, float]]:
    crossings = sorted(c for edge in Profile(outline).edges() for c in _crossings(edge, axis, at))
    yield from zip(crossings[::2], crossings[1::2], strict=False)


def _crossings(edge: Edge, axis: int, at: float) -> Iterator[float]:
    """The other coordinate of each place at which an edge crosses the line."""
    start, end, bulge = edge
    other = 1 - axis
    if not bulge:
        if (start[axis] > at) != (end[axis] > at):
            share = (at - start[axis]) / (end[axis] - start[axis])
            yield start[other] + share * (end[other] - start[other])
        return
    box = edge_box(edge)
    if not box[axis] < at < box[axis + 2]:
        return
    centre, radius, from_angle, sweep = arc_circle(edge)
    off = at - centre[axis]
    half = math.sqrt(max(0.0, radius * radius - off * off))
    for reach in (half, -half):
        angle = math.atan2(off, reach) if axis else math.atan2(reach, off)
        if (angle - from_angle) * math.copysign(1.0, sweep) % (2 * math.pi) <= abs(sweep):
            yield centre[other] + reach


def _prism_above(pose: Pose, prism: Prism) -> Outline:
    place = pose @ prism.pose
    if abs(place.axis(2)[2]) > 1 - ANGLE:
        return _flat(prism.profile, place)
    x0, y0, x1, y1 = prism.profile.bounds
    return _hull_of(place, (x0, y0, 0.0), (x1, y1, prism.depth))


def _flat(profile: Profile, pose: Pose) -> Outline:
    """An outline whose plane lies flat; seen from its other side it runs the other way, and so do its arcs."""
    points = [(*pose.apply((x, y, 0.0))[:2], bulge) for x, y, bulge in profile.vertices]
    if pose.axis(2)[2] > 0:
        return tuple(points)
    turned = points[::-1]
    bulges = [bulge for _, _, bulge in turned]
    return tuple((x, y, bulge) for (x, y, _), bulge in zip(turned, bulges[1:] + bulges[:1], strict=True))


def _hull_of(pose: Pose, low: Vec, high: Vec) -> Outline:
    corners = [pose.apply((x, y, z))[:2] for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])]
    return tuple((x, y, 0.0) for x, y in hull(corners))


def hull(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """The convex hull, anticlockwise (Andrew's monotone chain)."""
    ordered = sorted({(round(x, 9), round(y, 9)) for x, y in points})
    chains: list[list[tuple[float, float]]] = []
    for run in (ordered, ordered[::-1]):
        chain: list[tuple[float, float]] = []
        for p in run:
            while len(chain) > 1 and ((chain[-1][0] - chain[-2][0]) * (p[1] - chain[-2][1])
                                      - (chain[-1][1] - chain[-2][1]) * (p[0] - chain[-2][0])) <= 1e-12:
                chain.pop()
            chain.append(p)
        chains.append(chain[:-1])
    return chains[0] + chains[1]


def _corners(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return (x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0)
