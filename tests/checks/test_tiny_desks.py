"""Each check on its own tiny desks: failing, passing, just at the threshold, and what else its file lists."""

from __future__ import annotations

import importlib

import pytest

from deskmodel.checks import CHECKS, Check
from deskmodel.fit import FitEngine
from deskmodel.model import freeze
from tests.desks.case import Case
from tests.planted.harness import check_model


def cases_of(check: Check) -> dict[str, Case]:
    module = importlib.import_module(f"tests.desks.{check.id.replace('-', '_')}")
    return {name: case for name, case in vars(module).items() if isinstance(case, Case)}


ALL = [(check, name, case) for check in CHECKS for name, case in cases_of(check).items()]


@pytest.fixture(scope="module")
def engine() -> FitEngine:
    return FitEngine()


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.id)
def test_each_check_has_its_desks(check: Check) -> None:
    cases = cases_of(check)
    assert {"FAILING", "PASSING", "AT_THRESHOLD"} <= set(cases)
    assert cases["FAILING"].findings
    assert not cases["PASSING"].findings


@pytest.mark.parametrize(("check", "name", "case"), ALL, ids=[f"{check.id}-{name}" for check, name, _ in ALL])
def test_a_tiny_desk(check: Check, name: str, case: Case, engine: FitEngine) -> None:
    model, lines = freeze(case.build())
    run = check_model(model, lines, engine)
    outcome = next(o for o in run.outcomes if o.id == check.id)
    told = [f.message for f in outcome.findings]
    assert outcome.outcome == ("findings" if case.findings else "passed"), (told, outcome.reason)
    assert len(outcome.findings) == len(case.findings), told
    left = list(outcome.findings)
    for expected in case.findings:
        about = [f for f in left if set(f.parts) == set(expected.parts)]
        assert about, f"nothing about {expected.parts}: {told}"
        found = next((f for f in about if f.severity == expected.severity), about[0])
        left.remove(found)
        assert found.severity == expected.severity
        assert found.message
        assert found.remedy
        assert found.source
        if any(part in lines for part in found.parts):
            assert found.lines
        if expected.measured is not None:
            assert found.measured == pytest.approx(expected.measured, abs=expected.within)
            assert found.unit in ("mm", "%", "°")
            assert found.required is not None
        if expected.near is not None:
            assert found.point == pytest.approx(expected.near, abs=1.0)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.id)
def test_a_finding_can_be_accepted(check: Check, engine: FitEngine) -> None:
    desk = cases_of(check)["FAILING"].build()
    for expected in cases_of(check)["FAILING"].findings:
        desk.accept(check.id, expected.parts, "looked at")
    outcomes = check_model(*freeze(desk), engine).outcomes
    findings = next(o for o in outcomes if o.id == check.id).findings
    assert findings
    assert {f.accepted for f in findings} == {"looked at"}
    assert not any(f.stops for f in findings)
