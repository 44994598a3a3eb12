"""What the report is made from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from deskmodel.findings import CheckOutcome, Finding
from deskmodel.fit.problem import FitReport
from deskmodel.model import DeskModel
from deskmodel.plans import BayRow, DeskMass

__all__ = ["Numbered", "ReportFacts"]

_SEVERITIES = ("stop", "warn", "note")


@dataclass(frozen=True, slots=True)
class Numbered:
    """A finding and its number on the page."""

    number: int
    finding: Finding

    @property
    def kind(self) -> tuple[str, str, bool]:
        return self.finding.id, self.finding.severity, self.finding.accepted is not None


@dataclass(frozen=True)
class ReportFacts:
    """``pairs``: of bodies, as the fit engine judged them. ``unreleased``: why nobody should build from this, or None;
    ``withheld``: what somebody could build from was not written. ``lines``: where the script made what. ``mass`` and
    ``fit``: None where they were not measured. ``summaries``: what each check looks for, in a sentence, by its id."""

    model: DeskModel
    revision: str
    outcomes: tuple[CheckOutcome, ...]
    pairs: int
    bays: tuple[BayRow, ...]
    unreleased: str | None = None
    withheld: bool = False
    lines: Mapping[str, str] = field(default_factory=dict)
    mass: DeskMass | None = None
    fit: FitReport | None = None
    summaries: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def numbered(self) -> tuple[Numbered, ...]:
        """All findings: by severity, then by check, in the order in which the checks ran; accepted ones last."""
        found = [(finding.accepted is not None, _SEVERITIES.index(finding.severity), rank, finding)
                 for rank, outcome in enumerate(self.outcomes) for finding in outcome.findings]
        ordered = sorted(found, key=lambda each: each[:3])
        return tuple(Numbered(i, each[3]) for i, each in enumerate(ordered, 1))

    @property
    def undone(self) -> tuple[CheckOutcome, ...]:
        """Checks that were asked for and could not be done."""
        return tuple(each for each in self.outcomes if each.outcome in ("not-checked", "crashed") and not each.deselected)

    @property
    def left_out(self) -> tuple[CheckOutcome, ...]:
        return tuple(each for each in self.outcomes if each.deselected)

    def count(self, severity: str) -> int:
        """Findings of that severity that are not accepted; "accepted": those that are."""
        if severity == "accepted":
            return sum(each.finding.accepted is not None for each in self.numbered)
        return sum(each.finding.severity == severity and each.finding.accepted is None for each in self.numbered)
