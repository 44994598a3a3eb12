"""The registry is whole, explanations are complete, and no check can take another along or pass unmeasured."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

import deskmodel.checks as checks_folder
from deskmodel.checks import CHECKS, SECTIONS, Check, Facts, check_named, run_checks, sections
from deskmodel.checks._run import run_each
from deskmodel.errors import InputFault
from deskmodel.findings import Finding, accept
from deskmodel.fit.problem import FitReport, NotMeasured
from deskmodel.model import DeskModel, freeze
from tests.desks import parts_overlap
from tests.desks.small import small_desk

FOLDER = Path(checks_folder.__file__).parent


@pytest.fixture(scope="module")
def model() -> DeskModel:
    return freeze(small_desk())[0]


def test_every_file_is_listed_under_its_name() -> None:
    files = {p.stem.replace("_", "-") for p in FOLDER.glob("*.py") if not p.stem.startswith("_")}
    ids = [check.id for check in CHECKS]
    assert set(ids) == files
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.id)
def test_explanations_are_complete(check: Check) -> None:
    told = sections(check)
    assert tuple(told) == SECTIONS  # all of them, in their order
    assert all(len(text) > 15 for text in told.values())
    assert check.summary
    assert not check.summary.endswith(".")
    assert check.needs in ("model", "fit", "travel")
    words = " ".join([check.summary, *told.values()]).lower()
    assert "complies" not in words
    assert " safe" not in words


def test_checks_by_id() -> None:
    assert check_named("parts-overlap") is CHECKS[0]
    for wrong in ("parts-overlaps", "", None, 5):
        with pytest.raises(InputFault) as caught:
            check_named(wrong)
        assert "parts-overlap" in caught.value.allowed


def test_a_crash_is_a_crash_and_takes_nobody_along(model: DeskModel) -> None:
    def crash(facts: Facts) -> list[Finding]:
        raise ZeroDivisionError("on purpose")

    broken = Check("broken", "model", "x", crash)
    late = Check("late", "model", "x", lambda facts: [], crash)  # fails when asked what it left out
    outcomes = run_each((CHECKS[6], broken, late, CHECKS[7]), Facts(model), None)
    assert [o.outcome for o in outcomes] == ["passed", "crashed", "crashed", "passed"]
    assert outcomes[1].reason == "ZeroDivisionError: on purpose"


def test_what_was_not_measured_does_not_pass(model: DeskModel) -> None:
    """Facts that are missing: said by whoever measures, or just not there."""
    for facts in (Facts(model), Facts(model, missing={"fit": "no engine", "travel": "no engine"})):
        for check, outcome in zip(CHECKS, run_checks(facts), strict=True):
            if check.needs == "model":
                assert outcome.outcome in ("passed", "findings")
            else:
                assert outcome.outcome == "not-checked"
                assert outcome.reason
                assert not outcome.deselected


def test_a_pair_that_was_not_measured_is_not_passed(model: DeskModel) -> None:
    report = FitReport(not_measured=tuple(NotMeasured("front", name, "the kernel gave up") for name in "abcde"))
    outcomes = {o.id: o for o in run_checks(Facts(model, report, ()))}
    for check_id in ("parts-overlap", "part-swallowed", "duplicate-part"):
        assert outcomes[check_id].outcome == "not-checked"
        assert "front and a: the kernel gave up" in outcomes[check_id].reason
        assert "2 more" in outcomes[check_id].reason
    assert outcomes["unfastened-part"].outcome != "not-checked"


def test_only_some(model: DeskModel) -> None:
    outcomes = run_checks(Facts(model), only=["unfastened-part"])
    assert [o.id for o in outcomes if not o.deselected] == ["unfastened-part"]
    assert all(o.outcome == "not-checked" and o.reason for o in outcomes if o.deselected)
    with pytest.raises(InputFault):
        run_checks(Facts(model), only=["unfastened-parts"])


def test_acceptance_is_of_one_finding_between_just_its_parts() -> None:
    desk = parts_overlap.FAILING.build()
    desk.accept("parts-overlap", ["b", "a"], "glued up like that")
    acceptances = freeze(desk)[0].acceptances
    finding = Finding("parts-overlap", "stop", ("a", "b"), "m", "r")
    assert accept(finding, acceptances).accepted == "glued up like that"
    for other in (replace(finding, id="gap-too-small"), replace(finding, parts=("a",)),
                  replace(finding, parts=("a", "b", "c"))):
        assert accept(other, acceptances).accepted is None
        assert accept(other, acceptances).stops


def test_explaining_loads_nothing_heavy() -> None:
    code = ("import sys\nfrom deskmodel.checks import CHECKS, sections\n[sections(c) for c in CHECKS]\n"
            "print(sorted({m.split('.')[0] for m in sys.modules} & {'numpy', 'OCP', 'trimesh', 'scipy', 'rich'}))")
    done = subprocess.run([sys.executable, "-B", "-c", code], capture_output=True, text=True, timeout=60,
                          cwd=Path(__file__).parent.parent.parent, check=False)
    assert done.stdout.strip() == "[]", done.stderr
