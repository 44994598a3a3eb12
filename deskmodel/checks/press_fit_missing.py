"""A press fit or thread that a joint declares is not there.

Finds: a screw that finds no insert round its thread, or an insert with no wood round it.
Why it matters: the fixing holds nothing.
How measured: points in the middle of the declared ring, all round and along it, must lie in both parts' material.
Limits: how firmly it holds is not judged; that depends on wood, insert and torque.
Sources: DEVELOPERS.md, designed contacts; common practice for threaded inserts in hardwood.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._fit import report, unmeasured_parts
from deskmodel.findings import Finding

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    return [Finding(
        "press-fit-missing", "stop", (fault.male, fault.female),
        f"{fault.male} should grip in {fault.female} ({fault.reason}), but only {fault.share:.0%} of its ring does; nothing "
        f"at {at(fault.point)}", f"move {fault.male} back to its hole in {fault.female}, or mend the hole's diameter",
        point=fault.point, measured=100 * fault.share, required=100.0, unit="%",
        source="the joint's designed contact", lines=lines_of(facts, (fault.male, fault.female)))
        for fault in report(facts).contact_faults]


CHECK = Check("press-fit-missing", "fit", __doc__, run, unmeasured_parts)
