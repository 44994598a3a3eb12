"""What a comparison tells is exactly what was edited. The edits are known: made in the text of model.json by the tests
(``compare_edits.py``), or in the scripts' syntax trees, and then read off the two model.json by set difference."""

from __future__ import annotations

import json
from collections import Counter
from functools import cache
from itertools import combinations
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from deskmodel.errors import InputFault
from deskmodel.model import DeskModel, read_json, write_json
from deskmodel.plans.compare import Side, compare_desks
from deskmodel.plans.compare_parts import PartsCompared, compare_parts
from deskmodel.plans.compare_rest import compare_demands, compare_hardware, compare_joints
from tests.plans.compare_edits import KINDS, Expected, planted
from tests.planted.edits import Edit, edits_of
from tests.planted.harness import DUTY_DESK, SHELF, copied, edited_desk

ROOTS = {"shelf": SHELF, "duty desk": DUTY_DESK}
COUNT = 20
PAIRS = [(name, i, j) for name in ROOTS for i, j in combinations(range(COUNT), 2)]
SOME = [pair for k, pair in enumerate(PAIRS) if k % (4 if pair[0] == "shelf" else 19) == 0]  # the others are slow


@cache
def model_text(name: str) -> str:
    return write_json(edited_desk(ROOTS[name])[0])


def targets(told: Expected) -> set[str]:
    """Whatever an edit touches, by name."""
    found = {each[0] for group in (told.properties, told.holes, told.moved) for each in group}
    found |= {name for pair in told.renamed for name in pair} | told.added | told.removed
    found |= {name for name, _ in told.joints} | {name for _, name, _ in told.demands}
    return found | {part for _, name, _ in told.demands for part in name.split(" and ")}


@cache
def edited(name: str) -> tuple[tuple[DeskModel, Expected, Expected], ...]:
    """20 seeded random edits that do not touch the same thing: (model, told from the plain desk to it, told back)."""
    body = json.loads(model_text(name))
    turning = {part for swing in body["swings"] for part in swing["parts"]}  # a pin lies elsewhere then, too
    rng, made, taken, tries = Random(f"edits of {name}"), [], set(turning), 0
    while len(made) < COUNT:
        # every kind in turn, so that each is there; the shelf has few parts, and is through with some kinds soon
        kind, tries = KINDS[(len(made) + tries // 40) % len(KINDS)], tries + 1
        _, after, there, back = planted(body, rng, kind)
        touched = targets(there) | targets(back)
        grooved = any(part in touched and any(f["is"] == "Groove" for f in placed["part"]["features"])
                      for placed in body["parts"] for part in (placed["part"]["name"],))
        if touched & taken or grooved:  # a groove to the ends gets longer with its member
            continue
        try:
            model = read_json(json.dumps(after))
        except InputFault:  # a hole that would leave its face
            continue
        taken, tries = taken | touched, 0
        made.append((model, there, back))
    return tuple(made)


def told_of(old: DeskModel, new: DeskModel) -> Expected:
    """What the comparison says, in the words of the oracle."""
    parts = compare_parts(old, new)
    renamed = dict(parts.renamed)
    told = Expected(renamed=set(parts.renamed), added={name for name, _ in parts.added},
                    removed={name for name, _ in parts.removed})
    for part in parts.changed:
        told.properties |= {(part.name, each.what) for each in part.properties}
        for change in part.cuts:
            cut = change.new or change.old
            assert cut is not None
            told.holes.add((part.name, cut.face, change.what, tuple((d, round(by, 6)) for d, by in change.shift)))
        if part.moved is not None:
            told.moved.add((part.name, tuple(round(c, 6) for c in part.moved.shift)))
    told.joints = {(each.name, each.what) for each in compare_joints(old, new, renamed)}
    told.demands = {(each.kind, each.name, each.what) for each in compare_demands(old, new, renamed)}
    assert compare_hardware(old, new) == ()
    return told


def both(a: Expected, b: Expected) -> Expected:
    return Expected(*(getattr(a, name) | getattr(b, name) for name in Expected.__dataclass_fields__))


@pytest.mark.parametrize("name", ROOTS)
def test_a_planted_edit_is_told_and_nothing_else(name: str) -> None:
    plain = read_json(model_text(name))
    seen = both(Expected(), edited(name)[0][1])
    for _, there, _ in edited(name):
        seen = both(seen, there)
    assert all(getattr(seen, field) for field in Expected.__dataclass_fields__ if field != "removed")  # each kind is there
    assert {what for _, _, what, _ in seen.holes} == {"moved", "altered", "removed"}
    for model, there, back in edited(name):
        assert told_of(plain, model) == there
        assert told_of(model, plain) == back


@pytest.mark.parametrize(("name", "i", "j"), SOME)
def test_between_two_planted_edits(name: str, i: int, j: int) -> None:
    between_two(name, i, j)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "i", "j"), [pair for pair in PAIRS if pair not in set(SOME)])
def test_between_any_two_planted_edits(name: str, i: int, j: int) -> None:
    between_two(name, i, j)


def between_two(name: str, i: int, j: int) -> None:
    """The first one undone and the second one done."""
    (old, _, undone), (new, done, _) = edited(name)[i], edited(name)[j]
    assert told_of(old, new) == both(undone, done)


# ---- edits of the scripts

@cache
def scripted(name: str) -> tuple[tuple[Edit, DeskModel], ...]:
    """20 seeded random edits of the scripts and sheets which the desk survives."""
    edits = edits_of(ROOTS[name])
    order = Random(f"scripts of {name}").sample(range(len(edits)), len(edits))
    made: list[tuple[Edit, DeskModel]] = []
    with TemporaryDirectory() as folder:
        root = copied(ROOTS[name], Path(folder) / "desk")
        for i in order:
            edit = edits[i]
            file = root / edit.file
            before = file.read_text(encoding="utf-8")
            file.write_text(edit.text, encoding="utf-8")
            try:
                made.append((edit, edited_desk(root)[0]))
            except InputFault:  # the desk does not survive it
                pass
            finally:
                file.write_text(before, encoding="utf-8")
            if len(made) == COUNT:
                return tuple(made)
    raise AssertionError("too few edits")


def rounded(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, int | float | list | tuple | dict):
        return value
    if isinstance(value, list | tuple):
        return tuple(map(rounded, value))
    if isinstance(value, dict):
        return tuple((key, rounded(each)) for key, each in sorted(value.items()))
    return round(float(value), 6) + 0.0


def holes_marked_out(part: dict[str, Any]) -> Counter[Any]:
    """Every hole of a member or flat plate by its distances from the datums, and its sizes."""
    found: Counter[Any] = Counter()
    for f in part["features"]:
        if f["is"] != "Hole":
            continue
        u, v = f["at"]
        if part["is"] == "Member" and f["face"] not in ("under edge", "face edge"):
            v = part["section"][1] - v
        elif part["is"] == "Plate":
            u -= min(x for x, _, _ in part["outline"]["vertices"])  # straight sides only: asserted below
            v -= min(y for _, y, _ in part["outline"]["vertices"])
        sizes = (f[key] for key in ("diameter", "depth", "point", "counterbore", "countersink"))
        found[rounded([f["face"], u, v, *sizes])] += 1
    return found


def holes_told(parts: PartsCompared, name: str) -> tuple[Counter[Any], Counter[Any]]:
    """(as they were, as they are now) of the holes that are told to differ."""
    was, now = Counter[Any](), Counter[Any]()
    for part in parts.changed:
        for change in part.cuts if part.name == name else ():
            for side, cut in ((was, change.old), (now, change.new)):
                if cut is not None and cut.kind == "hole" and change.what != "relabelled":
                    side[rounded([cut.face, *(at for _, at in cut.place), *(v for _, v in cut.figures)])] += 1
    return was, now


def agrees(old: DeskModel, new: DeskModel) -> None:
    """The comparison against the two model.json, part by part."""
    was, now = (json.loads(write_json(model)) for model in (old, new))
    parts = compare_parts(old, new)
    before, after = ({p["part"]["name"]: p for p in body["parts"] if p["part"]["is"] != "Hardware"} for body in (was, now))
    gone, come = ({old for old, _ in parts.renamed}, {new for _, new in parts.renamed})
    assert {name for name, _ in parts.removed} | gone == set(before) - set(after)
    assert {name for name, _ in parts.added} | come == set(after) - set(before)
    changed = {part.name: part for part in parts.changed}
    for name in set(before) & set(after):
        a, b = before[name], after[name]
        same_pose = rounded(a["pose"]) == rounded(b["pose"])
        if same_pose and rounded(a["part"]) == rounded(b["part"]):
            assert name not in changed
            continue
        if not {v[2] for p in (a, b) if p["part"]["is"] == "Plate" for v in p["part"]["outline"]["vertices"]} <= {0}:
            continue  # round outlines: their box is not that of their vertices
        if a["part"]["is"] in ("Member", "Plate"):
            marked = holes_marked_out(a["part"]), holes_marked_out(b["part"])
            assert holes_told(parts, name) == (marked[0] - marked[1], marked[1] - marked[0]), name
        for key in ("length", "section", "thickness", "material", "mass", "heat"):
            told = name in changed and key in {each.what for each in changed[name].properties}
            assert told == (rounded(a["part"].get(key)) != rounded(b["part"].get(key))), (name, key)
        if same_pose and a["part"]["is"] != "Plate":
            assert name not in changed or changed[name].moved is None
        if not same_pose and a["part"]["is"] != "Plate":
            assert changed[name].moved is not None
    joints_and_demands(was, now, old, new, dict(parts.renamed))


def joints_and_demands(was: Any, now: Any, old: DeskModel, new: DeskModel, renamed: dict[str, str]) -> None:
    told = compare_joints(old, new, renamed)
    names = [{joint["name"] for joint in body["joints"]} for body in (was, now)]
    if not renamed:
        assert {each.name for each in told if each.what == "removed"} >= names[0] - names[1] - set().union(
            *({each.name} for each in told if each.what == "changed"))
        assert len({each.name for each in told if each.what == "added"}) - len(
            {each.name for each in told if each.what == "removed"}) == len(names[1]) - len(names[0])
    counts = [Counter(p["part"]["designation"] for p in body["parts"] if p["part"]["is"] == "Hardware")
              for body in (was, now)]
    assert {(each.designation, each.old, each.new) for each in compare_hardware(old, new) if each.old != each.new} == {
        (name, counts[0][name], counts[1][name]) for name in counts[0].keys() | counts[1].keys()
        if counts[0][name] != counts[1][name]}
    gaps = [Counter((gap["a"], gap["b"], gap["reason"], rounded(gap["minimum"])) for gap in body["gaps"])
            for body in (was, now)]
    demands = [each for each in compare_demands(old, new, renamed) if each.kind == "gap"]
    if not renamed:
        assert bool(demands) == (gaps[0] != gaps[1])
        assert sum(each.what != "added" for each in demands) == (gaps[0] - gaps[1]).total()
        assert sum(each.what != "removed" for each in demands) == (gaps[1] - gaps[0]).total()


@pytest.mark.parametrize("name", ["shelf", pytest.param("duty desk", marks=pytest.mark.slow)])
def test_script_edits_against_the_plain_desk(name: str) -> None:
    plain = read_json(model_text(name))
    for edit, model in scripted(name):
        agrees(plain, model)
        made = compare_desks(Side("plain", plain), Side("edited", model))
        assert made.equal == (write_json(plain) == write_json(model)), edit.name
        assert made.told or made.equal, edit.name  # never only "written differently"


@pytest.mark.parametrize(("name", "i", "j"), SOME)
def test_between_two_script_edits(name: str, i: int, j: int) -> None:
    agrees(scripted(name)[i][1], scripted(name)[j][1])


@pytest.mark.slow
@pytest.mark.parametrize(("name", "i", "j"), [pair for pair in PAIRS if pair not in set(SOME)])
def test_between_any_two_script_edits(name: str, i: int, j: int) -> None:
    agrees(scripted(name)[i][1], scripted(name)[j][1])
