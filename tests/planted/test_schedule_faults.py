"""Every listed edit of the duty desk or of its workshop leaves a hole that cannot be drilled, and just that is said."""

from __future__ import annotations

import shutil
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from deskmodel.checks import CHECKS, Facts, run_checks
from deskmodel.findings import Finding
from deskmodel.model import read_json
from deskmodel.session.script import load_script
from deskmodel.workshop import default_workshop

HERE = Path(__file__).parent
PARTS = HERE.parent.parent / "parts"
SHELF = HERE.parent.parent / "deskmodel" / "templates" / "shelf"
LIST = tomllib.loads((HERE / "joint_faults" / "schedule.toml").read_text(encoding="utf-8"))["fault"]
IDS = [check.id for check in CHECKS if check.needs == "model" and check.id != "jig-off-target"]
"""What a jig asks of a bit beyond the schedule, gap and chuck, has a list of its own."""


def said(folder: Path, name: str = "workshop.toml", find: str = "", put: str = "") -> list[Finding]:
    """What all checks say that need no solid, after one edit of one file."""
    shutil.copytree(PARTS, folder, ignore=shutil.ignore_patterns("__pycache__"))
    text = (folder / name).read_text(encoding="utf-8")
    if find:
        assert text.count(find) == 1, "the edit must fit exactly one place"
    (folder / name).write_text(text.replace(find, put) if find else text, encoding="utf-8")
    script = load_script(folder / "desk.py")  # a process of its own: the desk is of several modules
    outcomes = run_checks(Facts(read_json(script.model), lines=script.lines), IDS)
    assert not [o for o in outcomes if o.id in IDS and o.outcome in ("crashed", "not-checked")]
    return [finding for outcome in outcomes for finding in outcome.findings if finding.accepted is None]


def test_the_list_is_long_enough() -> None:
    assert len([fault for fault in LIST if fault["expect"] != "nothing"]) >= 5
    assert len({fault["id"] for fault in LIST}) == len(LIST)


def test_the_duty_desk_is_clean(tmp_path: Path) -> None:
    assert said(tmp_path / "parts") == []


@pytest.mark.parametrize("desk", [PARTS, SHELF], ids=["duty desk", "shelf"])
def test_the_worked_desks_are_clean_in_the_default_workshop(desk: Path) -> None:
    model = replace(read_json(load_script(desk / "desk.py").model), workshop=default_workshop())
    outcomes = run_checks(Facts(model), ["hole-not-drillable"])
    assert [(o.outcome, o.findings) for o in outcomes if not o.deselected] == [("passed", ())]


@pytest.mark.parametrize("fault", LIST, ids=[fault["id"] for fault in LIST])
def test_listed_fault(fault: dict[str, Any], tmp_path: Path) -> None:
    findings = said(tmp_path / "parts", fault["file"], fault["find"], fault["replace"])
    told = [f"{f.id}: {f.message}" for f in findings]
    if fault["expect"] == "nothing":
        assert findings == [], told
        return
    found, *others = sorted(findings, key=lambda f: f.id != "hole-not-drillable")
    assert (found.id, found.severity) == ("hole-not-drillable", fault["expect"]), told
    assert {f.id for f in others} == set(fault.get("also", ())), told  # what the edit does to the joints themselves
    assert set(fault["parts"]) <= set(found.parts)
    assert not set(fault["not"]) & set(found.parts)
    assert found.measured == pytest.approx(fault["measured"], abs=1e-3)
    assert found.required == pytest.approx(fault["required"], abs=1e-3)
    assert found.point == pytest.approx(fault["near"], abs=1e-3)
    assert found.lines
