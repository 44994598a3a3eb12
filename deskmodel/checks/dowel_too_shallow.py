"""A dowel stands too short a way in one of its parts.

Finds: dowels that stand less than one diameter deep in a part (warn), or less than one and a quarter (note).
Why it matters: the glue surface at the short side carries the joint; the dowel pulls out or levers the wood open there.
How measured: the length of the dowel within the full depth of each blind hole, from the poses.
Limits: trade pages ask three diameters, or half of the dowel on each side; in a thin member that cannot be had, and here
    less is told from one and a quarter down. Parts that a dowel goes right through are left out.
Sources: common practice; trade pages (about three diameters into each part, shallow sides to 5 mm less than the board).
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.findings import Finding
from deskmodel.plans.bored import doweled
from deskmodel.tolerances import LENGTH

__all__ = ["BETTER", "CHECK", "LEAST"]

LEAST, BETTER = 1.0, 1.25
"""Diameters that a dowel stands in each part: to be had, and better (common practice)."""


def run(facts: Facts) -> list[Finding]:
    findings = []
    for dowel in doweled(facts.model.parts):
        deepest = {hole.part: hole for hole in sorted(dowel.holes, key=dowel.inside)}
        for hole in deepest.values():
            stands, least, better = dowel.inside(hole), LEAST * dowel.diameter, BETTER * dowel.diameter
            if hole.hole.depth is None or stands >= better - LENGTH:
                continue
            short = stands < least - LENGTH
            findings.append(Finding(
                "dowel-too-shallow", "warn" if short else "note", (hole.part,),
                f"{dowel.piece.name} stands {stands:g} mm deep in the {hole.hole.face} of {hole.part}, at {at(hole.mouth)}",
                f"{least if short else better:g} mm or more: a deeper hole, a longer dowel, or one right through",
                point=hole.mouth, measured=stands, required=least if short else better, unit="mm",
                source="common practice: trade pages", lines=lines_of(facts, (dowel.piece.group or "", hole.part))))
    return findings


CHECK = Check("dowel-too-shallow", "model", __doc__, run)
