"""The holes of a dowel are too short for it, or leave too much room.

Finds: dowels whose holes together are less deep than the dowel is long, or that have less than 1.6 or more than 3 mm more.
Why it matters: a dowel that bottoms, on wood or on the glue that it pushes before it, keeps the joint open; in too deep a
    hole it slides to one side and the glue stays at the bottom.
How measured: the depths of the full diameter of all holes that it stands in, less its length; a hole right through counts
    with the thickness. The drill's point below is left out: the dowel's end does not go there.
Limits: where one hole only is there, hole-without-partner speaks; faces that are apart are told by joint-faces-apart.
Sources: a trade page: 1/16 inch (1.6 mm) in all; 1 to 2 mm at each end: common practice. That a dowel longer than its holes
    leaves the joint open needs none.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.findings import Finding, Severity
from deskmodel.plans.bored import doweled
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK", "LEAST", "MOST"]

LEAST, MOST = 1.6, 3.0
"""mm by which both holes together are deeper than the dowel is long (trade page; common practice)."""


def run(facts: Facts) -> list[Finding]:
    findings = []
    for dowel in doweled(facts.model.parts):
        deepest: dict[str, float] = {}
        for hole in dowel.holes:
            deepest[hole.part] = max(deepest.get(hole.part, 0.0), hole.depth)
        space = sum(deepest.values()) - dowel.length
        if len(deepest) < 2 or LEAST - LENGTH <= space <= MOST + LENGTH:
            continue
        severity: Severity = "stop" if space < -LENGTH else "warn"
        required = LEAST if space < LEAST else MOST
        depths = " + ".join(f"{deep:g}" for deep in deepest.values())
        what = f"{-space:g} mm too short: the joint stays open" if space < -LENGTH else f"{space:g} mm of glue space"
        findings.append(Finding(
            "glue-space-unfit", severity, tuple(deepest),
            f"{dowel.piece.name}, {dowel.length:g} mm long, at {at(dowel.holes[0].mouth)}, has holes of {depths} mm, {what}",
            f"holes of {dowel.length + LEAST:g} to {dowel.length + MOST:g} mm together", point=dowel.holes[0].mouth,
            measured=space, required=required, unit="mm",
            source="geometry" if severity == "stop" else "common practice: trade page",
            lines=lines_of(facts, (dowel.piece.group or "", *deepest))))
    return findings


CHECK = Check("glue-space-unfit", "model", __doc__, run)
