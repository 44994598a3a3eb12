"""Where the screws of a row go: evenly, then aside from glue lines, dowelled ends and whatever is cut there."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart
from deskmodel.features._base import span
from deskmodel.frames import Vec, add, cross, dot, scale, sub
from deskmodel.joints._base import Site
from deskmodel.part import removals_of
from deskmodel.profiles import circle, inside
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["FROM_DOWELLED_END", "FROM_END", "FROM_GLUE_LINE", "from_datum_end", "row"]

FROM_GLUE_LINE = 20.0
"""mm from an insert's axis to a glue line between parts (common practice)."""

FROM_DOWELLED_END = 40.0
"""mm from an insert's axis to an end that carries dowels (common practice)."""

FROM_END = 20.0
"""mm from an insert's axis to any other end: the insert would split the wood (common practice)."""

_GLUE_LINES = {"dowel joint", "through dowels"}  # of these joints; parts glued along their length are one piece

_STEP = 1.0  # mm
_FROM_CUT = 3.0  # mm of material between the fixing and any other cut

Span = tuple[float, float]


def row(site: Site, pair: FacePair, plate: PlacedPart, member: PlacedPart, pitch: float, width: float,
        depth: float) -> list[float]:
    """mm from the start of the pair's long axis. ``width`` is the diameter of what goes in, ``depth`` its depth in
    the member. InputFault where nothing fits."""
    length = pair.long_axis[2]
    dowelled = [r for r in site.records if r.kind in _GLUE_LINES and member.name in (r.a, r.b)]
    blocked = [each for record in dowelled for each in _glue_lines(record.region, pair, depth)]
    blocked += _cuts(plate, pair, width, pair.a.behind)
    blocked += _cuts(member, pair, width, depth)
    blocked += _off_the_plate(pair, width)
    low, high = FROM_END, length - FROM_END
    places: list[float] = []

    def put(wanted: float, after: float, before: float) -> bool:
        free = _nearest_free(wanted, blocked, after, before)
        fits = free is not None and all(abs(free - other) >= 2 * width for other in places)
        if free is not None and fits:
            places.append(free)
        return fits

    for wanted in _evenly(low, high, pitch):
        put(wanted, low, high)
    while any(put((a + b) / 2, a, b) for a, b in pairwise(sorted(places)) if b - a > 1.5 * pitch):
        pass  # screws that stepped aside, or found no place, left a long stretch with room in its middle
    if not places:
        raise InputFault(f"no place for a screw through {plate.name!r} into {member.name!r}",
                         allowed="a free stretch, 20 mm from glue lines and ends and 40 from dowelled ends")
    return sorted(places)


def from_datum_end(at: Iterable[float], member: PlacedPart, start: Vec, along: Vec, length: float) -> list[float]:
    """mm along the row of places that are told in mm from the member's datum end."""
    grain = dot(member.pose.axis(0), along)
    if abs(grain) > 1 - ANGLE:  # the plate may begin short of the member's end
        first, sense = dot(sub(start, member.pose.origin), member.pose.axis(0)), math.copysign(1.0, grain)
    else:
        first, sense = 0.0, 1.0
    places = [(place - first) * sense for place in at]
    for told_as, place in zip(at, places, strict=True):
        if not 0 < place < length:
            low, high = sorted((first, first + sense * length))
            raise InputFault(f"screw at {told_as:g} along {member.name!r}", allowed=f"between {low:g} and {high:g} mm")
    return places


def _evenly(low: float, high: float, pitch: float) -> list[float]:
    """Both ends and as many between them as keep ``pitch``; the middle where the two ends are one."""
    if high - low < LENGTH:
        return [(low + high) / 2] if high > low - LENGTH else []
    count = max(2, math.ceil((high - low) / pitch - LENGTH) + 1)
    return [low + (high - low) * i / (count - 1) for i in range(count)]


def _glue_lines(region: tuple[Vec, Vec], pair: FacePair, depth: float) -> Iterator[Span]:
    """What a dowel joint blocks along the row: its region and 20 to each side, or 40 from an end it stands at; nothing
    where the inserts, ``depth`` deep, pass it 20 away on the side or above it."""
    start, along, length, _ = pair.long_axis
    inwards = scale(pair.b.normal, -1.0)
    low, high = span(region, along, start)
    left, right = span(region, cross(inwards, along), start)
    top, bottom = span(region, inwards, start)
    at_end = high - low < 1e-6
    if not at_end and math.hypot(max(left, -right, 0.0), max(top - depth, -bottom, 0.0)) >= FROM_GLUE_LINE - LENGTH:
        return
    margin = FROM_DOWELLED_END if at_end else FROM_GLUE_LINE
    if high > -margin and low < length + margin:
        yield low - margin, high + margin


def _cuts(part: PlacedPart, pair: FacePair, width: float, depth: float) -> Iterator[Span]:
    """The stretches of the row in which something else is cut into the part."""
    start, along, _, _ = pair.long_axis
    back = part.pose.inverse()
    face = pair.a if any(face == pair.a for face in part.joint_faces()) else pair.b
    start, along, normal = back.apply(start), back.turn(along), back.turn(face.normal)
    reach = width / 2 + _FROM_CUT
    for removal in removals_of(part.part):
        left, right = span(removal.bounds, cross(normal, along), start)
        if left < reach and right > -reach and -span(removal.bounds, normal, start)[1] < depth + _FROM_CUT:
            low, high = span(removal.bounds, along, start)
            yield low - reach, high + reach


def _off_the_plate(pair: FacePair, width: float) -> Iterator[Span]:
    """The stretches of the row in which a hole of ``width`` would leave the plate, looked for every ``_STEP``: a plate that
    is no rectangle covers only part of the box about it."""
    vertices = pair.a.outline.vertices
    if len({x for x, _, _ in vertices}) == len({y for _, y, _ in vertices}) == 2 and len(vertices) == 4:
        return  # the row lies in the middle of where a rectangle and the member overlap
    start, along, length, _ = pair.long_axis
    for i in range(math.ceil(length / _STEP) + 1):
        u, v, _ = pair.a.coordinates(add(start, scale(along, i * _STEP)))
        if not inside(circle(width, (u, v)), pair.a.outline):
            yield (i - 1) * _STEP, (i + 1) * _STEP


def _nearest_free(place: float, blocked: Sequence[Span], low: float, high: float) -> float | None:
    candidates = [place, *(edge for each in blocked for edge in each)]
    free = [c for c in candidates if low <= c <= high and not any(a < c - 1e-9 and c + 1e-9 < b for a, b in blocked)]
    return min(free, key=lambda c: (abs(c - place), c)) if free else None
