"""Mating dowel holes are out of line.

Finds: dowel holes of two parts that face each other over a joint, whether a joint or the script drilled them, with axes
    more than 0.1 mm from each other anywhere along their depths (aside or askew), or of diameters that differ by more than
    0.2 mm.
Why it matters: the dowel does not enter both; forced in, it pulls the joint out of place and twists the frame. In a hole
    that is wider than the other it stands loose.
How measured: mouths that meet (at most 10 mm apart along their axis, aside by less than their mean diameter, at most 10°
    askew) are one pair, each hole's nearest; distances of the axes at mouths and bottoms in closed form, in the desk frame.
Limits: of each pair either this check speaks or hole-without-partner: holes out of line are told here and left out there;
    a hole with no other one before it, or with no dowel in a pair in line, is told there. How the jig adds to it is not
    looked at.
Sources: common practice: drilling by jig is good to about 0.1 mm, a drilled hole 0.2 over the dowel's size holds it yet.
    ISO 286-2: a dowel of its hole's size has no play to give (8 H7/m6: -15 to +9 µm).
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.findings import Finding
from deskmodel.plans.bored import Mates, bored, facing_holes
from deskmodel.tolerances import COAXIAL, LENGTH

__all__ = ["CHECK", "DIAMETERS"]

DIAMETERS = 0.2
"""mm by which two mating holes may differ (common practice: a dowel of 8 in holes of 8.0 to 8.2)."""


def run(facts: Facts) -> list[Finding]:
    findings = []
    for mates in facing_holes(bored(facts.model.parts, ("dowel",))):
        if not mates.in_line:
            findings.append(_out_of_line(facts, mates))
        elif abs(mates.a.hole.diameter - mates.b.hole.diameter) > DIAMETERS + LENGTH:
            findings.append(_unequal(facts, mates))
    return findings


def _out_of_line(facts: Facts, mates: Mates) -> Finding:
    a, b = mates.a, mates.b
    askew = f" and {mates.angle:.2f}° askew" if mates.angle > 0.005 else ""
    return Finding(
        "holes-misaligned", "stop", (a.part, b.part),
        f"{a.hole.name} in the {a.hole.face} of {a.part} and {b.hole.name} in the {b.hole.face} of {b.part}, at "
        f"{at(mates.mouth)}, are {mates.offset:.2f} mm out of line{askew}",
        "drill both from the same face side and face edge", point=mates.mouth,
        measured=mates.offset, required=COAXIAL, unit="mm",
        source="common practice: jigs drill to about 0.1 mm; ISO 286-2: no play", lines=lines_of(facts, (a.part, b.part)))


def _unequal(facts: Facts, mates: Mates) -> Finding:
    a, b = mates.a, mates.b
    wide, narrow = (a, b) if a.hole.diameter > b.hole.diameter else (b, a)
    more = wide.hole.diameter - narrow.hole.diameter
    return Finding(
        "holes-misaligned", "warn", (a.part, b.part),
        f"{wide.hole.name} in {wide.part} is {wide.hole.diameter:g} mm wide, its mate in {narrow.part} "
        f"{narrow.hole.diameter:g}, at {at(mates.mouth)}", f"drill both {narrow.hole.diameter:g} mm", point=mates.mouth,
        measured=more, required=DIAMETERS, unit="mm", source="common practice", lines=lines_of(facts, (a.part, b.part)))


CHECK = Check("holes-misaligned", "model", __doc__, run)
