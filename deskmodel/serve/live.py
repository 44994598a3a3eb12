"""From a round of the watch to what the page is shown."""

from __future__ import annotations

import json

from deskmodel.findings import CheckOutcome, Finding
from deskmodel.serve.server import PageServer
from deskmodel.session.changes import Changes
from deskmodel.session.watch import Round

__all__ = ["LivePage", "round_record", "verdict_record"]


class LivePage:
    """Shows each round on the server's page: first its verdict, then the desk; of one at fault the last good desk, with the
    fault."""

    def __init__(self, server: PageServer) -> None:
        self._server = server

    def begin(self, number: int) -> None:
        """Something was saved, and a round of that number has begun."""
        self._server.tell(number, "begun", {"number": number})

    def tell(self, told: Round) -> None:
        """What can be said before anything is drawn."""
        self._server.tell(told.number, "verdict", verdict_record(told))

    def show(self, told: Round) -> None:
        """``told.scene``: of its good desk; None before there is one."""
        record = told.scene.record if told.scene is not None else {}
        shapes = told.scene.shapes if told.scene is not None else {}
        revision = told.good.revision if told.good is not None else None
        said = {**record, "round": round_record(told)}
        self._server.show(told.number, {"number": told.number, "revision": revision, "good": told.fault is None},
                          json.dumps(said, separators=(",", ":"), allow_nan=False).encode(), shapes)


def round_record(told: Round) -> dict[str, object]:
    """What the page tells of the round itself. ``changes``: new and still there by their index in the record's findings,
    those that went in full; None where the round is at fault."""
    return {"number": told.number, "seconds": {stage: round(taken, 4) for stage, taken in told.seconds.items()},
            "fault": None if told.fault is None else {"text": str(told.fault)},
            "changes": None if told.changes is None or told.good is None else _changes(told.changes, told.good.outcomes)}


def verdict_record(told: Round) -> dict[str, object]:
    """What the page tells of a round at once: of its findings and checks what a verdict is made of, and how many findings
    are new, gone and still there. ``findings``, ``checks`` and ``changes`` are None where the round is at fault."""
    said: dict[str, object] = {"number": told.number, "fault": None if told.fault is None else {"text": str(told.fault)},
                               "findings": None, "checks": None, "changes": None}
    if told.fault is None and told.good is not None:
        outcomes = told.good.outcomes
        said["findings"] = [{"severity": finding.severity, "accepted": finding.accepted}
                            for outcome in outcomes for finding in outcome.findings]
        said["checks"] = [{"id": each.id, "outcome": each.outcome} for each in outcomes]
        if told.changes is not None:
            said["changes"] = {what: len(getattr(told.changes, what)) for what in ("new", "gone", "still")}
    return said


def _changes(changes: Changes, outcomes: tuple[CheckOutcome, ...]) -> dict[str, object]:
    index = {id(finding): place for place, finding in enumerate(each for outcome in outcomes for each in outcome.findings)}
    return {"new": [index[id(finding)] for finding in changes.new],
            "gone": [_gone(finding) for finding in changes.gone],
            "still": [index[id(finding)] for finding in changes.still]}


def _gone(finding: Finding) -> dict[str, object]:
    return {"id": finding.id, "parts": list(finding.parts), "message": finding.message}
