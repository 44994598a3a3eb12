"""``findings.json``: what the checks had to say, for other programs."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.exporters._json import json_bytes
from deskmodel.findings import CheckOutcome, Finding, needless
from deskmodel.model import DeskModel, revision

__all__ = ["SCHEMA", "export_findings", "findings_record"]

NAME = "findings.json"
SCHEMA = 1


def findings_record(model: DeskModel, outcomes: Sequence[CheckOutcome], pairs: int, lines: Mapping[str, str], *,
                    seconds: bool = False) -> dict[str, object]:
    """The record as JSON values. ``lines``: see ``freeze``. ``seconds``: how long each check took, which
    differs from run to run."""
    return {
        "schema": SCHEMA, "desk": model.name, "revision": revision(model), "parameters": dict(model.parameters),
        "parts": len(model.parts), "pairs": pairs,
        "checks": [_check(outcome, seconds) for outcome in outcomes],
        "findings": [_finding(finding) for outcome in outcomes for finding in outcome.findings],
        "accepted_but_not_found": [{"id": each.id, "parts": list(each.parts), "reason": each.reason,
                                    "line": lines.get(each.title)} for each in needless(model.acceptances, outcomes)],
    }


def export_findings(job: ExportJob) -> Written:
    record = findings_record(job.model, job.outcomes, job.pairs, job.lines)
    if job.unreleased is not None:
        record["unreleased"] = job.unreleased
    data = json_bytes(record)

    def read_back(folder: Path) -> None:
        if json_bytes(json.loads((folder / NAME).read_bytes())) != data:
            raise BuildFault(f"{NAME} read back says something else")

    return Written({NAME: data}, read_back)


def _check(outcome: CheckOutcome, seconds: bool) -> dict[str, object]:
    reason = outcome.reason
    if outcome.deselected and reason is None:
        reason = "left out"
    record: dict[str, object] = {"id": outcome.id, "outcome": outcome.outcome, "reason": reason}
    if seconds:
        record["seconds"] = round(outcome.seconds, 4)
    return record


def _finding(finding: Finding) -> dict[str, object]:
    return {"id": finding.id, "severity": finding.severity, "parts": list(finding.parts),
            "point": None if finding.point is None else [round(c, 6) + 0.0 for c in finding.point],
            "measured": _rounded(finding.measured), "required": _rounded(finding.required), "unit": finding.unit,
            "message": finding.message, "remedy": finding.remedy, "source": finding.source,
            "accepted": finding.accepted, "lines": list(finding.lines)}


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 9) + 0.0
