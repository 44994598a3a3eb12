"""What became of the findings between two rounds: new ones, those that went, those still there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from deskmodel.findings import CheckOutcome, Finding
from deskmodel.frames import norm, sub

__all__ = ["Changes", "changes"]


@dataclass(frozen=True, slots=True)
class Changes:
    """Each finding of both rounds once; ``still`` as the later round has it."""

    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    still: tuple[Finding, ...]


def changes(before: Iterable[CheckOutcome], after: Iterable[CheckOutcome]) -> Changes:
    """A finding is the same one while check, severity, parts and acceptance are: its figures and its place may move. Of
    several such the nearest are taken for each other."""
    left: dict[tuple[object, ...], list[Finding]] = {}
    for finding in _all(before):
        left.setdefault(_identity(finding), []).append(finding)
    new: list[Finding] = []
    still: list[Finding] = []
    for finding in _all(after):
        same = left.get(_identity(finding), [])
        if same:
            same.remove(min(same, key=lambda other: _apart(other, finding)))
            still.append(finding)
        else:
            new.append(finding)
    return Changes(tuple(new), tuple(each for group in left.values() for each in group), tuple(still))


def _all(outcomes: Iterable[CheckOutcome]) -> list[Finding]:
    return [finding for outcome in outcomes for finding in outcome.findings]


def _identity(finding: Finding) -> tuple[object, ...]:
    return finding.id, finding.severity, finding.parts, finding.accepted


def _apart(a: Finding, b: Finding) -> float:
    return 0.0 if a.point is None or b.point is None else norm(sub(a.point, b.point))
