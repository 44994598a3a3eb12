"""From the papers alone every member and every plate is made anew and held against model.step: nothing is left of either
that the other has not, and a hole that is mirrored, left out or 0.1 mm aside in the papers is noticed.

The solids are made by cadquery and judged by the kernel's booleans; the papers are read with csv and ezdxf, the assembly
with the kernel's own STEP reader. Nothing here imports deskmodel: it is run as its users run it.
"""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import cadquery as cq
import pytest

from tests.rebuild.judge import NIL, STANDING, as_large, as_marked, difference, laid
from tests.rebuild.members import marks_of, rebuilt
from tests.rebuild.papers import Papers, Row, names, read_papers
from tests.rebuild.plates import drawing_of, rebuilt_plate, to_own_frame
from tests.rebuild.shapes import turned
from tests.rebuild.step import named_solids

SHELF = pytest.mark.slow  # the small desk has every kind of cut; the worked ones take the kernel minutes
HERE = Path(__file__).parent
ROOT = HERE.parent.parent
Made = tuple[Papers, dict[str, cq.Shape]]


def make(script: Path, out: Path, *, findings: bool = False) -> Made:
    ran = subprocess.run([sys.executable, "-m", "deskmodel", "make", str(script), "--out", str(out),
                          *(["--unreleased"] if findings else [])], env={**os.environ, "PYTHONPATH": str(ROOT)},
                         capture_output=True, text=True, check=False, cwd=out)
    assert ran.returncode in ((0, 1) if findings else (0,)), ran.stdout + ran.stderr
    folder, = (path for path in out.iterdir() if (path / "model.step").exists())
    return read_papers(folder), named_solids(folder / "model.step")


@pytest.fixture(scope="module")
def every_cut(tmp_path_factory: pytest.TempPathFactory) -> Made:
    folder = tmp_path_factory.mktemp("cuts")
    (folder / "desk.py").write_text((HERE / "small_desk.txt").read_text())
    return make(folder / "desk.py", folder, findings=True)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Made:
    return make(ROOT / "deskmodel" / "templates" / "shelf" / "desk.py", tmp_path_factory.mktemp("shelf"))


@pytest.fixture(scope="module")
def duty_desk(tmp_path_factory: pytest.TempPathFactory) -> Made:
    return make(ROOT / "parts" / "desk.py", tmp_path_factory.mktemp("duty"))


def test_nothing_here_knows_the_tool() -> None:
    for file in HERE.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            modules = [alias.name for alias in node.names] if isinstance(node, ast.Import) else (
                [node.module or ""] if isinstance(node, ast.ImportFrom) else [])
            for module in modules:
                assert module.split(".")[0] != "deskmodel", f"{file.name} imports {module}"
                assert not module.startswith("tests") or module.startswith("tests.rebuild"), f"{file.name} imports {module}"


# ---- everything as one

def member_apart(papers: Papers, solids: dict[str, cq.Shape], name: str) -> float:
    """The share by which a member made from the papers differs, laid as its marks say."""
    return difference(laid(as_marked(rebuilt(papers, name), marks_of(papers, name)), solids[name]),
                      solids[name]) / solids[name].Volume()


def board_apart(papers: Papers, solids: dict[str, cq.Shape], name: str) -> float:
    return difference(laid(rebuilt(papers, name), solids[name]), solids[name]) / solids[name].Volume()


def plate_apart(papers: Papers, solids: dict[str, cq.Shape], name: str, drawing: object = None) -> float:
    """Flat plates lie in these desks as they are drawn and told; a bent one may stand in any way, but not mirrored."""
    line, _ = drawing_of(papers, name)
    made, solid = rebuilt_plate(papers, name, drawing), solids[name]  # type: ignore[arg-type]
    if line["bends of one"] == "0":
        return difference(laid(to_own_frame(line, made), solid), solid) / solid.Volume()
    ways = [each for each in (laid(turned(made, *way), solid) for way in STANDING) if as_large(each, solid)]
    return min((difference(each, solid) for each in ways), default=solid.Volume()) / solid.Volume()


def everything(papers: Papers, solids: dict[str, cq.Shape]) -> None:
    assert not [name for name in (*papers.members, *papers.sheets, *papers.ordered) if name not in solids]
    for name in papers.members:
        assert member_apart(papers, solids, name) <= NIL, name
    for name in papers.sheets:
        assert board_apart(papers, solids, name) <= NIL, name
    for name in papers.ordered:
        assert plate_apart(papers, solids, name) <= NIL, name


def test_every_kind_of_cut(every_cut: Made) -> None:
    papers, solids = every_cut
    assert {*papers.members, *papers.sheets, *papers.ordered} == {name for name in solids if "dowel" not in name}
    kinds = {row["row"] for row in papers.cuts if row["depth (mm)"]}
    assert kinds == {"notch", "groove", "bevel", "pocket", "slot", "cut-out", "vent field"}
    everything(papers, solids)


@SHELF
def test_the_shelf(shelf: Made) -> None:
    papers, solids = shelf
    assert len(papers.members) == 8
    assert {"under-plate", "top plate", "radio cover", "power cover"} <= set(papers.ordered)
    everything(papers, solids)


@pytest.mark.slow
def test_the_duty_desk(duty_desk: Made) -> None:
    papers, solids = duty_desk
    assert len(papers.members) == 31
    assert "under-plate" in papers.ordered
    everything(papers, solids)


# ---- members as they come from drilling

def drilled_apart(papers: Papers, file: Path) -> float:
    """A member after the stage "drill", in its own frame: the file lies as the papers count."""
    (name, solid), = named_solids(file).items()
    return difference(rebuilt(papers, name, after="drill"), solid) / solid.Volume()


@pytest.mark.parametrize("made", ["every_cut", pytest.param("shelf", marks=SHELF), pytest.param("duty_desk", marks=SHELF)])
def test_members_as_they_come_from_drilling(made: str, request: pytest.FixtureRequest) -> None:
    papers, _ = request.getfixturevalue(made)
    assert len(papers.drilled) >= 2
    for file in papers.drilled:
        assert drilled_apart(papers, file) <= NIL, file


def test_a_slip_is_noticed_in_members_as_they_come_from_drilling(every_cut: Made) -> None:
    papers, _ = every_cut
    later = 0
    for file in papers.drilled:
        (name, solid), = named_solids(file).items()
        rows = [i for i, row in enumerate(papers.holes) if name in names(row["part"]) and row["stage"] == "drill"]
        for i in Random(name).sample(rows, min(4, len(rows))):
            across = "finished width (mm)" if papers.holes[i]["face"] in ("datum end", "far end") else "finished length (mm)"
            length = float(sizes_of(papers, name)[across])
            slips: list[Callable[[Row], Row | None]] = [aside, left_out]
            if abs(2 * float(papers.holes[i]["x (mm)"]) - length) > 0.05:
                slips.append(mirrored_to(length))
            for slip in slips:
                assert drilled_apart(changed_hole(papers, i, slip), file) > NIL, (name, slip)
        later += difference(rebuilt(papers, name), solid) / solid.Volume() > NIL
    assert later  # what is cut after drilling is not in them yet


# ---- and a slip in the papers is noticed

def changed_hole(papers: Papers, i: int, change: Callable[[Row], Row | None]) -> Papers:
    row = change(papers.holes[i])
    return replace(papers, holes=(*papers.holes[:i], *([] if row is None else [row]), *papers.holes[i + 1:]))


def aside(row: Row) -> Row:
    return {**row, "x (mm)": str(float(row["x (mm)"]) + 0.1)}


def left_out(row: Row) -> None:
    return None


def mirrored_to(length: float) -> Callable[[Row], Row]:
    return lambda row: {**row, "x (mm)": str(length - float(row["x (mm)"]))}


def bored_from_behind(row: Row) -> Row:
    other = {"face side": "back side", "back side": "face side", "face edge": "under edge", "under edge": "face edge",
             "datum end": "far end", "far end": "datum end", "top": "bottom", "bottom": "top"}
    return {**row, "face": other[row["face"]]}


def sizes_of(papers: Papers, name: str) -> Row:
    return next(row for row in papers.cuts if row["row"] == "piece" and name in names(row["part"]))


@pytest.mark.parametrize("made", ["every_cut", pytest.param("shelf", marks=SHELF)])
def test_a_slip_in_the_drilling_schedule_is_noticed(made: str, request: pytest.FixtureRequest) -> None:
    papers, solids = request.getfixturevalue(made)
    rows = [i for i, row in enumerate(papers.holes) if names(row["part"])[0] in papers.members]
    for i in Random(made).sample(rows, min(8, len(rows))):
        row = papers.holes[i]
        name = names(row["part"])[0]
        across = "finished width (mm)" if row["face"] in ("datum end", "far end") else "finished length (mm)"
        length = float(sizes_of(papers, name)[across])
        slips: list[Callable[[Row], Row | None]] = [aside, left_out]
        if abs(2 * float(row["x (mm)"]) - length) > 0.05:  # not one in the middle
            slips.append(mirrored_to(length))
        if row["right through"] == "no" or row["countersink diameter (mm)"]:
            slips.append(bored_from_behind)
        for slip in slips:
            assert member_apart(changed_hole(papers, i, slip), solids, name) > NIL, (row, slip)


def test_a_slip_in_the_cut_list_is_noticed(every_cut: Made) -> None:
    papers, solids = every_cut
    for i, row in enumerate(papers.cuts):
        name = names(row["part"])[0]
        if not row["depth (mm)"] or name in papers.ordered:
            continue
        apart = member_apart if name in papers.members else board_apart
        slips = [None] if row["outline"] else [
            None, {**row, "x to (mm)": str(float(row["x to (mm)"]) - 0.1)} if row["row"] != "bevel" else None]
        slips.append({**row, "depth (mm)": str(float(row["depth (mm)"]) - 0.1)})
        for slip in slips:
            cuts = (*papers.cuts[:i], *([] if slip is None else [slip]), *papers.cuts[i + 1:])
            assert apart(replace(papers, cuts=cuts), solids, name) > NIL, row


@pytest.mark.parametrize(("made", "plate"), [("every_cut", "sole"), ("every_cut", "angle"), ("every_cut", "tray"),
                                             pytest.param("shelf", "under-plate", marks=SHELF),
                                             pytest.param("shelf", "power cover", marks=SHELF)])
def test_a_slip_in_a_drawing_is_noticed(made: str, plate: str, request: pytest.FixtureRequest) -> None:
    papers, solids = request.getfixturevalue(made)
    _, drawing = drawing_of(papers, plate)
    circles = [e.dxf.handle for e in drawing.modelspace() if e.dxftype() == "CIRCLE" and e.dxf.layer == "CUT"]
    for handle in Random(plate).sample(circles, min(2, len(circles))):
        _, drawing = drawing_of(papers, plate)
        circle = drawing.entitydb[handle]
        x, y, _ = circle.dxf.center
        circle.dxf.center = (x + 0.1, y)
        assert plate_apart(papers, solids, plate, drawing) > NIL, (x, y)
        drawing.modelspace().delete_entity(circle)
        assert plate_apart(papers, solids, plate, drawing) > NIL, (x, y)
    _, drawing = drawing_of(papers, plate)
    for entity in drawing.modelspace():  # all of the drawing seen from behind
        if entity.dxftype() == "CIRCLE":
            entity.dxf.center = (-entity.dxf.center[0], entity.dxf.center[1])
        elif entity.dxftype() == "LWPOLYLINE":
            entity.set_points([(-x, y, -bulge) for x, y, bulge in entity.get_points("xyb")], "xyb")
        elif entity.dxftype() == "LINE":
            entity.dxf.start, entity.dxf.end = ((-p[0], p[1]) for p in (entity.dxf.start, entity.dxf.end))
    if plate in ("sole", "angle", "tray"):  # the others are the same from behind, or nearly
        assert plate_apart(papers, solids, plate, drawing) > NIL


def test_a_slip_in_a_bend_is_noticed(every_cut: Made) -> None:
    """Each bend in turn: by a degree less, its line 0.1 aside, folded the other way."""
    papers, solids = every_cut
    count = sum(e.dxf.layer.startswith("BEND") for e in drawing_of(papers, "tray")[1].modelspace())
    assert count == 4
    for i in range(count):
        for slip in ("angle", "aside", "way"):
            _, drawing = drawing_of(papers, "tray")
            line = [e for e in drawing.modelspace() if e.dxf.layer.startswith("BEND")][i]
            note = [e for e in drawing.modelspace().query("TEXT") if e.dxf.text.startswith(("up ", "down "))][i]
            way, angle, *rest = note.dxf.text.split()
            if slip == "angle":
                note.dxf.text = " ".join((way, f"{float(angle) - 1:g}", *rest))
            elif slip == "way":
                other = "down" if way == "up" else "up"
                line.dxf.layer, note.dxf.text = f"BEND-{other.upper()}", " ".join((other, angle, *rest))
            else:
                a, b = line.dxf.start, line.dxf.end
                by = (b - a).normalize(0.1).orthogonal()
                line.dxf.start, line.dxf.end = a + by, b + by
            assert plate_apart(papers, solids, "tray", drawing) > NIL, (i, slip)


def test_a_countersink_on_the_wrong_side_is_noticed(every_cut: Made) -> None:
    papers, solids = every_cut
    other = {"drawn side": "far side", "far side": "drawn side"}
    assert {row["side"] for row in papers.sinks} == set(other)
    rows = list(enumerate(papers.sinks))
    for i, row in [*Random(3).sample(rows, 3), *(each for each in rows if names(each[1]["plates"])[0] in ("angle", "tray"))]:
        for slip in ({**row, "side": other[row["side"]]}, None,
                     {**row, "x from the DXF's origin (mm)": str(float(row["x from the DXF's origin (mm)"]) + 0.1)}):
            sinks = (*papers.sinks[:i], *([] if slip is None else [slip]), *papers.sinks[i + 1:])
            assert plate_apart(replace(papers, sinks=sinks), solids, names(row["plates"])[0]) > NIL, row
