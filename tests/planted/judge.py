"""Whether the tool is right about one edit."""

from __future__ import annotations

import time
import traceback
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from deskmodel.errors import InputFault
from deskmodel.findings import Finding
from deskmodel.fit import FitEngine
from deskmodel.model import Parameter
from tests.oracle.distance import KernelFailure
from tests.planted.edits import Edit
from tests.planted.expected import OVERLAPS, Expected, Told
from tests.planted.harness import Run, run_in
from tests.planted.oracle import Oracle
from tests.planted.refusals import reason_for

__all__ = ["JUDGED", "PLACE", "Verdict", "judge", "told_of"]

Kind = Literal["refused", "found", "beyond", "harmless", "missed", "false", "crashed", "undecided"]
PLACE = 1.0
"""mm. A finding must point at the place this near to both parts."""
JUDGED = {"overlap", "gap-too-small", "keep-out-invaded", "outside-envelope", "joint-faces-apart", "hole-without-partner",
          "cover-strikes", "unfastened-part", "bay-walls-apart", "press-fit-missing"}
"""Checks that the oracle has a word on. Those on drilling and joints have planted faults of their own, against hand
calculation."""
_PLACED = {"parts-overlap": 0.0, "gap-too-small": 1.0, "keep-out-invaded": 0.0}
"""By check: share of the required distance that the point may lie further off; a gap is pointed at from the nearer part."""


@dataclass(frozen=True)
class Verdict:
    """``kind``: refused, found, beyond (told only by checks that kernel and closed forms are not asked about) and harmless
    are right; ``told``: what the tool said, or what is wrong."""

    name: str
    kind: Kind
    told: tuple[str, ...]
    seconds: float
    expected: int = 0


def told_of(run: Run) -> frozenset[Told]:
    return frozenset(_told_as(finding) for finding in run.findings)


def judge(edit: Edit, folder: Path, engine: FitEngine, oracle: Oracle, parameters: Mapping[str, Parameter],
          clean: frozenset[Told] = frozenset()) -> Verdict:
    """``clean``: what is told of the desk without the edit. An edit of which no more is told, rightly, is harmless."""
    started = time.monotonic()

    def verdict(kind: Kind, *told: str, expected: int = 0) -> Verdict:
        return Verdict(edit.name, kind, told, time.monotonic() - started, expected)

    try:
        run = run_in(folder, {} if edit.drop else {edit.file: edit.text}, engine, parameters, edit.drop)
    except Exception:
        return verdict("crashed", traceback.format_exc())
    if run.refused is not None:
        return verdict("refused" if reason_for(_text(run.refused)) else "false", _text(run.refused))
    assert run.model is not None
    assert run.question is not None
    idle = [f"{o.id} {o.outcome}: {o.reason}" for o in run.outcomes if o.outcome in ("crashed", "not-checked")]
    refused = [text for text in idle if reason_for(text)]
    if refused and len(refused) == len(idle):
        return verdict("refused", *refused)  # a shape that cannot be made, said as such
    if idle:
        return verdict("crashed", *idle)
    everything = told_of(run)
    told = {each for each in everything if each[0] in JUDGED}
    try:
        expected = oracle.expected(run.model, run.question.problem, run.question.keep_outs)
        if expected.missed(told) or expected.false(told):
            doubted = frozenset(_bodies(run, expected, told))
            expected = oracle.expected(run.model, run.question.problem, run.question.keep_outs, doubted)
        far = [f"misplaced by {away:.2f}: {finding.message}" for finding, away in _places(run, oracle) if away > PLACE]
    except KernelFailure as fault:
        return verdict("undecided", str(fault))
    except Exception:
        return verdict("undecided", traceback.format_exc())
    missed = [f"missed {check} {sorted(parts)}" for check, parts in expected.missed(told)]
    false = [f"false {check} {sorted(parts)}" for check, parts in expected.false(told)] + far
    wrong: Kind | None = "missed" if missed else "false" if false else None
    if wrong:
        return verdict(wrong, *missed, *false, expected=len(expected.must))
    more = everything ^ clean
    said = tuple(sorted(f"{check}: {', '.join(sorted(parts))}" for check, parts in more))
    kind: Kind = "harmless" if not more else "found" if any(check in JUDGED for check, _ in more) else "beyond"
    return verdict(kind, *said[:12], expected=len(expected.must))


def _told_as(finding: Finding) -> Told:
    return "overlap" if finding.id in OVERLAPS else finding.id, frozenset(finding.parts)


def _bodies(run: Run, expected: Expected, told: set[Told]) -> list[frozenset[str]]:
    """Pairs of bodies behind what oracle and tool do not agree on."""
    assert run.model is not None
    assert run.question is not None
    pairs = []
    owners = {name: run.model.keep_outs[i].owner or name for name, i in run.question.keep_outs.items()}
    for _, parts in {*expected.missed(told), *expected.false(told)}:
        bodies = [body.name for body in run.question.problem.bodies if owners.get(body.name, body.name) in parts]
        if len(bodies) <= 60:
            pairs += [frozenset((a, b)) for a in bodies for b in bodies if a < b]
    return pairs


def _places(run: Run, oracle: Oracle) -> list[tuple[Finding, float]]:
    assert run.question is not None
    return [(finding, oracle.away(run.question.problem, finding.parts, finding.point)
             - _PLACED[finding.id] * (finding.required or 0.0))
            for finding in run.findings if finding.id in _PLACED and finding.point is not None
            and finding.id != "keep-out-invaded"]


def _text(fault: InputFault) -> str:
    return str(fault)
