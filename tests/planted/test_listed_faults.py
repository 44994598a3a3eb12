"""Every listed edit of the first desk is found, where it is, and nothing unrelated is said."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from deskmodel.fit import FitEngine
from tests.planted.harness import PARTS, Run, run_edit

LIST = tomllib.loads((Path(__file__).parent / "faults.toml").read_text(encoding="utf-8"))["fault"]


@pytest.fixture(scope="module")
def engine() -> FitEngine:
    return FitEngine()


def edited(fault: dict[str, Any]) -> dict[str, str]:
    name = fault.get("file", "desk.py")
    text = (PARTS / name).read_text(encoding="utf-8")
    assert text.count(fault["find"]) == 1, "the edit must fit exactly one place"
    return {name: text.replace(fault["find"], fault["replace"])}


def test_the_list_is_long_enough() -> None:
    assert len(LIST) >= 40
    assert len({fault["id"] for fault in LIST}) == len(LIST)


def test_clean_desk_has_no_finding(tmp_path: Path, engine: FitEngine) -> None:
    run = run_edit(tmp_path / "parts", {}, engine)
    assert run.refused is None
    assert [(o.id, o.outcome, o.reason) for o in run.outcomes if o.outcome != "passed"] == []


@pytest.mark.parametrize("fault", LIST, ids=[fault["id"] for fault in LIST])
def test_listed_fault(fault: dict[str, Any], tmp_path: Path, engine: FitEngine) -> None:
    run = run_edit(tmp_path / "parts", edited(fault), engine)
    assert run.refused is None, run.refused
    assert not [o for o in run.outcomes if o.outcome in ("crashed", "not-checked")]
    expected: Sequence[Sequence[str]] = fault["expect"]
    told = [f"{f.id}: {f.message}" for f in run.findings]
    for check_id, *parts in expected:
        assert any(f.id == check_id and set(parts) <= set(f.parts) for f in run.findings), \
            f"not found: {check_id} {parts}; told: {told}"
    related = {part for _, *parts in expected for part in parts} | set(fault.get("about", ()))
    unrelated = [f.message for f in run.findings if not related & set(f.parts)]
    assert not unrelated
    if expected:
        assert_first(fault, run)


def assert_first(fault: dict[str, Any], run: Run) -> None:
    check_id, *parts = fault["expect"][0]
    first = next(f for f in run.findings if f.id == check_id and set(parts) <= set(f.parts))
    if "measured" in fault and first.measured is not None and first.unit == "mm":
        off = first.measured - (first.required or 0.0) if check_id == "joint-faces-apart" else first.measured
        assert abs(off) == pytest.approx(fault["measured"], abs=0.02), first.message
    if "near" in fault:
        assert first.point is not None
        # a body of overlap, or a face, may be long: within 1 mm across its two short directions at least
        away = sorted(abs(a - b) for a, b in zip(first.point, fault["near"], strict=True))
        assert math.hypot(away[0], away[1]) <= 1.0, f"{first.point} is not near {fault['near']}"
