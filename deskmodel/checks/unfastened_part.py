"""A part that nothing holds.

Finds: members, plates, covers, equipment and printed parts that no joint connects with the frame.
Why it matters: a plate without screws or a box that only lies there comes loose when the desk is carried.
How measured: joints are the edges of a graph; every part must be connected with the largest frame of members.
Limits: whether the joint is strong enough is not judged here. A rest counts: it says what holds the part.
Sources: common practice.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.findings import Finding

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
    frame = max(groups, key=lambda group: (sum(parts[name].role == "member" for name in group), len(group), sorted(group)))
    return [_finding(facts, parts[name], neighbours[name]) for name in sorted(parts) if name not in frame]


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


CHECK = Check("unfastened-part", "model", __doc__, run)
