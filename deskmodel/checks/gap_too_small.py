"""Two parts are nearer to each other than the script requires.

Finds: every pair of parts under the minimum gap that ``require_gap`` asks between them.
Why it matters: the gap was asked for a reason: air for a supply, room for fingers, wood that moves.
How measured: the exact kernel measures every pair of faces near the minimum, to 0.01 mm.
Limits: only what the script requires; the gap is the shortest distance, wherever it runs. Parts that overlap are told
    once, by parts-overlap, with the gap that they need besides.
Sources: the script's own reason, said with the finding.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._fit import report, unmeasured_parts
from deskmodel.checks._moves import move_apart, tight_cover
from deskmodel.findings import Finding

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    findings = []
    overlapping = {frozenset((each.a, each.b)) for each in report(facts).overlaps}
    for fault in report(facts).gap_faults:
        if frozenset((fault.a, fault.b)) in overlapping:
            continue
        pair = (facts.model, fault.a, fault.b, fault.direction)
        cover = tight_cover(*pair, fault.minimum)
        findings.append(Finding(
            "gap-too-small", "stop", (fault.a, fault.b),
            f"{fault.a} and {fault.b} are {fault.gap:.2f} mm apart at {at(fault.point_a)}; {fault.minimum:g} mm are "
            f"required: {fault.reason}",
            f"make {cover} smaller or its opening larger, {fault.minimum:g} mm on each side are needed" if cover
            else move_apart(*pair, fault.minimum - fault.gap),
            point=fault.point_a, measured=fault.gap, required=fault.minimum, unit="mm",
            source=f"the script: {fault.reason}", lines=lines_of(facts, (fault.a, fault.b)),
            span=(fault.point_a, fault.point_b)))
    return findings


CHECK = Check("gap-too-small", "fit", __doc__, run, unmeasured_parts)
