"""From a round of the watch to what the page is shown."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Mapping
from typing import Protocol

from deskmodel.findings import CheckOutcome, Finding
from deskmodel.serve.server import PageServer
from deskmodel.session.changes import Changes
from deskmodel.session.run import Checked
from deskmodel.session.watch import Round

__all__ = ["LivePage", "Sight", "round_record"]


class Sight(Protocol):
    """A desk as the page shows it."""

    @property
    def record(self) -> Mapping[str, object]:
        """JSON values; "findings" in the order of the outcomes."""

    @property
    def shapes(self) -> Mapping[str, bytes]:
        """By key; the same key always means the same bytes."""


class LivePage:
    """Shows each round on the server's page: of one at fault the last good desk, with the fault."""

    def __init__(self, server: PageServer, look: Callable[[Checked], Sight]) -> None:
        self._server = server
        self._look = look
        self._of: Checked | None = None
        self._record: Mapping[str, object] = {}
        self._shapes: Mapping[str, bytes] = {}

    def show(self, told: Round) -> None:
        since = time.perf_counter()
        if told.good is not None and told.good is not self._of:
            sight = self._look(told.good)
            self._of, self._record, self._shapes = told.good, sight.record, sight.shapes
        seconds = {**told.seconds, "page": time.perf_counter() - since}
        scene = {**self._record, "round": round_record(told, seconds)}
        revision = told.good.revision if told.good is not None else None
        self._server.show(told.number, {"number": told.number, "revision": revision, "good": told.fault is None},
                          json.dumps(scene, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode(),
                          self._shapes)


def round_record(told: Round, seconds: Mapping[str, float]) -> dict[str, object]:
    """What the page tells of the round itself. ``changes``: new and still there by their index in the record's findings,
    those that went in full; None where the round is at fault."""
    return {"number": told.number, "seconds": {stage: round(taken, 4) for stage, taken in seconds.items()},
            "fault": None if told.fault is None else {"text": str(told.fault)},
            "changes": None if told.changes is None or told.good is None else _changes(told.changes, told.good.outcomes)}


def _changes(changes: Changes, outcomes: tuple[CheckOutcome, ...]) -> dict[str, object]:
    index = {id(finding): place for place, finding in enumerate(each for outcome in outcomes for each in outcome.findings)}
    return {"new": [index[id(finding)] for finding in changes.new],
            "gone": [_gone(finding) for finding in changes.gone],
            "still": [index[id(finding)] for finding in changes.still]}


def _gone(finding: Finding) -> dict[str, object]:
    return {"id": finding.id, "parts": list(finding.parts), "message": finding.message}
