"""A part stands out of the desk's envelope.

Finds: parts that reach outside the box that the desk was given, by 0.01 mm or more.
Why it matters: it would foul the wall, the chair or the neighbour's desk, or stand proud of the top.
How measured: the box about each part's blank in closed form, at any turn.
Limits: the blank counts, before bevels and notches. Without an envelope there is nothing to check, and that is said.
Sources: the envelope in the script.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.findings import Finding
from deskmodel.frames import Vec
from deskmodel.tolerances import LENGTH, OVERLAP

__all__ = ["CHECK"]

_SIDES = (("left", "right"), ("front", "back"), ("underside", "top"))


def run(facts: Facts) -> list[Finding]:
    if facts.model.envelope is None:
        return []
    return [finding for part in facts.model.parts for finding in _one(facts, part, facts.model.envelope)]


def _one(facts: Facts, part: PlacedPart, envelope: Vec) -> list[Finding]:
    low, high = placed_box(part)
    findings = []
    for i in range(3):
        for side, out, limit, reached in ((_SIDES[i][0], -low[i], 0.0, low[i]),
                                          (_SIDES[i][1], high[i] - envelope[i], envelope[i], high[i])):
            if out >= OVERLAP - LENGTH:  # 900.01 - 900 is a hair below 0.01
                middle = [(a + b) / 2 for a, b in zip(low, high, strict=True)]
                middle[i] = reached
                point = (middle[0], middle[1], middle[2])
                findings.append(Finding(
                    "outside-envelope", "stop", (part.name,),
                    f"{part.name} stands {out:.2f} mm out of the desk at its {side}, {at(point)}",
                    f"move or shorten it by {out:.2f} mm, or make the envelope larger", point=point, measured=reached,
                    required=limit, unit="mm", source="the desk's envelope", lines=lines_of(facts, (part.name,))))
    return findings


def unmeasured(facts: Facts) -> list[str]:
    return [] if facts.model.envelope else ["the script gives the desk no envelope: Desk(name, envelope=(x, y, z))"]


CHECK = Check("outside-envelope", "model", __doc__, run, unmeasured)
