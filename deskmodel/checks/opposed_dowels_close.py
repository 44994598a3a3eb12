"""Dowels that enter one member from opposite faces stand too close.

Finds: dowel holes from opposite faces of a part, beside each other or ending within 3 mm of each other, whose axes are less
    than 16 mm apart (or two diameters, of dowels thicker than 8); stop where they meet.
Why it matters: two drills meet in a thin member, or leave a sliver that breaks out when the dowels are driven in.
How measured: axis to axis; how deep the holes reach with their points; whether they meet, as in holes-cross.
Limits: blind holes only; one right through is told by holes-cross. Holes of one face are told by holes-cross.
Sources: common practice: 16 mm apart in 22 mm members, or one through dowel for both.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._bodies import near_pairs, nearest
from deskmodel.checks._cuts import WALL, CutPart, cut_parts
from deskmodel.findings import Finding
from deskmodel.frames import add, dot, scale, sub
from deskmodel.plans.bored import Bored, across, opposed
from deskmodel.tolerances import LENGTH, OVERLAP

__all__ = ["CHECK", "DIAMETERS", "LEAST"]

LEAST, DIAMETERS = 16.0, 2.0
"""mm, and diameters, from axis to axis (common practice)."""


def run(facts: Facts) -> list[Finding]:
    return [finding for part in cut_parts(facts) for finding in _of(facts, part)]


def _of(facts: Facts, part: CutPart) -> Iterator[Finding]:
    cuts = [cut for cut in part.cuts if cut.hole is not None and cut.hole.hole.purpose == "dowel"]
    for one, other in near_pairs(cuts, lambda cut: cut.box, LEAST):
        assert one.hole is not None
        assert other.hole is not None
        a, b = sorted((one.hole, other.hole), key=lambda hole: (hole.hole.face, hole.hole.at))
        if not opposed(a, b, WALL):
            continue
        apart = across(a.mouth, b.mouth, a.inwards)
        required = max(LEAST, DIAMETERS * max(a.hole.diameter, b.hole.diameter))
        if apart < required - LENGTH:
            meets = nearest(one.bodies, other.bodies, part.own(a.mouth))[0] < OVERLAP
            yield _finding(facts, a, b, apart, required, meets)


def _finding(facts: Facts, a: Bored, b: Bored, apart: float, required: float, meets: bool) -> Finding:
    deep = dot(sub(b.mouth, a.mouth), a.inwards)
    level = (a.depth + a.tip + deep - b.depth - b.tip) / 2  # the middle of the depth that both have, from a's mouth
    point = scale(add(a.at(level), b.at(deep - level)), 0.5)
    met = " and meet" if meets else ""
    return Finding(
        "opposed-dowels-close", "stop" if meets else "warn", (a.part,),
        f"{a.hole.name} in the {a.hole.face} and {b.hole.name} in the {b.hole.face} of {a.part} are {apart:.2f} mm apart"
        f"{met}, at {at(point)}", f"{required:g} mm or more, or one through dowel for both", point=point, measured=apart,
        required=required, unit="mm", source="geometry" if meets else "common practice", lines=lines_of(facts, (a.part,)))


CHECK = Check("opposed-dowels-close", "model", __doc__, run)
