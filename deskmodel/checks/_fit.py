"""Readings of the fit report that several checks share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from deskmodel.checks._base import Facts
from deskmodel.desk import PlacedKeepOut

if TYPE_CHECKING:
    from deskmodel.fit.problem import FitReport, Overlap, OverlapKind

__all__ = ["keep_out_of", "part_overlaps", "report", "unmeasured_parts"]


def report(facts: Facts) -> FitReport:
    if facts.fit is None:
        raise LookupError("the fit was not measured")  # needs = "fit" keeps a check from coming here
    return facts.fit


def part_overlaps(facts: Facts, kind: OverlapKind) -> list[Overlap]:
    """Overlaps of that kind between two parts (no keep-out in them)."""
    return [o for o in report(facts).overlaps
            if o.kind == kind and o.a not in facts.keep_outs and o.b not in facts.keep_outs]


def keep_out_of(facts: Facts, name: str) -> PlacedKeepOut | None:
    """The keep-out behind a body's name, None for a part."""
    index = facts.keep_outs.get(name)
    return None if index is None else facts.model.keep_outs[index]


def unmeasured_parts(facts: Facts) -> list[str]:
    return [f"{m.a} and {m.b}: {m.why}" for m in report(facts).not_measured
            if m.a not in facts.keep_outs and m.b not in facts.keep_outs]
