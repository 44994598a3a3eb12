"""Shapes as cadquery code: made in a process of their own, measured and exported like any other."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path

import pytest
import trimesh

from deskmodel.errors import BuildFault, InputFault
from deskmodel.solids.custom import ShapeRequest, load_custom, make_shapes
from deskmodel.solids.custom_child import _one_shape
from deskmodel.solids.step_file import measure_shape
from tests.cli.commands import deskmodel

CODE = """\
import cadquery as cq

def knob(diameter: float = 20.0, height: float = 10.0):
    print("on standard output")
    return cq.Workplane().circle(diameter / 2).extrude(height)

def low():
    return cq.Workplane().box(5, 5, 5).add(cq.Workplane().box(5, 5, 5).translate((20, 0, 0)))

def overlapping():
    return cq.Workplane().box(2, 2, 2).add(cq.Workplane().box(2, 2, 2).translate((1, 0, 0)))

def number():
    return 3

def face():
    return cq.Face.makePlane(1, 1)

def fails():
    values = []
    return values[3]

def inside_out():
    return cq.Solid(cq.Solid.makeBox(1, 1, 1).wrapped.Reversed())

def endless():
    while True:
        pass

def leaves():
    import os
    os._exit(3)

not_callable = 5
"""


def request(folder: Path, function: str, **parameters: float) -> ShapeRequest:
    path = folder / "shapes.py"
    path.write_text(CODE)
    return ShapeRequest(path, "shapes.py", function, parameters)


def test_shapes_arrive_as_breps(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    knob, low, again = make_shapes([request(tmp_path, "knob", height=8.0), request(tmp_path, "knob", height=5.0),
                                     request(tmp_path, "knob", height=8.0)], seconds=20)
    assert knob.digest == again.digest != low.digest
    assert [*knob.box[0], *knob.box[1]] == pytest.approx([-10, -10, 0, 10, 10, 8])
    assert measure_shape(load_custom(knob.digest)).volume == pytest.approx(math.pi * 100 * 8, rel=1e-9)
    assert measure_shape(load_custom(low.digest)).volume == pytest.approx(math.pi * 100 * 5, rel=1e-9)
    assert make_shapes([request(tmp_path, "knob", height=8.0)], seconds=20)[0].digest == knob.digest  # another process
    out, err = capfd.readouterr()
    assert out == ""
    assert "on standard output" in err
    assert make_shapes([], seconds=1) == ()
    with pytest.raises(BuildFault):
        load_custom("0" * 64)


@pytest.mark.parametrize(("function", "problem"), [
    ("overlapping", "2 separate solids"), ("low", "2 separate solids"),
    ("number", "value of type int"), ("face", "made no solid"),
    ("inside_out", "made a solid of -1 mm³")])
def test_what_is_no_good_shape(function: str, problem: str) -> None:
    names: dict[str, Callable[[], object]] = {}
    exec(CODE, names)  # the judgement alone, without a process for each
    with pytest.raises(InputFault) as caught:
        _one_shape(names[function]())
    assert problem in caught.value.problem


@pytest.mark.parametrize(("function", "problem", "line"), [
    ("number", "value of type int", 13), ("fails", "IndexError", 21), ("leaves", "exit status 3", None),
    ("not_callable", "no function named not_callable", None)])
def test_code_that_fails_is_told_at_its_line(tmp_path: Path, function: str, problem: str, line: int | None) -> None:
    with pytest.raises(InputFault) as caught:
        make_shapes([request(tmp_path, function)], seconds=20)
    assert problem in caught.value.problem
    assert caught.value.file == "shapes.py"
    assert caught.value.line == line


def test_code_without_end(tmp_path: Path) -> None:
    with pytest.raises(InputFault, match=r"did not finish within 0\.5 s") as caught:
        make_shapes([request(tmp_path, "endless")], seconds=0.5)
    assert caught.value.line in (26, 27)


DESK = """\
from deskmodel import Desk, Member, custom

def desk(height: float = 10.0) -> Desk:
    d = Desk("knobbed", envelope=(300, 60, 60))
    d.place(Member("rail", section=(22, 30), length=300, material="ash"), at=(0, 0, 0))
    d.place(custom("knob", "shapes.py", "knob", "beech", diameter=20.0, height=height), at=(50, 11, 29.5))
    return d
"""


def test_a_custom_shape_in_a_desk(tmp_path: Path) -> None:
    request(tmp_path, "knob")
    (tmp_path / "desk.py").write_text(DESK)
    ran = deskmodel("make", "--unreleased", "--only", "parts-overlap", cwd=tmp_path, cache=tmp_path / "cache")
    assert ran.returncode == 1, ran.stdout + ran.stderr
    made = tmp_path / "exports" / "knobbed"
    finding, = json.loads((made / "findings.json").read_text())["findings"]
    # the knob stands half a millimetre in the rail
    assert set(finding["parts"]) == {"rail", "knob"}
    assert finding["measured"] == pytest.approx(0.5, abs=0.01)
    mesh = trimesh.load(made / "printed" / "knob.stl")
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(math.pi * 100 * 10, rel=2e-3)
    blank, = (part["part"]["blank"] for part in json.loads((made / "model.json").read_text())["parts"]
              if part["part"]["name"] == "knob")
    assert len(blank["digest"]) == 64
    first = json.loads((made / "manifest.json").read_text())["revision"]
    # another process, shapes from the cache; then another shape is another revision
    again = deskmodel("make", "--unreleased", "--only", "parts-overlap", cwd=tmp_path, cache=tmp_path / "cache")
    assert again.returncode == 1, again.stderr
    assert json.loads((made / "manifest.json").read_text())["revision"] == first
    (tmp_path / "shapes.py").write_text(CODE.replace("diameter / 2", "diameter / 2.5"))
    other = deskmodel("make", "--unreleased", "--only", "parts-overlap", cwd=tmp_path, cache=tmp_path / "cache")
    assert other.returncode == 1, other.stderr
    assert json.loads((made / "manifest.json").read_text())["revision"] != first


def test_a_fault_in_the_code_is_the_input_s(tmp_path: Path) -> None:
    request(tmp_path, "knob")
    (tmp_path / "desk.py").write_text(DESK.replace('"knob", "beech"', '"fails", "beech"').replace(
        ", diameter=20.0, height=height", ""))
    ran = deskmodel("check", cwd=tmp_path)
    assert ran.returncode == 2
    assert "shapes.py:21" in ran.stderr
    assert "Traceback" not in ran.stderr
