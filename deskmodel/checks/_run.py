"""Running the checks: each on its own, so that one that crashes is one that crashed, not a pass of the rest."""

from __future__ import annotations

import time
from collections.abc import Collection, Sequence
from dataclasses import replace

from deskmodel.checks._base import Check, Facts
from deskmodel.errors import InputFault
from deskmodel.findings import CheckOutcome, Outcome, accept

__all__ = ["named", "run_each"]


def named(checks: Sequence[Check], check_id: str) -> Check:
    """The check of that id. InputFault lists the ids there are."""
    for check in checks:
        if check.id == check_id:
            return check
    raise InputFault(f"check {check_id!r}", allowed=", ".join(check.id for check in checks))


def run_each(checks: Sequence[Check], facts: Facts, only: Collection[str] | None) -> tuple[CheckOutcome, ...]:
    """The outcome of every check in turn; ``only`` deselects all others."""
    for check_id in only or ():
        named(checks, check_id)
    return tuple(_run(check, facts) if only is None or check.id in only
                 else CheckOutcome(check.id, "not-checked", reason="not asked for", deselected=True) for check in checks)


def _run(check: Check, facts: Facts) -> CheckOutcome:
    if check.needs in facts.missing:
        return CheckOutcome(check.id, "not-checked", reason=facts.missing[check.needs])
    if (facts.fit is None and check.needs == "fit") or (facts.strikes is None and check.needs == "travel"):
        return CheckOutcome(check.id, "not-checked", reason="what it looks at was not measured")
    began = time.perf_counter()
    try:
        findings = tuple(accept(finding, facts.model.acceptances) for finding in check.run(facts))
        unmeasured = check.unmeasured(facts)
    except Exception as fault:  # a check that fails must not take the others with it
        return CheckOutcome(check.id, "crashed", reason=f"{type(fault).__name__}: {fault}")
    outcome: Outcome = "findings" if findings else "passed"
    done = CheckOutcome(check.id, outcome, findings, seconds=time.perf_counter() - began)
    if unmeasured:
        more = f" and {len(unmeasured) - 3} more" if len(unmeasured) > 3 else ""
        return replace(done, outcome="not-checked", reason="; ".join(unmeasured[:3]) + more)
    return done
