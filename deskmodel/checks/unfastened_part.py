"""A part that nothing holds.

Finds: members, plates, covers, equipment and printed parts that no joint connects with the frame; as a warning, covers whose
    rests and hinges all lie to one side of their middle.
Why it matters: a plate without screws or a box that only lies there comes loose when the desk is carried. A cover
    that lies on one edge only tips into the bay.
How measured: joints are the edges of a graph; every part must be connected with the largest frame of members. A
    cover stays level where the middle of its box lies within the hull of the faces that it rests on, seen from above.
Limits: whether the joint is strong enough is not judged here. A rest counts: it says what holds the part.
    Covers with screws or glue are not asked for a second edge; what lies on a cover is not weighed.
Sources: common practice; for covers the condition of equilibrium of a rigid body on its supports (statics).
"""

from __future__ import annotations

import math
from itertools import pairwise

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.findings import Finding
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["CHECK"]

_WITHOUT_HARDWARE = {"bond", "laminate", "rest"}  # all other joints hold by their pieces only


def run(facts: Facts) -> list[Finding]:
    parts = {part.name: part for part in facts.model.parts if part.role != "hardware"}
    neighbours: dict[str, set[str]] = {name: set() for name in parts}
    for joint in facts.model.joints:
        if joint.kind not in _WITHOUT_HARDWARE and not joint.hardware:
            continue
        neighbours[joint.a].add(joint.b)
        neighbours[joint.b].add(joint.a)
    groups = _groups(neighbours)
    if not groups:
        return []
    tipping = [_tipping(facts, part) for name, part in sorted(parts.items()) if part.role == "cover"]
    frame = max(groups, key=lambda group: (sum(parts[name].role == "member" for name in group), len(group), sorted(group)))
    loose = [_finding(facts, parts[name], neighbours[name]) for name in sorted(parts) if name not in frame]
    return loose + [finding for finding in tipping if finding]


def _groups(neighbours: dict[str, set[str]]) -> list[set[str]]:
    groups: list[set[str]] = []
    seen: set[str] = set()
    for start in neighbours:
        if start in seen:
            continue
        group, waiting = {start}, [start]
        while waiting:
            for other in neighbours[waiting.pop()] - group:
                group.add(other)
                waiting.append(other)
        seen |= group
        groups.append(group)
    return groups


def _finding(facts: Facts, part: PlacedPart, joined: set[str]) -> Finding:
    low, high = placed_box(part)
    point = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2)
    only = f"; it is joined only to {', '.join(sorted(joined))}" if joined else ""
    return Finding("unfastened-part", "stop", (part.name,),
                   f"{part.name}, at {at(point)}, is not joined to the frame{only}",
                   "add a joint: screws, dowels, a bond, or a rest that says what holds it", point=point,
                   source="common practice", lines=lines_of(facts, (part.name,)))


def _tipping(facts: Facts, cover: PlacedPart) -> Finding | None:
    own = {part.name for part in facts.model.parts if cover.name in (part.name, part.group)}
    under = [joint for joint in facts.model.joints if joint.a in own and joint.b not in own]
    if not under or any(joint.kind not in ("rest", "hinge") for joint in under):
        return None
    low, high = placed_box(cover)
    x, y = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
    corners = [(a[0] - x, b[1] - y) for joint in under for a in joint.region for b in joint.region]
    if max(math.hypot(*corner) for corner in corners) < LENGTH or _surrounded(corners):
        return None
    on = " and ".join(sorted({joint.b for joint in under}))
    point = (x, y, low[2])
    return Finding("unfastened-part", "warn", (cover.name,),
                   f"{cover.name} lies only on {on}: nothing is under it on the other side of its middle, {at(point)}",
                   "let it rest on the member opposite as well, or fasten it with CoverScrews", point=point,
                   source="equilibrium of a rigid body", lines=lines_of(facts, (cover.name, *(j.name for j in under))))


def _surrounded(corners: list[tuple[float, float]]) -> bool:
    """Whether (0, 0) lies in the hull of the points: no half-plane through it is free of them. On its border it does."""
    angles = sorted(math.atan2(y, x) for x, y in corners)
    gaps = [after - before for before, after in pairwise([*angles, angles[0] + 2 * math.pi])]
    return max(gaps) <= math.pi + ANGLE


CHECK = Check("unfastened-part", "model", __doc__, run)
