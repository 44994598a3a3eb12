"""Every listed edit of four plates or of their service profile is found, where it is, by the right check and by no other."""

from __future__ import annotations

import math
import shutil
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from deskmodel.checks import Facts, run_checks
from deskmodel.findings import Finding
from deskmodel.model import read_json
from deskmodel.session.script import load_script

HERE = Path(__file__).parent / "joint_faults"
LIST = tomllib.loads((HERE / "plates.toml").read_text(encoding="utf-8"))["fault"]
OWN = ("hole-too-small", "slot-narrow-as-kerf", "web-too-thin", "cut-near-edge", "cut-near-bend", "flange-too-short",
       "bend-unlike-service", "plate-larger-than-sheet", "turned-over-unnoticed")


def said(folder: Path, name: str = "desk.py", find: str = "", put: str = "") -> list[Finding]:
    shutil.copytree(HERE / "plates", folder, ignore=shutil.ignore_patterns("__pycache__"))
    text = (folder / name).read_text(encoding="utf-8")
    if find:
        assert text.count(find) == 1, "the edit must fit exactly one place"
        (folder / name).write_text(text.replace(find, put), encoding="utf-8")
    script = load_script(folder / "desk.py")
    outcomes = run_checks(Facts(read_json(script.model), lines=script.lines), OWN)
    assert not [o for o in outcomes if not o.deselected and o.outcome in ("crashed", "not-checked")]
    return [finding for outcome in outcomes for finding in outcome.findings]


def matches(found: Finding, expected: dict[str, Any]) -> bool:
    measured, near = expected.get("measured"), expected.get("near")
    return (found.id == expected["check"] and found.parts == (expected["part"],)
            and found.severity == expected.get("severity", "stop") and bool(found.lines)
            and (measured is None if found.measured is None else measured is not None
                 and abs(found.measured - measured) <= 0.001)
            and (near is None or (found.point is not None and math.dist(found.point, near) <= 1.0)))


def unmatched(found: list[Finding], fault: dict[str, Any]) -> Iterator[str]:
    rest = list(found)
    for expected in fault["expect"]:
        hit = next((f for f in rest if matches(f, expected)), None)
        if hit is None:
            yield f"missed {expected}"
        else:
            rest.remove(hit)
    yield from (f"false {f.id} {f.severity} {f.measured} {f.point}: {f.message}" for f in rest)


def test_the_list_is_long_enough() -> None:
    assert len({fault["id"] for fault in LIST}) == len(LIST)
    for check in OWN:
        assert sum(any(e["check"] == check for e in fault["expect"]) for fault in LIST) >= 5, check


def test_the_plates_are_clean(tmp_path: Path) -> None:
    assert [f.message for f in said(tmp_path / "plates")] == []


@pytest.mark.parametrize("fault", LIST, ids=[fault["id"] for fault in LIST])
def test_listed_fault(fault: dict[str, Any], tmp_path: Path) -> None:
    found = said(tmp_path / "plates", fault.get("file", "desk.py"), fault["find"], fault["replace"])
    assert list(unmatched(found, fault)) == []
