"""Dowels of one joint too near each other, or too far apart.

Finds: two dowels of a joint nearer than 25 mm (two diameters, where they are thicker than 12.5), or a stretch of more than
    200 mm between neighbours.
Why it matters: near dowels split the wood between them along the grain; far ones let the pieces bow between them.
How measured: axis to axis; neighbours are those that the shortest chain through all of the joint's dowels links.
Limits: dowels of different joints are told by holes-cross and opposed-dowels-close. How far the last dowel stands from the
    end of a long joint is not judged.
Sources: a joinery school's page: 25 to 32 least, 200 most along a carcase edge: common practice.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.findings import Finding
from deskmodel.frames import Vec, add, dot, scale, sub
from deskmodel.plans.bored import DOWEL_JOINTS, Doweled, across, doweled
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK", "DIAMETERS", "LEAST", "MOST"]

LEAST, MOST = 25.0, 200.0
"""mm from axis to axis (a joinery school's page)."""

DIAMETERS = 2.0
"""Least distance in diameters: one diameter of wood between them (common practice)."""


def run(facts: Facts) -> list[Finding]:
    dowels = {dowel.piece.name: dowel for dowel in doweled(facts.model.parts)}
    joints: dict[tuple[str, ...], list[tuple[str, str, str, Vec]]] = {}
    for joint in facts.model.joints:  # a through dowel's joint has a record for either rail
        if joint.kind in DOWEL_JOINTS:
            joints.setdefault(joint.hardware, []).append((joint.name, joint.a, joint.b, joint.point))
    findings = []
    for hardware, records in joints.items():
        links = _chain([dowels[name] for name in hardware if name in dowels])
        if not links:
            continue
        records.sort()
        near, far = links[0], links[-1]
        least = max(LEAST, DIAMETERS * max(near[1].diameter, near[2].diameter))
        if near[0] < least - LENGTH:
            findings.append(_finding(facts, records, near, least))
        if far[0] > MOST + LENGTH:
            findings.append(_finding(facts, records, far, MOST))
    return findings


def _chain(dowels: list[Doweled]) -> list[tuple[float, Doweled, Doweled]]:
    """The links of the shortest chain through all of them (a spanning tree, by Prim), the shortest first."""
    links = []
    waiting = {i: (float("inf"), 0) for i in range(1, len(dowels))}
    last = 0
    while waiting:
        for i, (known, _) in waiting.items():
            away = round(across(dowels[last].foot, dowels[i].foot, dowels[last].axis), 6)
            if away < known:
                waiting[i] = away, last
        last = min(waiting, key=lambda i: (waiting[i][0], i))
        away, to = waiting.pop(last)
        links.append((away, dowels[to], dowels[last]))
    return sorted(links, key=lambda link: (link[0], link[1].piece.name))


def _finding(facts: Facts, records: list[tuple[str, str, str, Vec]], link: tuple[float, Doweled, Doweled],
             required: float) -> Finding:
    away, one, other = link
    name, _, _, plane = records[0]
    points = [add(d.foot, scale(d.axis, dot(sub(plane, d.foot), d.axis))) for d in (one, other)]
    point = scale(add(*points), 0.5)
    names = tuple(dict.fromkeys(part for record in records for part in record[1:3]))
    near = away < required
    return Finding(
        "dowels-badly-spaced", "warn", names,
        f"{one.piece.name} and {other.piece.name} are {away:.1f} mm apart, too {'near' if near else 'far'}, at {at(point)}",
        f"{required:g} mm {'or more' if near else 'at most: one more dowel between them'}", point=point, measured=away,
        required=required, unit="mm", source="common practice: a joinery school's page",
        lines=lines_of(facts, (name, *names)))


CHECK = Check("dowels-badly-spaced", "model", __doc__, run)
