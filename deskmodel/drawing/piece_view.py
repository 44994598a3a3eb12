"""A small drawing of a member for the bench: its face edge over its face side, marks, cuts, holes, places from the datum
end.

    from above      +----------------------------------+  back side
    (face edge)     |  o                 ||            |  || the mark of the face edge, at the face side
                    +----------------------------------+  face side
    from the front  #----------------------------------+  face edge
    (face side)     #                    /\\            |  /\\ the mark of the face side, pointing to the face edge
                    #----------------------------------+
                    # datum end
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from deskmodel.drawing.dimensions import figure, polyline, rectangle_path, spread
from deskmodel.drawing.records import LayerName, Path, Point, Record, Text, moved
from deskmodel.features import Bevel, Hole, Prism, Removal
from deskmodel.part import Member, cuts_of
from deskmodel.profiles import circle
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["face_marks", "member_figure"]

_TEXT = 2.1
_APART = 3.0  # between turned figures
_FIGURES = 11.0  # length of turned figures with their leaders
_TALL = 26.0  # of paper for the larger side of the section
_BETWEEN = 3.0
_BLACK = (0, 0, 0)
_ENDS = ("datum end", "far end")
_FILL = (240, 226, 196)


@dataclass(frozen=True, slots=True)
class _View:
    """One of the two views. ``across``: the part's axis that runs up the paper (2: face side, 1: face edge)."""

    across: int
    faces: tuple[str, str]  # the one that is seen, the one behind
    low: Point
    along: float
    tall: float

    @property
    def into(self) -> int:
        return 3 - self.across

    def at(self, x: float, other: float) -> Point:
        return self.low[0] + x / self.along, self.low[1] + other / self.tall


def member_figure(part: Member, room: float) -> tuple[tuple[Record, ...], tuple[float, float], tuple[float, float]]:
    """(records, size in mm of paper, (1 : along, 1 : across)); the lower left corner at (0, 0), at most ``room`` wide."""
    name_room = 22.0
    tall = max(part.section) / _TALL
    along = max(part.length / (room - name_room), tall)
    wide, high, deep = part.length / along, part.section[1] / tall, part.section[0] / tall
    front = _View(2, ("face side", "back side"), (0.0, _FIGURES), along, tall)
    above = _View(1, ("face edge", "under edge"), (0.0, _FIGURES + high + _BETWEEN), along, tall)
    top = _FIGURES + high + _BETWEEN + deep
    records: list[Record] = []
    for view, side in ((front, part.section[1]), (above, part.section[0])):
        records += _view(part, view, side)
        records.append(Text(view.faces[0], (wide + 2.0, view.at(0, side / 2)[1] - _TEXT / 2), _TEXT))
    records += _ordinates(_places(part, front), front, _FIGURES, down=True)
    records += _ordinates(_places(part, above), above, top, down=False)
    spot = _free_spot(part, along)
    records += [moved(record, (spot, front.low[1])) for record in face_marks(0.0, high)[:1]]
    records += [moved(record, (spot, above.low[1])) for record in face_marks(0.0, high)[1:]]
    records.append(rectangle_path("fill", -1.2, front.low[1], 0.0, top, _BLACK))
    return tuple(moved(record, (1.2, 0.0)) for record in records), (room, top + _FIGURES), (along, tall)


def face_marks(x: float, high: float) -> tuple[Record, ...]:
    """Our own marks: a filled triangle on the face side whose tip points to the face edge (``high`` mm up), and two strokes
    on the face edge that stand on the face side (at 0). Around ``x``."""
    half = 1.8
    triangle = Path("fill", (((x - half, high - 5.0, 0.0), (x + half, high - 5.0, 0.0), (x, high - 0.8, 0.0)),), _BLACK)
    strokes = [polyline("cut", (x + shift, 0.0), (x + shift, 3.6)) for shift in (-0.7, 0.7)]
    return triangle, *strokes


def _view(part: Member, view: _View, side: float) -> Iterator[Record]:
    (x0, y0), (x1, y1) = view.at(0.0, 0.0), view.at(part.length, side)
    yield rectangle_path("visible", x0, y0, x1, y1, _FILL)
    for feature, removals in cuts_of(part):
        for removal in removals:
            if isinstance(feature, Hole):
                yield from _hole(part, feature, removal, view)
            else:
                seen = _reaches(part, removal, view)
                if isinstance(feature, Bevel):
                    yield from _box(removal, view, "visible" if seen else "hidden", None)
                else:
                    yield from _cut(removal, view, seen)


def _hole(part: Member, hole: Hole, removal: Removal, view: _View) -> Iterator[Record]:
    """Round where its face is seen, dashed where it is behind; a hole in an end as its dashed outline. Holes in the two
    other faces are left to the other view."""
    if hole.face in _ENDS:
        yield from _box(removal, view, "hidden", None)
    if hole.face not in view.faces:
        return
    face = part.blank.face(hole.face)
    p = face.point(*hole.at)
    x, y = view.at(p[0], p[view.across])
    layer: LayerName = "visible" if hole.face == view.faces[0] or hole.depth is None else "hidden"
    widest = max(hole.diameter, *(pair[0] for pair in (hole.counterbore, hole.countersink) if pair), 0.0)
    for diameter in sorted({hole.diameter, widest}):
        yield Path(layer, (circle(diameter / view.tall, (x, y)).vertices,), (255, 255, 255) if layer == "visible" else None)


def _cut(removal: Removal, view: _View, seen: bool) -> Iterator[Record]:
    layer: LayerName = "visible" if seen else "hidden"
    ground = (255, 255, 255) if seen else None
    if isinstance(removal, Prism) and abs(abs(removal.pose.axis(2)[view.into]) - 1.0) <= ANGLE:
        points = [removal.pose.apply((x, y, 0.0)) for x, y in removal.profile.points()]
        outline = tuple((*view.at(p[0], p[view.across]), 0.0) for p in points)
        yield Path(layer, (outline,), ground)
    else:
        yield from _box(removal, view, layer, ground)


def _box(removal: Removal, view: _View, layer: LayerName, ground: tuple[int, int, int] | None) -> Iterator[Record]:
    low, high = removal.bounds
    (x0, y0), (x1, y1) = view.at(low[0], low[view.across]), view.at(high[0], high[view.across])
    yield rectangle_path(layer, x0, y0, x1, y1, ground)


def _reaches(part: Member, removal: Removal, view: _View) -> bool:
    """Whether the cut opens in the face that is seen."""
    low, high = removal.bounds
    if view.across == 2:
        return low[1] <= LENGTH
    return high[2] >= part.section[1] - LENGTH


def _places(part: Member, view: _View) -> list[float]:
    """x of what is marked out in the faces of a view: holes, beginnings and ends of cuts."""
    found: set[float] = {0.0, round(part.length, 6)}
    for feature, removals in cuts_of(part):
        face = getattr(feature, "face", "")
        if isinstance(feature, Hole) and face in view.faces:
            found.add(round(part.blank.face(face).point(*feature.at)[0], 6))
        elif not isinstance(feature, Hole) and (face in view.faces or (face in _ENDS and view.across == 2)):
            for removal in removals:
                found |= {round(removal.bounds[0][0], 6), round(removal.bounds[1][0], 6)}
    return sorted(found)


def _ordinates(places: Sequence[float], view: _View, line_y: float, *, down: bool) -> Iterator[Record]:
    """Figures from the datum end, turned, spread where they would touch; where there is no room, every other one."""
    at = [view.at(x, 0.0)[0] for x in places]
    room = max(at[-1] - at[0], _APART)
    while len(places) > 2 and (len(places) - 1) * _APART > room + 8.0:
        places = [*places[:-1:2], places[-1]]
        at = [view.at(x, 0.0)[0] for x in places]
    for x, wanted, spot in zip(places, at, spread(at, _APART), strict=True):
        middle = line_y - 2.6 if down else line_y + 2.6
        yield polyline("dimension", (wanted, line_y - 0.6 if down else line_y + 0.6), (spot, middle))
        at_text = spot + _TEXT / 2, middle - 0.5 if down else middle + 0.5
        yield Text(figure(x), at_text, _TEXT, "end" if down else "start", 90)


def _free_spot(part: Member, along: float) -> float:
    """Middle of the widest stretch without anything in it, mm of paper."""
    taken: list[float] = [0.0, part.length]
    for _, removals in cuts_of(part):
        for removal in removals:
            low, high = removal.bounds
            if high[0] - low[0] < part.length / 2:
                taken += [low[0], high[0]]
    start, stop = max(pairwise(sorted(taken)), key=lambda pair: (round(pair[1] - pair[0], 6), -pair[0]))
    return (start + stop) / 2 / along
