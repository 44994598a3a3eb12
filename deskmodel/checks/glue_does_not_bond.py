"""A glue does not hold this pair as the joint needs it.

Finds: elastic or contact glue in laminates and between members whose grain runs the same way; members that only their end
    grain holds; rigid glue (PVAc) across the grain over more than 100 mm; contact glue on faces of one part that are not
    parallel.
Why it matters: elastic and contact glue give way under load that stays; end grain drinks its glue and tears off; wood glued
    across the grain cracks when it moves; a part that has touched contact glue cannot be pushed against its second face.
How measured: from the glue, the faces, the grain and the box in which the faces meet. Across the grain: the longest side of
    that box square to the grain of either member.
Limits: what a glue cannot bond at all (PVAc on metal) is refused by the joint; a layer of wrong thickness is found by
    joint-faces-apart. Strength is not calculated. End grain that is dowelled or screwed to the same part, or a member that
    another joint holds as well, is not told.
Sources: common practice; movement of 100 mm of ash across the grain, 1 to 1.6 mm from 6 to 12 % moisture: Wood Handbook,
    Table 13-5.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.faces import PlacedPart
from deskmodel.findings import Finding
from deskmodel.frames import Vec, dot
from deskmodel.joints import JointRecord
from deskmodel.joints.face_dowels import ENDS
from deskmodel.part import Member
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]

ACROSS = 100.0
"""mm of wood across the grain that rigid glue may hold (common practice)."""

_GIVES = ("elastic", "contact")
_LOOSE = ("rest", "bond")  # joints that hold nothing by themselves
_PARALLEL = 0.999

_Told = tuple[tuple[str, ...], str, str, Vec, float | None]  # parts, what, remedy, where, mm across the grain


def run(facts: Facts) -> list[Finding]:
    glued = [record for record in sorted(facts.model.joints, key=lambda each: each.name) if record.glue]
    by_part: dict[str, list[JointRecord]] = {}
    for record in sorted(facts.model.joints, key=lambda each: each.name):
        for name in dict.fromkeys((record.a, record.b)):
            by_part.setdefault(name, []).append(record)
    told: list[_Told] = []
    for record in glued:
        told += [*_gives(facts, record), *_end_grain(facts, record, by_part), *_across(facts, record)]
    told += _grabs(facts, glued)
    return [Finding("glue-does-not-bond", "warn", parts, f"{what}, at {at(point)}", remedy, point=point, measured=wide,
                    required=None if wide is None else ACROSS, unit=None if wide is None else "mm", source="common practice",
                    lines=lines_of(facts, parts)) for parts, what, remedy, point, wide in told]


def _gives(facts: Facts, record: JointRecord) -> Iterator[_Told]:
    a, b = (facts.model.part(name) for name in (record.a, record.b))
    if record.glue in _GIVES and isinstance(a.part, Member) and isinstance(b.part, Member) and _along(a, b):
        yield ((a.name, b.name), f"{record.glue} glue between {a.name} and {b.name}, grain to grain, gives way under "
               "load that stays", "PVAc: wood to wood, the faces touching", record.point, None)


def _end_grain(facts: Facts, record: JointRecord, by_part: dict[str, list[JointRecord]]) -> Iterator[_Told]:
    for name, face, other in ((record.a, record.faces[0], record.b), (record.b, record.faces[1], record.a)):
        if face not in ENDS or not isinstance(facts.model.part(name).part, Member):
            continue
        if not any(_holds(name, each) for each in by_part[name]):
            yield ((name, other), f"{name} is held on {other} by its end grain alone, in {record.glue} glue",
                   "dowel or screw it, or glue it along its side as well", record.point, None)
            return


def _holds(name: str, record: JointRecord) -> bool:
    """Whether the joint holds the part otherwise than by glue on its end grain."""
    if record.kind not in _LOOSE:
        return True
    return bool(record.glue) and (record.faces[0] if record.a == name else record.faces[1]) not in ENDS


def _across(facts: Facts, record: JointRecord) -> Iterator[_Told]:
    a, b = (facts.model.part(name) for name in (record.a, record.b))
    if record.glue != "PVAc" or not isinstance(a.part, Member) or not isinstance(b.part, Member) or _along(a, b):
        return
    if record.faces[0] in ENDS or record.faces[1] in ENDS:
        return
    sides = [record.region[1][i] - record.region[0][i] for i in range(3)]
    wide = max(side for part in (a, b) for i, side in enumerate(sides) if abs(part.pose.axis(0)[i]) < 1 - _PARALLEL)
    if wide > ACROSS + LENGTH:
        yield ((a.name, b.name), f"PVAc holds {wide:.0f} mm of {a.name} and {b.name} across the grain",
               "elastic glue, screws in slots, or a narrower piece", record.point, wide)


def _grabs(facts: Facts, glued: list[JointRecord]) -> Iterator[_Told]:
    faces: dict[str, list[tuple[Vec, str, JointRecord]]] = {}
    for record in glued:
        if record.glue == "contact":
            for name, face, other in ((record.a, record.faces[0], record.b), (record.b, record.faces[1], record.a)):
                faces.setdefault(name, []).append((facts.model.part(name).face(face).normal, other, record))
    for name, sides in sorted(faces.items()):
        first = sides[0]
        beside = [side for side in sides if abs(dot(side[0], first[0])) < _PARALLEL]
        if beside and len({side[1] for side in sides}) > 1:
            others = dict.fromkeys(side[1] for side in (first, *beside))
            yield ((name, *others), f"{name} is to be stuck to {' and '.join(others)} in contact glue at once: it cannot be "
                   "pushed against the second face once it has touched the first", "PVAc or elastic glue on one of them",
                   first[2].point, None)


def _along(a: PlacedPart, b: PlacedPart) -> bool:
    return abs(dot(a.pose.axis(0), b.pose.axis(0))) > _PARALLEL


CHECK = Check("glue-does-not-bond", "model", __doc__, run)
