"""A part stands out of the desk's envelope.

Finds: parts that reach outside the box that the desk was given, by 0.01 mm or more. Without an envelope in the script,
    equipment and printed parts that reach outside the box about members, plates and covers.
Why it matters: it would foul the wall, the chair or the neighbour's desk, or stand proud of the top.
How measured: the box about each part's blank in closed form, at any turn.
Limits: the blank counts, before bevels and notches. Without an envelope a plate that is too large is not found, nor
    hardware that stands out: a button head does by design.
Sources: the envelope in the script; else the desk's own outline.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import Box3
from deskmodel.findings import Finding
from deskmodel.tolerances import LENGTH, OVERLAP

__all__ = ["CHECK"]

_SIDES = (("left", "right"), ("front", "back"), ("underside", "top"))
_OUTLINE = {"member", "plate", "cover", "backing", "veneer"}
_PROUD = {"hardware"}  # may stand out of the desk's own outline, not out of an envelope that the script states


def run(facts: Facts) -> list[Finding]:
    boxes = [(part, placed_box(part)) for part in facts.model.parts]
    if facts.model.envelope is not None:
        envelope, source = ((0.0, 0.0, 0.0), facts.model.envelope), "the desk's envelope"
    else:
        outline = [box for part, box in boxes if part.role in _OUTLINE]
        if not outline:
            return []
        envelope, source = _about(outline), "the box about the desk's members, plates and covers"
        boxes = [(part, box) for part, box in boxes if part.role not in _PROUD]
    return [finding for part, box in boxes for finding in _one(facts, part, box, envelope, source)]


def _about(boxes: list[Box3]) -> Box3:
    lows = [min(box[0][i] for box in boxes) for i in range(3)]
    highs = [max(box[1][i] for box in boxes) for i in range(3)]
    return (lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2])


def _one(facts: Facts, part: PlacedPart, box: Box3, envelope: Box3, source: str) -> list[Finding]:
    low, high = box
    findings = []
    for i in range(3):
        for side, out, limit, reached in ((_SIDES[i][0], envelope[0][i] - low[i], envelope[0][i], low[i]),
                                          (_SIDES[i][1], high[i] - envelope[1][i], envelope[1][i], high[i])):
            if out >= OVERLAP - LENGTH:  # 900.01 - 900 is a hair below 0.01
                middle = [(a + b) / 2 for a, b in zip(low, high, strict=True)]
                middle[i] = reached
                point = (middle[0], middle[1], middle[2])
                findings.append(Finding(
                    "outside-envelope", "stop", (part.name,),
                    f"{part.name} stands {out:.2f} mm out of the desk at its {side}, {at(point)}",
                    f"move or shorten it by {out:.2f} mm, or make the envelope larger", point=point, measured=reached,
                    required=limit, unit="mm", source=source, lines=lines_of(facts, (part.name,))))
    return findings


CHECK = Check("outside-envelope", "model", __doc__, run)
