"""Screws of a row stand too far apart.

Finds: rows of screws through a plate in which two neighbours stand farther apart than half as much again as the joint's
    pitch, and ends of rows, near a plate's corner, with none of the plate's screws within one pitch.
Why it matters: the plate gapes and rattles between its screws, and its corner lifts.
How measured: from axis to axis along the row; from the middle of each end of where plate and member meet to the nearest
    screw of the plate, whichever member that is in.
Limits: the pitch is the one that the script gives, or the joint's own; a row that is meant to be wider says a wider pitch.
    Members that a plate lies on without a screw are not asked. Screws at given points are asked like a row.
Sources: common practice: pitches of 100 to 150 mm in sheet of 1.5 mm; screws that step aside from dowelled ends and cuts
    leave up to half as much again.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._cells import Cells
from deskmodel.checks._fixings import Fixing, fixings
from deskmodel.findings import Finding
from deskmodel.frames import Vec, add, scale, sub
from deskmodel.joints import JointRecord
from deskmodel.part import Plate
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]

BETWEEN = 1.5  # pitches from screw to screw
TO_END = 1.0  # pitches from the end of a row to the nearest screw


def run(facts: Facts) -> list[Finding]:
    by_name = {fixing.screw.name: fixing for fixing in fixings(facts.model)}
    of_plate: dict[str, Cells[Vec]] = {}
    for fixing in by_name.values():
        of_plate.setdefault(fixing.over, Cells(100.0)).add(fixing.head_at, fixing.head_at, fixing.head_at)
    found = []
    for record in sorted(facts.model.joints, key=lambda each: each.name):
        plate = facts.model.part(record.a).part
        if record.pitch is None or not isinstance(plate, Plate):
            continue
        row = [by_name[name] for name in record.hardware if name in by_name]
        for measured, wanted, what, point in _stretches(record, row, of_plate.get(record.a, Cells())):
            found.append(Finding(
                "fixing-pitch", "warn", (record.a, record.b), f"{what}, about {at(point)}",
                "add a screw there, move what is in its way, or state the pitch that is meant", point=point,
                measured=measured, required=wanted, unit="mm", source="common practice",
                lines=lines_of(facts, (record.a, record.b))))
    return found


def _stretches(record: JointRecord, row: list[Fixing], screws: Cells[Vec]) -> Iterator[tuple[float, float, str, Vec]]:
    """The widest stretch of the row, and the end that is farthest from a screw, where they are too wide."""
    assert record.pitch is not None
    low, high = record.region
    long = max(range(3), key=lambda i: (round(high[i] - low[i], 6), -i))
    face = scale(add(low, high), 0.5)
    heads = sorted((fixing.head_at for fixing in row), key=lambda p: (p[long], p))
    wide = max(((math.dist(a, b), a, b) for a, b in pairwise(heads)), default=None, key=lambda each: round(each[0], 6))
    if wide is not None and wide[0] > BETWEEN * record.pitch + LENGTH:
        yield (wide[0], BETWEEN * record.pitch, f"{record.a} has no screw into {record.b} over {wide[0]:.0f} mm, its pitch "
               f"is {record.pitch:g}", _onto(scale(add(wide[1], wide[2]), 0.5), row[0], face))
    ends = []
    for side in (low, high):
        x, y, z = (side[i] if i == long else face[i] for i in range(3))
        end = (x, y, z)
        reach = TO_END * record.pitch
        near = screws.near(sub(end, (reach, reach, reach)), add(end, (reach, reach, reach)))
        distance = min((_across(end, p, row) for p in near), default=math.inf)
        if distance > reach + LENGTH:
            ends.append((min(_across(end, p, row) for p in heads) if heads else distance, end))
    if ends and row:
        distance, end = max(ends, key=lambda each: (round(each[0], 6), each[1]))
        yield (distance, TO_END * record.pitch, f"{record.a} has no screw within {distance:.0f} mm of the end of its row on "
               f"{record.b}, its pitch is {record.pitch:g}", end)


def _across(end: Vec, head: Vec, row: list[Fixing]) -> float:
    """mm between an end and a screw's axis, in the plane of the plate."""
    offset, axis = sub(head, end), row[0].axis if row else (0.0, 0.0, 1.0)
    along = offset[0] * axis[0] + offset[1] * axis[1] + offset[2] * axis[2]
    return math.dist(offset, scale(axis, along))


def _onto(p: Vec, fixing: Fixing, face: Vec) -> Vec:
    """The point moved along the screws' axis into the plane of the face."""
    axis, offset = fixing.axis, sub(face, p)
    return add(p, scale(axis, offset[0] * axis[0] + offset[1] * axis[1] + offset[2] * axis[2]))


CHECK = Check("fixing-pitch", "model", __doc__, run)
