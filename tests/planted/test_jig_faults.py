"""Every listed edit of a desk or of its workshop leaves holes that the jigs do not meet, and just that is said."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path
from typing import Any

import pytest

from deskmodel.checks import CHECKS, Facts, run_checks
from deskmodel.findings import Finding
from deskmodel.jigs import jig_plan
from deskmodel.model import DeskModel, read_json
from deskmodel.session.script import load_script

HERE = Path(__file__).parent
FOLDERS = {"tiny": HERE / "joint_faults" / "tiny", "duty": HERE.parent.parent / "parts"}
LIST = tomllib.loads((HERE / "joint_faults" / "jigs.toml").read_text(encoding="utf-8"))["fault"]
IDS = [check.id for check in CHECKS if check.needs == "model"]


def said(source: Path, folder: Path, fault: dict[str, Any] | None = None) -> tuple[DeskModel, list[Finding]]:
    """What all checks say that need no solid, after the edit."""
    shutil.copytree(source, folder, ignore=shutil.ignore_patterns("__pycache__"))
    if fault is not None:
        path = folder / fault.get("file", "desk.py")
        text = path.read_text(encoding="utf-8")
        assert text.count(fault["find"]) == 1, "the edit must fit exactly one place"
        path.write_text(text.replace(fault["find"], fault["replace"]), encoding="utf-8")
    script = load_script(folder / "desk.py")
    model = read_json(script.model)
    outcomes = run_checks(Facts(model, lines=script.lines), IDS)
    assert not [(o.id, o.reason) for o in outcomes if o.id in IDS and o.outcome in ("crashed", "not-checked")]
    return model, [finding for outcome in outcomes for finding in outcome.findings if finding.accepted is None]


def test_the_list_is_long_enough() -> None:
    assert len([fault for fault in LIST if fault["expect"] != "nothing"]) >= 5
    assert len({fault["id"] for fault in LIST}) == len(LIST)


@pytest.mark.parametrize("of", FOLDERS)
def test_the_desks_are_clean(of: str, tmp_path: Path) -> None:
    assert [f.message for f in said(FOLDERS[of], tmp_path / "desk")[1]] == []


@pytest.mark.parametrize("fault", LIST, ids=[fault["id"] for fault in LIST])
def test_listed_fault(fault: dict[str, Any], tmp_path: Path) -> None:
    model, findings = said(FOLDERS[fault.get("of", "duty")], tmp_path / "desk", fault)
    told = [f"{f.id}: {f.message}" for f in findings]
    own = [f for f in findings if f.id == "jig-off-target"]
    assert {f.id for f in findings} - {"jig-off-target"} == set(fault.get("also", ())), told
    if "jigs" in fault:
        assert [jig.label for jig in jig_plan(model).jigs] == fault["jigs"]
    if fault["expect"] == "nothing":
        assert own == [], told
        return
    assert len(own) == 1 + fault.get("others", 0), told
    found, = (f for f in own if set(fault["parts"]) <= set(f.parts))
    assert found.severity == fault["expect"]
    assert not set(fault["not"]) & set(found.parts)
    if "measured" in fault:
        assert found.measured == pytest.approx(fault["measured"], abs=1e-3)
        assert found.required == pytest.approx(fault["required"], abs=1e-3)
    assert found.point == pytest.approx(fault["near"], abs=1.0)
    assert found.lines
    assert found.remedy
    assert found.source
