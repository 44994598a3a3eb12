"""Story sticks of a desk: where the jigs are laid along its members, and where other holes of their sides and edges lie."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from deskmodel.drawing.dimensions import figure
from deskmodel.faces import PlacedPart
from deskmodel.features._base import span
from deskmodel.jigs._types import JigPlan, JigUse
from deskmodel.joints import JointRecord
from deskmodel.model import DeskModel
from deskmodel.part import Member
from deskmodel.plans import DrillRow, StickMark, StorySticks, drilling_schedule

__all__ = ["story_sticks"]

_ENDS = ("datum end", "far end")
_PLACES = ("face side", "back side", "face edge", "under edge")


def story_sticks(model: DeskModel, plan: JigPlan) -> tuple[StorySticks, ...]:
    """A set of sticks for every kind of member with holes in its sides or edges, in the order of their names.

    Holes that a jig drills are marked as the jig is laid (``JigUse.mark``), all others by their axis. Holes that are
    spotted through what is screwed on need no mark."""
    schedule = drilling_schedule(model)
    joints = {record.name: record for record in model.joints}
    groups = {row.parts: [r for r in schedule.rows if r.parts == row.parts] for row in schedule.rows}
    made = []
    for parts, rows in sorted(groups.items()):
        first = model.part(parts[0])
        if not isinstance(first.part, Member):
            continue
        uses = [use for use in plan.uses if use.member in parts and use.mark is not None]
        marks = [*_by_jig(model, plan, uses, parts, joints), *_by_axis(model, rows, uses, joints)]
        if marks:
            marks.sort(key=lambda mark: (_PLACES.index(mark.place), mark.at, mark.towards or "", mark.jig, mark.holes))
            made.append(StorySticks(parts, rows[0].stock, first.part.length, tuple(marks),
                                    tuple(schedule.marks.get(part, "") for part in parts)))
    return tuple(made)


def _by_jig(model: DeskModel, plan: JigPlan, uses: list[JigUse], parts: tuple[str, ...],
            joints: Mapping[str, JointRecord]) -> Iterator[StickMark]:
    for use in uses:
        if use.mark is None:
            continue
        by_member = dict(zip(use.members, use.joints, strict=True))
        records = [joints.get(by_member.get(part, "")) for part in parts]
        known = [(part, record) for part, record in zip(parts, records, strict=True) if record is not None]
        breadth = _breadth(model.part(known[0][0]), known[0][1], use) if known else None
        names = tuple(_other(part, record, "") for part, record in zip(parts, records, strict=True))
        jig = plan.jig(use.jig)
        yield StickMark(use.mark, use.place, use.towards, breadth, names, use.jig,
                        _holes(len(use.holes), jig.diameter, use.depth.depth, use.depth.through))


def _by_axis(model: DeskModel, rows: list[DrillRow], uses: list[JigUse],
             joints: Mapping[str, JointRecord]) -> Iterator[StickMark]:
    drilled = {(use.place, round(x, 4), round(y, 4)) for use in uses for x, y in use.holes}
    alike: dict[tuple[str, float, float, float, bool], list[DrillRow]] = defaultdict(list)
    for row in rows:
        if row.face not in _ENDS and not row.spotted and (row.face, round(row.x, 4), round(row.y, 4)) not in drilled:
            alike[row.face, round(row.x, 4), row.diameter, row.shoulder, row.through].append(row)
    for (face, _, diameter, depth, through), same in alike.items():
        names = tuple(_other(part, joints.get(joint), same[0].purpose)
                      for part, joint in zip(same[0].parts, same[0].joints, strict=True))
        across = f"{' and '.join(figure(y) for y in sorted(row.y for row in same))} from the {same[0].y_from}"
        holes = f"{_holes(len(same), diameter, depth, through)}, {across}"
        yield StickMark(same[0].x, face, None, None, names, "", holes)


def _holes(count: int, diameter: float, depth: float, through: bool) -> str:
    return f"{count} × Ø {diameter:g}, {'through' if through else f'{depth:g} deep'}"


def _other(part: str, record: JointRecord | None, else_: str) -> str:
    if record is None:
        return else_
    return record.b if record.a == part else record.a


def _breadth(placed: PlacedPart, record: JointRecord, use: JigUse) -> float | None:
    """How far the faces of a joint reach along a member, mm; None where they do not begin at the line, which then is one
    for the jig alone."""
    if use.mark is None or use.towards is None:
        return None
    low, high = span(record.region, placed.pose.axis(0), placed.pose.origin)
    return high - low if abs((low if use.towards == "far end" else high) - use.mark) < 0.01 else None
