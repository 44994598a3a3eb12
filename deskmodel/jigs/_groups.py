"""The dowel holes of members by seat: which of them one jig drills in one place, and from which mark.

Read from the drilling schedule; what enters where is found from the holes that face each other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from deskmodel.faces import PlacedPart
from deskmodel.frames import dot, sub
from deskmodel.jigs._types import Lip, Place, Towards
from deskmodel.model import DeskModel
from deskmodel.part import Member
from deskmodel.plans import DrillRow, drilling_schedule
from deskmodel.plans.bored import Bored, bored, facing_holes
from deskmodel.tolerances import LENGTH

__all__ = ["ENDS", "LIPS", "Group", "Line", "SeatHole", "Strange", "seat_groups"]

ENDS = ("datum end", "far end")
LIPS: Mapping[str, Lip] = {"face side": "face edge", "back side": "face edge", "face edge": "face side",
                           "under edge": "face side"}
"""The edge that a face jig on this face hangs over."""

_SQUARE = 1 - 1e-9


@dataclass(frozen=True, slots=True)
class Line:
    """A mark across a member at ``at`` mm from its datum end; the holes lie ``towards`` that end from it. ``entering``: the
    member whose face it is."""

    at: float
    towards: Towards
    entering: str


@dataclass(frozen=True, slots=True)
class SeatHole:
    """``axis``: its distances from what the jig registers by: an end (from the face side, from the face edge), a face (from
    the mark, from the edge under the lip). ``row``: the hole in the schedule; ``index`` of the part in it."""

    axis: tuple[float, float]
    row: DrillRow
    index: int

    @property
    def joint(self) -> str:
        return self.row.joints[self.index]


@dataclass(frozen=True)
class Group:
    """Holes of one diameter and depth that one jig drills in one seating, in ``member``. ``line``: None on ends, and where
    the holes are marked by themselves; then the distance from the mark is 0."""

    member: str
    place: Place
    holes: tuple[SeatHole, ...]
    line: Line | None

    @property
    def diameter(self) -> float:
        return self.holes[0].row.diameter

    @property
    def depth(self) -> float:
        return self.holes[0].row.shoulder

    @property
    def through(self) -> bool:
        return self.holes[0].row.through

    @property
    def axes(self) -> tuple[tuple[float, float], ...]:
        return tuple(hole.axis for hole in self.holes)

    @property
    def at_end(self) -> bool:
        return self.place in ENDS


@dataclass(frozen=True, slots=True)
class Strange:
    """A dowel hole that no jig can be seated for: ``why``."""

    part: str
    row: DrillRow
    joint: str
    why: str
    remedy: str


def seat_groups(model: DeskModel) -> tuple[list[Group], list[Strange]]:
    """All dowel holes of the desk, by seat, in the order of members and places."""
    holes = list(bored(model.parts, ("dowel",)))
    mates: dict[tuple[str, str, tuple[float, float]], list[Bored]] = {}
    for pair in facing_holes(holes):
        for one, other in ((pair.a, pair.b), (pair.b, pair.a)):
            mates.setdefault((one.part, one.hole.face, one.hole.at), []).append(other)
    groups: dict[tuple[object, ...], list[SeatHole]] = {}
    lines: dict[tuple[object, ...], Line | None] = {}
    strange: list[Strange] = []
    for row, index, part in _dowel_rows(model):
        placed = model.part(part)
        why = _unseatable(placed, row)
        if why is not None:
            strange.append(Strange(part, row, row.joints[index], *why))
            continue
        line, axis = _seat(model, placed, row, mates.get((part, row.face, row.at), []))
        where: object = (round(line.at, 6), line.towards, line.entering) if line else None
        if line is None and row.face not in ENDS:
            where = (round(row.x, 6), row.joints[index])
        key = (part, row.face, where, round(row.diameter, 6), round(row.shoulder, 6), row.through)
        groups.setdefault(key, []).append(SeatHole(axis, row, index))
        lines[key] = line
    made = [Group(str(key[0]), key[1], tuple(sorted(found, key=lambda h: (_rounded(h.axis), h.row.at))), lines[key])  # type: ignore[arg-type]  # the face of a member
            for key, found in groups.items()]
    return sorted(made, key=_order), strange


def _dowel_rows(model: DeskModel) -> Iterator[tuple[DrillRow, int, str]]:
    for row in drilling_schedule(model).rows:
        if row.purpose == "dowel":
            for index, part in enumerate(row.parts):
                yield row, index, part


def _unseatable(placed: PlacedPart, row: DrillRow) -> tuple[str, str] | None:
    if not isinstance(placed.part, Member):
        return ("a plate has no face side and face edge to seat a jig on",
                "mark out from its left and front edge and drill with a guide block, or with centre points in the holes of "
                "the member that lies on it")
    if row.stage != "drill":
        return f"it is drilled at the stage “{row.stage}”, not on the bench", "drill it through the part that it belongs to"
    return None


def _seat(model: DeskModel, placed: PlacedPart, row: DrillRow,
          mates: list[Bored]) -> tuple[Line | None, tuple[float, float]]:
    if row.face in ENDS:
        return None, (row.x, row.y)
    for mate in mates:
        found = _line(placed, model.part(mate.part), mate)
        if found is not None:
            return found[0], (found[1], row.y)
    return None, (0.0, row.y)


def _line(placed: PlacedPart, other: PlacedPart, mate: Bored) -> tuple[Line, float] | None:
    """The line of the face of ``other`` that runs across the member, and how far its hole lies from that face: the face
    side where the member enters upright, the face edge where it enters on its side. None unless it enters with an end."""
    if not isinstance(other.part, Member) or mate.hole.face not in ENDS or not isinstance(placed.part, Member):
        return None
    height = other.part.section[1]
    y, z = mate.hole.at
    along = placed.pose.axis(0)
    for inwards, corner, distance in ((other.pose.axis(1), (0.0, 0.0, 0.0), y),
                                      (tuple(-c for c in other.pose.axis(2)), (0.0, 0.0, height), height - z)):
        way = dot(inwards, along)  # type: ignore[arg-type]  # three numbers
        if abs(way) >= _SQUARE:
            at = dot(sub(other.pose.apply(corner), placed.pose.origin), along)
            if -LENGTH <= at <= placed.part.length + LENGTH:  # else there is no wood to mark
                return Line(at + 0.0, "far end" if way > 0 else "datum end", other.name), distance
    return None


def _rounded(axis: tuple[float, float]) -> tuple[float, float]:
    return round(axis[0], 6) + 0.0, round(axis[1], 6) + 0.0


def _order(group: Group) -> tuple[object, ...]:
    line = (group.line.at, group.line.towards, group.line.entering) if group.line else (group.holes[0].row.x, "", "")
    return (group.member, group.place, *(round(v, 6) if isinstance(v, float) else v for v in line), group.diameter,
            group.depth)
