"""The commands from outside: exit status, what is printed, what is written."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from deskmodel.service import DEFAULT as SERVICE
from deskmodel.workshop import DEFAULT
from tests.cli.commands import CLEAN, GLUED, ROOT, STRIKING, STRIP, deskmodel, write


def test_a_clean_desk(tmp_path: Path, cache: Path) -> None:
    write(tmp_path, CLEAN)
    ran = deskmodel("check", cwd=tmp_path, cache=cache)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert ran.stdout.startswith("small frame  revision ")
    assert "nothing found" in ran.stdout
    assert re.search(r"size +300 × 200 × 60 mm, 8\d\d g, centre of gravity x 150, y 100, z 30", ran.stdout)
    assert "\x1b" not in ran.stdout
    assert not (tmp_path / "exports").exists()


def test_a_finding_says_where_how_much_and_what_to_do(tmp_path: Path, cache: Path) -> None:
    write(tmp_path, STRIKING)
    ran = deskmodel("check", "--only", "parts-overlap", cwd=tmp_path, cache=cache)
    assert ran.returncode == 1, ran.stdout + ran.stderr
    assert "[STOP] parts-overlap" in ran.stdout
    rows = dict(line.strip().split(None, 1) for line in ran.stdout.split("[STOP] parts-overlap")[1].splitlines()
                if line.startswith("    ") and not line.startswith("     "))
    # the strip starts at y 20, the front ends at y 22
    assert rows["measured"] == "2 mm"
    assert rows["needed"] == "0 mm"
    assert rows["script"].startswith("desk.py:")
    assert {"parts", "where", "what", "do"} <= set(rows)


def test_json(tmp_path: Path, cache: Path) -> None:
    write(tmp_path, STRIKING)
    ran = deskmodel("check", "--json", "-", "--set", "width=320", cwd=tmp_path, cache=cache)
    assert ran.returncode == 1
    record = json.loads(ran.stdout)
    assert list(record) == ["schema", "desk", "revision", "parameters", "parts", "pairs", "checks", "findings",
                            "accepted_but_not_found"]
    assert record["schema"] == 1
    assert record["desk"] == "small frame"
    assert record["parameters"] == {"width": 320, "depth": 200, "name": "small frame", "shift": 0}
    assert record["pairs"] == record["parts"] * (record["parts"] - 1) // 2
    for check in record["checks"]:
        assert set(check) == {"id", "outcome", "reason", "seconds"}
        assert check["outcome"] in {"passed", "findings", "not-checked", "crashed"}
    overlaps = [finding for finding in record["findings"] if finding["id"] == "parts-overlap"]
    assert {"front", "strip"} in [set(finding["parts"]) for finding in overlaps]
    for finding in record["findings"]:
        assert {"id", "severity", "parts", "point", "measured", "required", "unit", "message", "remedy", "source",
                "accepted"} <= set(finding)
    (tmp_path / "old.json").write_text("old")
    assert deskmodel("check", "--json", "old.json", cwd=tmp_path, cache=cache).returncode == 1
    assert json.loads((tmp_path / "old.json").read_text())["revision"]
    ran = deskmodel("check", "--json", "no/such/folder.json", cwd=tmp_path, cache=cache)
    assert ran.returncode == 2
    assert "cannot be written" in ran.stderr
    assert sorted(path.name for path in tmp_path.iterdir()) == ["desk.py", "old.json"]


def test_only_leaves_the_others_out(tmp_path: Path, cache: Path) -> None:
    write(tmp_path, STRIKING)
    ran = deskmodel("check", "--only", "outside-envelope", "--json", "-", cwd=tmp_path, cache=cache)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    outcomes = {check["id"]: check for check in json.loads(ran.stdout)["checks"]}
    assert outcomes["outside-envelope"]["outcome"] == "passed"
    assert outcomes["parts-overlap"]["outcome"] == "not-checked"
    assert outcomes["parts-overlap"]["reason"]


def test_the_bay_table(tmp_path: Path, cache: Path) -> None:
    bay = '    d.bay("=B\\x1b1", x=(22, width - 22), y=(22, depth - 22))\n    return d'
    write(tmp_path, GLUED.replace("    return d", bay))
    ran = deskmodel("check", "--bays", "--only", "outside-envelope", cwd=tmp_path, cache=cache)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "=B\\x1b1  256 × 156 × open" in ran.stdout
    assert "\x1b" not in ran.stdout
    ran = deskmodel("check", "--bays", "--only", "outside-envelope", "--json", "-", cwd=tmp_path, cache=cache)
    assert json.loads(ran.stdout)["schema"] == 1  # nothing else on standard output
    assert deskmodel("make", cwd=tmp_path, cache=cache).returncode == 0
    table = (tmp_path / "exports" / "small-frame" / "documents" / "bays.csv").read_text(encoding="utf-8-sig")
    assert table.splitlines()[1].startswith("'=B 1,256,156,,22,278,")


def test_what_is_accepted_and_not_found_is_said(tmp_path: Path, cache: Path) -> None:
    accepted = '    d.accept("outside-envelope", "front", "planed on the bench")\n    return d'
    write(tmp_path, CLEAN.replace("    return d", accepted))
    ran = deskmodel("check", "--only", "outside-envelope", "--json", "said.json", cwd=tmp_path, cache=cache)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "outside-envelope of front, but not found: take it out, desk.py:12" in ran.stdout
    assert json.loads((tmp_path / "said.json").read_text())["accepted_but_not_found"] == [
        {"id": "outside-envelope", "parts": ["front"], "reason": "planed on the bench", "line": "desk.py:12"}]
    ran = deskmodel("check", "--only", "joint-faces-apart", cwd=tmp_path, cache=cache)
    assert "not found" not in ran.stdout  # nobody has looked


def test_an_unknown_check_is_told_where_it_is_accepted(tmp_path: Path, cache: Path) -> None:
    write(tmp_path, CLEAN.replace("    return d", '    d.accept("outside-envelop", "front", "planed")\n    return d'))
    ran = deskmodel("check", cwd=tmp_path, cache=cache)
    assert ran.returncode == 2
    assert "desk.py:12" in ran.stderr
    assert "'outside-envelop'" in ran.stderr


def listed(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


DOCUMENTS = {"report.html", "view.html",
             *(f"documents/{name}" for name in ("bays.csv", "plan.svg", "plan.png", "section.svg", "section.png"))}
"""Nobody can build from these: they are written whatever the checks say."""

CUTS = {f"documents/{name}" for name in ("cut-list.csv", "cut-list.pdf", "operation-sheets.pdf", "labels.pdf",
                                         "stock-layout.pdf", "stock-layout/ash.svg", "stock-layout/ash.png",
                                         "shopping-list.csv", "shopping-list.pdf")}
"""For the saw and the shop."""


JIGS = {*(f"documents/{name}.csv" for name in ("jigs", "tubes", "jig-slop")), "jigs/jigs.json", "jigs/trial-joint.pdf",
        *(f"jigs/{name}.{ending}" for name in ("j1-end", "j2-face") for ending in ("stl", "step", "3mf", "pdf", "png")),
        *(f"jigs/coupon-12-press.{ending}" for ending in ("stl", "step", "3mf", "pdf")),
        *(f"templates/story-stick-{name}" for name in ("front.pdf", "front-back-side.svg", "back.pdf",
                                                       "back-face-side.svg"))}
"""Dowels in ends and sides take an end jig and a face jig."""


def test_make(tmp_path: Path, cache: Path) -> None:
    write(tmp_path, CLEAN)
    ran = deskmodel("make", cwd=tmp_path, cache=cache)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    folder = tmp_path / "exports" / "small-frame"
    written = listed(folder)
    assert {name for name in written if not name.startswith("members/")} == {
        "model.json", "model.step", "model.glb", "picture.png", "findings.json", "manifest.json", "documents/drilling.csv",
        "documents/assembly.pdf", "documents/cautions.pdf", *JIGS, *CUTS, *DOCUMENTS}
    assert {"members/front.step", "members/m1-back.pdf"} <= written
    manifest = json.loads((folder / "manifest.json").read_text())
    assert manifest["released"] is True
    assert "UNRELEASED" not in (folder / "model.step").read_text()
    revision = manifest["revision"]
    assert revision in (folder / "model.step").read_text()[:400]
    assert json.loads((folder / "findings.json").read_text())["revision"] == revision
    assert revision.encode() in (folder / "model.glb").read_bytes()


def test_findings_hold_back_what_could_be_built_from(tmp_path: Path, cache: Path) -> None:
    write(tmp_path, GLUED)
    assert deskmodel("make", cwd=tmp_path, cache=cache).returncode == 0
    write(tmp_path, GLUED.replace("    return d\n", STRIP))
    ran = deskmodel("make", cwd=tmp_path, cache=cache)
    assert ran.returncode == 1
    folder = tmp_path / "exports" / "small-frame"
    assert listed(folder) == {"model.json", "findings.json", "manifest.json", *DOCUMENTS}
    assert "withheld" in ran.stdout
    ran = deskmodel("make", "--unreleased", cwd=tmp_path, cache=cache)
    assert ran.returncode == 1
    assert "unreleased" in ran.stdout
    assert json.loads((folder / "manifest.json").read_text())["released"] is False
    assert json.loads((folder / "findings.json").read_text())["unreleased"]
    assert json.loads((folder / "model.json").read_text())["unreleased"] is True
    assert "UNRELEASED revision" in (folder / "model.step").read_text()[:400]
    assert b'"unreleased":' in (folder / "model.glb").read_bytes()


def test_a_fault_of_the_input_leaves_the_exports_untouched(tmp_path: Path, cache: Path) -> None:
    write(tmp_path, GLUED)
    assert deskmodel("make", cwd=tmp_path, cache=cache).returncode == 0
    before = {path: path.read_bytes() for path in (tmp_path / "exports").rglob("*") if path.is_file()}
    for text, words in ((CLEAN.replace("length=width", "length=-width"), "desk.py:6"),
                        (CLEAN.replace("    return d", ""), "returned None"),
                        (CLEAN + "\nraise SystemExit(0)\n", "sys.exit"),
                        (CLEAN.replace("at=(0, 0, 0)", "at=(0, 90, 0)"), "desk.py:11"),
                        (CLEAN.replace("Member\n", "CutOut, Member, Plate, rectangle\n")
                         .replace("    return d\n", CUT_IN_TWO),
                         "desk.py:14")):
        write(tmp_path, text)
        ran = deskmodel("make", cwd=tmp_path, cache=cache)
        assert ran.returncode == 2, ran.stdout + ran.stderr
        assert words in ran.stderr
        assert "\nthe input is at fault\n" in "\n" + ran.stderr  # after what a slow machine says of its progress
        assert "Traceback" not in ran.stderr
        assert ran.stdout == ""
    assert {path: path.read_bytes() for path in (tmp_path / "exports").rglob("*") if path.is_file()} == before


CUT_IN_TWO = """
    halves = Plate("halves", rectangle(100, 50), 2, "steel", features=(CutOut(rectangle(20, 50, (40, 0))),))
    d.place(halves, at=(0, 0, 0))
    return d
"""


HOSTILE = ["../x", "<script>alert(1)</script>", "it's \"quoted\", a'',b", "=cmd|' /C calc'!A0", "line\nbreak", "桌子",
           "\x1b[31mred", "x" * 280, "con", "/etc/x", "a/b", "A/B"]

HOSTILE_DESK = f"""
from deskmodel import Cover, Desk, Member

NAMES = {HOSTILE!r}

def desk(name: str) -> Desk:
    d = Desk(name, envelope=(100, 50 * len(NAMES), 200))
    for i, part in enumerate(NAMES):
        d.place(Member(part, section=(22, 60), length=80, material="ash"), at=(0, 50 * i, 0))
        d.place(Cover(part + " lid", size=(60, 40)), at=(0, 50 * i, 100))
    return d
"""


@pytest.mark.parametrize("name", ["../x", "<script>alert(1)</script>", "桌子", "\x1b[31mred\n"], ids=ascii)
def test_hostile_names_are_harmless(tmp_path: Path, cache: Path, name: str) -> None:
    write(tmp_path, HOSTILE_DESK)
    (tmp_path / "inner").mkdir()
    ran = deskmodel("make", "../desk.py", "--set", f"name={name}", "--only", "parts-overlap", cwd=tmp_path / "inner",
                    cache=cache)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "\x1b" not in ran.stdout + ran.stderr
    assert {path.name for path in tmp_path.iterdir()} == {"desk.py", "inner"}
    assert {path.name for path in (tmp_path / "inner").iterdir()} == {"exports"}
    folder, = (path for path in (tmp_path / "inner" / "exports").iterdir() if path.is_dir())
    assert re.fullmatch("[a-z0-9-]+", folder.name)
    printed = sorted((folder / "printed").iterdir())
    assert len(printed) == len(HOSTILE)  # one backing for each, also where names differ only in case
    assert all(re.fullmatch(r"[a-z0-9-]+\.stl", path.name) for path in printed)
    assert json.loads((folder / "manifest.json").read_text(encoding="utf-8"))["desk"] == name
    parts = {part["part"]["name"] for part in json.loads((folder / "model.json").read_text(encoding="utf-8"))["parts"]}
    assert set(HOSTILE) <= parts
    names = {node["name"] for node in gltf(folder / "model.glb")["nodes"]}
    assert {*HOSTILE, name} <= names


def gltf(path: Path) -> dict[str, Any]:
    data = path.read_bytes()
    return json.loads(data[20:20 + int.from_bytes(data[12:16], "little")])


def test_bytes_of_the_first_desk_are_equal_whatever_the_folder_the_seed_and_the_cache(tmp_path: Path,
                                                                                     cache: Path) -> None:
    sets = []
    for run, seed in enumerate(("0", "1", "4711")):
        folder = tmp_path / f"run {run}"
        shutil.copytree(ROOT / "deskmodel" / "templates" / "shelf", folder / "parts")
        used = cache if run else tmp_path / "empty cache"
        ran = deskmodel("make", "--set", "width=910", cwd=folder, cache=used, seed=seed)
        assert ran.returncode == 0, ran.stdout + ran.stderr
        made = folder / "exports" / "radio-shelf"
        sets.append({path.relative_to(made).as_posix(): path.read_bytes() for path in made.rglob("*") if path.is_file()})
    for name in sets[0].keys() | sets[1].keys() | sets[2].keys():
        assert sets[0][name] == sets[1][name] == sets[2][name], name
    assert {"model.json", "model.step", "model.glb", "printed/radio-cover-backing.stl", "findings.json",
            "manifest.json"} <= sets[0].keys()


def test_new_gives_a_desk_that_can_be_checked(tmp_path: Path, cache: Path) -> None:
    ran = deskmodel("new", "my desk", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    assert (tmp_path / "my desk" / "parts" / "desk.py").is_file()
    assert [path.name for path in (tmp_path / "my desk").iterdir()] == ["parts"]
    assert (tmp_path / "my desk" / "parts" / "workshop.toml").read_bytes() == DEFAULT.read_bytes()
    assert (tmp_path / "my desk" / "parts" / "service.toml").read_bytes() == SERVICE.read_bytes()
    ran = deskmodel("check", "--only", "outside-envelope", cwd=tmp_path / "my desk", cache=cache)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    ran = deskmodel("new", "my desk", cwd=tmp_path)
    assert ran.returncode == 2
    assert "is not empty" in ran.stderr
