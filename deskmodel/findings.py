"""What a check has to say, as data. Text, JSON and pages are separate renderers of these types."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from deskmodel.frames import Vec

__all__ = ["Acceptance", "CheckOutcome", "Finding", "Outcome", "Severity", "accept", "needless"]

Severity = Literal["stop", "warn", "note"]
Outcome = Literal["passed", "findings", "not-checked", "crashed"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing a check has to say.

    ``point`` (mm, desk frame) is where to look; ``measured`` and ``required`` carry ``unit``; ``source`` names
    where the requirement comes from; ``lines`` are the places of the script that made the parts ("desk.py:41").
    What can be shown of it: ``span``, both ends of the length that was measured (mm, desk frame); ``shared``, the two
    bodies, by the fit engine's names, that share room.
    """

    id: str
    severity: Severity
    parts: tuple[str, ...]
    message: str
    remedy: str
    point: Vec | None = None
    measured: float | None = None
    required: float | None = None
    unit: str | None = None
    source: str | None = None
    accepted: str | None = None
    lines: tuple[str, ...] = ()
    span: tuple[Vec, Vec] | None = None
    shared: tuple[str, str] | None = None

    @property
    def stops(self) -> bool:
        return self.severity == "stop" and self.accepted is None


@dataclass(frozen=True, slots=True)
class CheckOutcome:
    """How one check went. ``reason`` says why it was not checked or how it crashed."""

    id: str
    outcome: Outcome
    findings: tuple[Finding, ...] = ()
    reason: str | None = None
    seconds: float = 0.0
    deselected: bool = field(default=False)


@dataclass(frozen=True, slots=True)
class Acceptance:
    """A finding that the maker lives with: its id, all its parts in any order, and the written reason."""

    id: str
    parts: tuple[str, ...]
    reason: str

    @property
    def title(self) -> str:
        """What its script line is kept under."""
        return f"{self.id} accepted of {', '.join(self.parts)}"


def accept(finding: Finding, acceptances: tuple[Acceptance, ...]) -> Finding:
    """The finding, marked accepted where the script accepts exactly this id between exactly these parts."""
    for acceptance in acceptances:
        if acceptance.id == finding.id and set(acceptance.parts) == set(finding.parts):
            return replace(finding, accepted=acceptance.reason)
    return finding


def needless(acceptances: Sequence[Acceptance], outcomes: Sequence[CheckOutcome]) -> tuple[Acceptance, ...]:
    """Those that accept nothing, although their check looked at everything: left standing, they would silence a fault
    that somebody makes later."""
    done = {outcome.id for outcome in outcomes if outcome.outcome in ("passed", "findings")}
    found = {(finding.id, frozenset(finding.parts)) for outcome in outcomes for finding in outcome.findings}
    return tuple(each for each in acceptances if each.id in done and (each.id, frozenset(each.parts)) not in found)
