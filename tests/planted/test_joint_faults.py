"""Every listed edit of a desk's joints is found, where it is, by the right check and by no other."""

from __future__ import annotations

import math
import shutil
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from deskmodel.checks import CHECKS
from deskmodel.errors import InputFault
from deskmodel.findings import Finding
from deskmodel.fit import FitEngine
from deskmodel.session.run import Session
from deskmodel.session.script import load_script

ROOT = Path(__file__).parent.parent.parent
FOLDERS = {"tiny": Path(__file__).parent / "joint_faults" / "tiny", "duty": ROOT / "parts"}
LIST = tomllib.loads((Path(__file__).parent / "joint_faults" / "dowels.toml").read_text(encoding="utf-8"))["fault"]
OWN = ("dowel-diameter-unfit", "dowel-near-edge", "joint-can-turn", "dowels-badly-spaced", "hole-breaks-through",
       "glue-space-unfit", "dowel-too-shallow", "opposed-dowels-close", "holes-cross", "holes-misaligned")
HAVE = {check.id for check in CHECKS}


@pytest.fixture(scope="module")
def session() -> Session:
    return Session(engine=FitEngine())


def edited(fault: dict[str, Any], folder: Path) -> Path:
    """The desk's folder with the one text replaced."""
    shutil.copytree(FOLDERS[fault.get("of", "tiny")], folder, ignore=shutil.ignore_patterns("__pycache__"))
    path = folder / fault.get("file", "desk.py")
    text = path.read_text(encoding="utf-8")
    assert text.count(fault["find"]) == 1, "the edit must fit exactly one place"
    path.write_text(text.replace(fault["find"], fault["replace"]), encoding="utf-8")
    return folder / "desk.py"


def findings(session: Session, script: Path, only: tuple[str, ...] | None = None) -> list[Finding]:
    outcomes = session.check(session.load(load_script(script)), only).outcomes
    assert not [o for o in outcomes if not o.deselected and o.outcome in ("crashed", "not-checked")]
    return [finding for outcome in outcomes for finding in outcome.findings]


def matches(found: Finding, expected: dict[str, Any]) -> bool:
    measured, near = expected.get("measured"), expected.get("near")
    return (found.id == expected["check"] and set(found.parts) == set(expected["parts"])
            and found.severity == expected.get("severity", "warn")
            and (measured is None or (found.measured is not None and abs(found.measured - measured) <= 0.02))
            and (near is None or (found.point is not None and math.dist(found.point, near) <= 1.0)))


def unmatched(found: list[Finding], fault: dict[str, Any]) -> Iterator[str]:
    rest = list(found)
    for expected in fault["expect"]:
        hit = next((f for f in rest if matches(f, expected)), None)
        if hit is None:
            yield f"missed {expected}"
        else:
            rest.remove(hit)
    yield from (f"false {f.id} {f.severity} {f.measured} {f.point}: {f.message}" for f in rest
                if f.id not in fault.get("also", ()))


def test_the_list_is_long_enough() -> None:
    assert len({fault["id"] for fault in LIST}) == len(LIST)
    for check in OWN:
        assert sum(any(e["check"] == check for e in fault.get("expect", ())) for fault in LIST) >= 5, check


@pytest.mark.parametrize("of", FOLDERS)
def test_the_desks_are_clean(of: str, session: Session) -> None:
    assert [f.message for f in findings(session, FOLDERS[of] / "desk.py")] == []


@pytest.mark.parametrize("fault", LIST, ids=[fault["id"] for fault in LIST])
def test_listed_fault(fault: dict[str, Any], tmp_path: Path, session: Session) -> None:
    script = edited(fault, tmp_path / "desk")
    if "refused" in fault:
        with pytest.raises(InputFault, match=fault["refused"]):
            load_script(script)
        return
    missing = {e["check"] for e in fault["expect"]} - HAVE
    assert not missing
    assert list(unmatched(findings(session, script, OWN), fault)) == []
    related = {part for e in fault["expect"] for part in e["parts"]} | set(fault.get("about", ()))
    every = findings(session, script)
    assert [f"{f.id}: {f.message}" for f in every if not related & set(f.parts)] == []
