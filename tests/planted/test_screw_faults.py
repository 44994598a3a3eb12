"""Every listed edit is found by the right check on screws, inserts, stand-offs, patterns or glue, where it is, and no
unrelated finding comes with it."""

from __future__ import annotations

import math
import shutil
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from deskmodel.findings import Finding
from deskmodel.fit import FitEngine
from deskmodel.session.run import Checked, Session
from deskmodel.session.script import load_script

HERE = Path(__file__).parent
LIST = tomllib.loads((HERE / "joint_faults" / "screws.toml").read_text(encoding="utf-8"))["fault"]
BASES = {"bench": HERE / "joint_faults" / "bench", "duty": HERE.parent.parent / "parts"}
CHECK_IDS = ("screw-too-short", "screw-too-long", "countersink-too-deep", "head-proud", "insert-near-edge",
             "fixing-pitch", "stand-off-short", "pattern-unmet", "glue-does-not-bond")


@cache
def session() -> Session:
    return Session(engine=FitEngine())


def run(folder: Path, only: tuple[str, ...] | None = None) -> Checked:
    done = session().check(session().load(load_script(folder / "desk.py")), only)
    assert not [o for o in done.outcomes if o.outcome in ("crashed", "not-checked") and not o.deselected]
    return done


def findings(done: Checked, ids: tuple[str, ...] | None = None) -> list[Finding]:
    """Those that nobody has accepted."""
    return [f for o in done.outcomes for f in o.findings if f.accepted is None and (ids is None or f.id in ids)]


def edited(fault: dict[str, Any], folder: Path) -> Path:
    shutil.copytree(BASES[fault.get("base", "bench")], folder, ignore=shutil.ignore_patterns("__pycache__"))
    path = folder / fault.get("file", "desk.py")
    text = path.read_text(encoding="utf-8")
    assert text.count(fault["find"]) == 1, "the edit must fit exactly one place"
    path.write_text(text.replace(fault["find"], fault["replace"]), encoding="utf-8")
    return folder


def test_the_list_is_long_enough() -> None:
    assert len({fault["id"] for fault in LIST}) == len(LIST)
    for check_id in CHECK_IDS:
        assert len([f for f in LIST if any(e[0] == check_id for e in f["expect"])]) >= 5, check_id


@pytest.mark.parametrize("base", BASES)
def test_before_the_edit_nothing_is_wrong(base: str) -> None:
    assert findings(run(BASES[base])) == []


@pytest.mark.parametrize("fault", LIST, ids=[fault["id"] for fault in LIST])
def test_the_fault_is_found_where_it_is(fault: dict[str, Any], tmp_path: Path) -> None:
    found = findings(run(edited(fault, tmp_path / "desk"), CHECK_IDS))
    if not fault["expect"]:
        assert [f.message for f in found if f.id in fault["silent"]] == []
        return
    told = sorted((f.id, *sorted(f.parts)) for f in found)
    assert told == sorted((e[0], *sorted(e[1:])) for e in fault["expect"]), [f.message for f in found]
    check_id, *parts = fault["expect"][0]
    first = next(f for f in found if f.id == check_id and set(f.parts) == set(parts))
    assert first.severity == fault["severity"], first.message
    if "measured" in fault:
        assert first.measured == pytest.approx(fault["measured"], abs=0.005), first.message
        assert first.unit == "mm"
        assert first.required is not None
    if "near" in fault:
        assert first.point is not None
        assert min(math.dist(first.point, near) for near in fault["near"]) <= 1.0, first.point


@pytest.mark.parametrize("fault", LIST, ids=[fault["id"] for fault in LIST])
def test_nothing_unrelated_is_said(fault: dict[str, Any], tmp_path: Path) -> None:
    """All checks: each finding is about a part of the fault."""
    about = {part for _, *parts in fault["expect"] for part in parts} | set(fault.get("about", ()))
    model = run(edited(fault, tmp_path / "desk"))
    groups = {p.name: p.group for p in model.loaded.model.parts}
    assert [f.message for f in findings(model) if not any(part in about or set(_words(groups.get(part))) & about
                                                          for part in f.parts)] == []


def _words(group: str | None) -> list[str]:
    """The part whose joint added this piece of hardware: a joint is named for it."""
    return [group.rsplit(" ", 1)[0]] if group else []
