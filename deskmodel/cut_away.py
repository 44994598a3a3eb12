"""What is left of an outline when openings are cut away that meet each other or its edge: contours that a laser can follow,
none of them doubled, arcs kept.

Each edge is split where it meets another. A stretch stays where it parts material from what is gone; run with the
material to its left, the stretches close to loops: anticlockwise ones are outlines, clockwise ones openings.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from deskmodel._edges import Edge, Point, arc_circle, arc_size, edge_box, edge_distance, edge_way, point_at, splits
from deskmodel.contours import meeting
from deskmodel.errors import InputFault
from deskmodel.profiles import Profile, check_outline, inside
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["cut_away", "groups"]

_ON = 10 * LENGTH  # mm; places nearer than this to a border lie on it


@dataclass(frozen=True)
class _Stretch:
    start: Point
    end: Point
    bulge: float


def groups(outline: Profile, cuts: Sequence[Profile]) -> tuple[list[int], list[list[int]]]:
    """Which cuts meet the outline, themselves or through others, and which of the rest meet each other or lie within one
    another: numbers of cuts. Those of neither kind are left out."""
    boxes = [cut.bounds for cut in cuts]
    order = sorted(range(len(cuts)), key=lambda i: boxes[i][0])
    leader = list(range(len(cuts) + 1))  # the last stands for the outline

    def lead(i: int) -> int:
        while leader[i] != i:
            i = leader[i]
        return i

    active: list[int] = []
    for i in order:
        active = [j for j in active if boxes[j][2] >= boxes[i][0] - LENGTH]
        for j in active:
            if boxes[j][1] <= boxes[i][3] + LENGTH and boxes[i][1] <= boxes[j][3] + LENGTH and _together(cuts[i], cuts[j]):
                leader[lead(i)] = lead(j)
        active.append(i)
    x0, y0, x1, y1 = outline.bounds
    for i, cut in enumerate(cuts):
        a0, b0, a1, b1 = boxes[i]
        box_in = min(a0 - x0, b0 - y0, x1 - a1, y1 - b1) > LENGTH
        if not (box_in and _is_box(outline)) and meeting(cut, outline) is not None:
            leader[lead(i)] = lead(len(cuts))
    by_leader: dict[int, list[int]] = {}
    for i in range(len(cuts)):
        by_leader.setdefault(lead(i), []).append(i)
    border = by_leader.pop(lead(len(cuts)), [])
    return border, [group for group in by_leader.values() if len(group) > 1]


def cut_away(outline: Profile, cuts: Sequence[Profile]) -> tuple[list[Profile], list[Profile]]:
    """(outlines, openings) of what is left, each anticlockwise, the largest first. ``cuts`` lie within the outline.
    InputFault where two of them touch in nothing but a point."""
    outlines, openings = _sorted(_loops(list(_kept(outline, cuts))))
    for shape in (*outlines, *openings):
        check_outline("what the openings leave", shape)
    return outlines, openings


def _together(a: Profile, b: Profile) -> bool:
    return meeting(a, b) is not None or inside(a, b) or inside(b, a)


def _is_box(outline: Profile) -> bool:
    x0, y0, x1, y1 = outline.bounds
    return len(outline.vertices) == 4 and abs(outline.area - (x1 - x0) * (y1 - y0)) <= LENGTH


def _kept(outline: Profile, cuts: Sequence[Profile]) -> Iterator[_Stretch]:
    different = list({cut.vertices: cut for cut in cuts}.values())
    everything = [outline, *different]
    for i, profile in enumerate(everything):
        others = [(j, other) for j, other in enumerate(everything) if j != i]
        for edge in profile.edges():
            for start, end in _pieces(edge, [other for _, other in others]):
                p = point_at(edge, (start + end) / 2)
                if all(_stays(i, edge_way(edge, p), p, j, other) for j, other in others):
                    piece = _part(edge, start, end)
                    yield piece if i == 0 else _Stretch(piece.end, piece.start, -piece.bulge)


def _stays(i: int, way: Point, p: Point, j: int, other: Profile) -> bool:
    """Whether the stretch of profile i at p, in that direction, parts material from nothing as far as profile j goes."""
    on = [edge for edge in other.edges() if edge_distance(p, edge) <= _ON]
    if not on:
        return other.contains(p) == (j == 0)  # within the outline, within no cut
    if i == 0 or j == 0:
        return False  # a cut's border on the outline: there is nothing to part any more
    along = edge_way(on[0], p)
    return way[0] * along[0] + way[1] * along[1] > 0 and i < j  # the same border of two cuts: once


def _pieces(edge: Edge, others: Sequence[Profile]) -> Iterator[tuple[float, float]]:
    """(from, to) of the stretches of an edge between its meetings with others."""
    size = math.prod(arc_size(edge)) if edge[2] else math.dist(edge[0], edge[1])
    x0, y0, x1, y1 = edge_box(edge)
    at = {0.0, 1.0}
    for other in others:
        for each in other.edges():
            a0, b0, a1, b1 = edge_box(each)
            if a0 <= x1 + _ON and x0 <= a1 + _ON and b0 <= y1 + _ON and y0 <= b1 + _ON:
                at |= {t for t in splits(edge, each) if edge_distance(point_at(edge, t), each) <= LENGTH}
    places = sorted(at)
    kept = [places[0]]
    for t in places[1:]:
        if (t - kept[-1]) * size > _ON:
            kept.append(t)
        elif t == 1.0 and len(kept) > 1:
            kept[-1] = 1.0
    if kept[-1] != 1.0:
        kept.append(1.0)
    yield from pairwise(kept)


def _part(edge: Edge, start: float, end: float) -> _Stretch:
    first, last = (edge[0] if start == 0.0 else point_at(edge, start)), (edge[1] if end == 1.0 else point_at(edge, end))
    return _Stretch(first, last, math.tan((end - start) * math.atan(edge[2])) if edge[2] else 0.0)


def _loops(pieces: list[_Stretch]) -> Iterator[list[_Stretch]]:
    left = list(pieces)
    while left:
        loop = [left.pop()]
        while math.dist(loop[-1].end, loop[0].start) > _ON:
            following = [piece for piece in left if math.dist(piece.start, loop[-1].end) <= _ON]
            if not following:
                x, y = loop[-1].end
                raise InputFault(f"openings that meet in no clear way at ({x:g}, {y:g})", allowed="one opening for both")
            # where loops touch in a corner, the sharpest turn to the left keeps them apart
            last = _way_at(loop[-1], at_end=True)
            piece = max(following, key=lambda each: _turn(last, _way_at(each, at_end=False)))
            left.remove(piece)
            loop.append(piece)
        yield loop


def _way_at(piece: _Stretch, at_end: bool) -> Point:
    return edge_way((piece.start, piece.end, piece.bulge), piece.end if at_end else piece.start)


def _turn(a: Point, b: Point) -> float:
    """Angle from direction a to b, rad; right about counts as to the right."""
    angle = math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])
    return angle if angle < math.pi - 1e-6 else -math.pi


def _sorted(loops: Iterator[list[_Stretch]]) -> tuple[list[Profile], list[Profile]]:
    outlines: list[Profile] = []
    openings: list[Profile] = []
    for loop in loops:
        joined = _joined(loop)
        shape = Profile(tuple((*piece.start, piece.bulge) for piece in joined))
        if shape.area > 0:
            outlines.append(shape)
        else:
            openings.append(Profile(tuple((*piece.end, -piece.bulge) for piece in reversed(joined))))
    for shapes in (outlines, openings):
        shapes.sort(key=lambda shape: (-shape.area, shape.vertices))
    return outlines, openings


def _joined(loop: list[_Stretch]) -> list[_Stretch]:
    """The loop without points in the middle of a straight or of an arc."""
    start = next((i for i in range(len(loop)) if not _one(loop[i - 1], loop[i])), 0)
    turned = loop[start:] + loop[:start]
    made = [turned[0]]
    for piece in turned[1:]:
        last = made[-1]
        if _one(last, piece):
            angle = math.atan(last.bulge) + math.atan(piece.bulge)  # a quarter of the whole
            made[-1] = _Stretch(last.start, piece.end, math.tan(angle) if last.bulge else 0.0)
        else:
            made.append(piece)
    return made


def _one(a: _Stretch, b: _Stretch) -> bool:
    if (a.bulge == 0) != (b.bulge == 0) or math.dist(a.start, b.end) <= _ON:
        return False
    if not a.bulge:
        (x, y), (u, v) = _way_at(a, at_end=True), _way_at(b, at_end=False)
        return abs(x * v - y * u) <= ANGLE and x * u + y * v > 0
    first, second = (arc_circle((piece.start, piece.end, piece.bulge)) for piece in (a, b))
    return (math.dist(first[0], second[0]) <= LENGTH and abs(first[1] - second[1]) <= LENGTH
            and first[3] * second[3] > 0 and abs(first[3] + second[3]) < 1.9 * math.pi)
