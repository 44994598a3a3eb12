"""STEP: read back by the kernel's reader, and taken apart as ISO 10303-21 text without it."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import cadquery as cq
import pytest
from hypothesis import given
from hypothesis import strategies as st

from deskmodel.errors import BuildFault
from deskmodel.exporters._step import Occurrence, Product, _real, _string, check_step, step_text
from deskmodel.frames import Pose, axis_angle
from deskmodel.solids.step_file import Measure, StepBody, read_step, step_body

ASH, STEEL, BLUE = (0.82, 0.68, 0.47), (0.52, 0.55, 0.58), (0.1, 0.2, 0.9)
HOSTILE = ["../x", "<script>alert(1)</script>", "it's 'quoted'", 'a "b"', "back\\slash \\X2\\0041\\X0\\", "=cmd",
           "line\nbreak\ttab", "Küche Ø 8 – ß", "桌子", "😀", "x" * 300, "#12=CARTESIAN_POINT('',(0.,0.,0.));", "*/ ENDSEC;",
           "a'',b", "');", "'", "é", " é ", "\x7f", "\u200b"]  # the first few crashed a reader, the last lost their names


def block() -> StepBody:
    """A block with a through hole, an eighth of a ball and a cone: planes, cylinder, sphere, cone."""
    work = cq.Workplane().box(100, 40, 20, centered=False).faces(">Z").workplane().center(30, 20).hole(8)
    work = work.cut(cq.Workplane().sphere(6)).faces(">Z").workplane().center(30, 0).cskHole(4, 9, 90)
    return step_body(work.val().wrapped)


@pytest.fixture(scope="module")
def products() -> list[Product]:
    two = cq.Workplane().box(5, 5, 5).add(cq.Workplane().box(5, 5, 5).translate((20, 0, 0)))
    hollow = cq.Workplane().box(30, 30, 30).cut(cq.Workplane().box(10, 10, 10))
    return [Product("rail", block(), ASH), Product("dowel Ø 8", step_body(cq.Solid.makeCylinder(4, 40).wrapped), ASH),
            Product("feet", step_body(cq.Compound.makeCompound(two.vals()).wrapped), STEEL),
            Product("case", step_body(hollow.val().wrapped), STEEL)]


@pytest.fixture(scope="module")
def occurrences() -> list[Occurrence]:
    return [Occurrence("front", 0, Pose(), ASH), Occurrence("back", 0, axis_angle((0, 0, 1), 90).moved((0, 400, 1.5)), ASH),
            Occurrence("back", 0, axis_angle((1, 2, 3), 33).moved((1, 2, 3)), BLUE), Occurrence("case", 3, Pose(), STEEL),
            Occurrence("feet", 2, Pose(origin=(1e-7, 0, -123.456789)), BLUE),
            *(Occurrence(name, 1, Pose(origin=(10.0 * i, 0, 0)), ASH) for i, name in enumerate(HOSTILE))]


def test_another_reader_finds_what_was_put_in(tmp_path: Path, products: list[Product],
                                              occurrences: list[Occurrence]) -> None:
    path = tmp_path / "model.step"
    path.write_text(step_text("Désk '桌'", ("revision abc",), products, occurrences), encoding="ascii")
    check_step(path, "Désk '桌'", products, occurrences)
    content = read_step(path)
    assert [o.name for o in content.occurrences] == [o.name for o in occurrences]
    assert len(content.products) == 4  # one for each shape, however many parts have it
    assert set(content.product_names) == {"rail", "dowel Ø 8", "feet", "case"}
    volume = dict(zip(content.product_names, (m.volume for m in content.products), strict=True))
    # closed forms: pi r² h; two cubes; a cube less a cube
    assert volume["dowel Ø 8"] == pytest.approx(3.141592653589793 * 16 * 40, rel=1e-6)
    assert volume["feet"] == pytest.approx(250, rel=1e-6)
    assert volume["case"] == pytest.approx(26_000, rel=1e-6)
    assert content.occurrences[2].colour == pytest.approx(BLUE, abs=2e-3)
    assert content.occurrences[1].colour == pytest.approx(ASH, abs=2e-3)
    shapes = cq.importers.importStep(str(path)).solids().vals()
    assert len(shapes) == len(occurrences) + 1  # the feet are two bodies


@pytest.mark.parametrize("change", ["name", "desk", "place", "colour", "volume", "box", "missing", "cut off", "gone"])
def test_a_difference_is_found(tmp_path: Path, products: list[Product], occurrences: list[Occurrence],
                               change: str) -> None:
    path = tmp_path / "model.step"
    text = step_text("d", (), products, occurrences)
    path.write_text(text[:len(text) // 3] if change == "cut off" else text, encoding="ascii")
    parts, shapes, desk = list(occurrences), list(products), "d"
    first = parts[0]
    if change == "name":
        parts[0] = Occurrence("frond", first.product, first.pose, first.colour)
    elif change == "desk":
        desk = "e"
    elif change == "place":
        parts[0] = Occurrence(first.name, first.product, first.pose.moved((0, 0, 1e-4)), first.colour)
    elif change == "colour":
        parts[0] = Occurrence(first.name, first.product, first.pose, BLUE)
    elif change in ("volume", "box"):
        old = shapes[0].body
        measure = (Measure(old.measure.volume * (1 + 2e-6), old.measure.low, old.measure.high) if change == "volume"
                   else Measure(old.measure.volume, old.measure.low, (100.0, 40.0, 20.0001)))
        shapes[0] = Product("rail", StepBody(old.entities, old.solids, measure), ASH)
    elif change == "missing":
        parts.pop()
    else:
        path.unlink() if change == "gone" else None
    with pytest.raises(BuildFault):
        check_step(path, desk, shapes, parts)


def test_a_sheet_with_many_vents_is_read_as_it_was_written(tmp_path: Path) -> None:
    """Outlines are not mended as they are read: what stands in the file is what is measured."""
    sheet = cq.Workplane().box(200, 120, 2).faces(">Z").workplane().rarray(8, 8, 20, 12).hole(4)
    made = Product("sheet", step_body(sheet.val().wrapped), STEEL)
    path = tmp_path / "sheet.step"
    path.write_text(step_text("sheet", (), [made], [Occurrence("sheet", 0, Pose(), STEEL)]), encoding="ascii")
    check_step(path, "sheet", [made], [Occurrence("sheet", 0, Pose(), STEEL)])
    measure, = read_step(path).products
    assert measure.volume == pytest.approx(200 * 120 * 2 - 240 * 3.141592653589793 * 4 * 2, rel=1e-9)
    assert measure.low == pytest.approx((-100, -60, -1), abs=1e-6)


def test_the_text_keeps_the_rules_of_part_21(products: list[Product], occurrences: list[Occurrence]) -> None:
    text = step_text("desk", ("UNRELEASED revision abc",), products, occurrences)
    assert text.isascii()
    assert text.startswith("ISO-10303-21;\nHEADER;\n")
    assert text.endswith("ENDSEC;\nEND-ISO-10303-21;\n")
    assert "UNRELEASED revision abc" in text[:300]
    entities = re.findall(r"^#(\d+)=(.*);$", text, re.MULTILINE)
    assert [int(number) for number, _ in entities] == list(range(1, len(entities) + 1))
    for _, entity in entities:
        outside = re.sub(r"'(?:[^']|'')*'", "", entity)
        assert "'" not in outside
        assert all(1 <= int(n) <= len(entities) for n in re.findall(r"#(\d+)", outside))
        assert not re.search(r"\d[eE]-?\d", re.sub(r"\d\.\d*E[+-]?\d+", "", outside))  # reals have a point
    assert not re.search(r"20[2-9]\d-\d\d-\d\dT", text)  # no clock


@given(st.text(max_size=60))
def test_strings_come_back(text: str) -> None:
    """ISO 10303-21, 6.4.3, read the other way round."""
    if any(0xD800 <= ord(c) < 0xE000 for c in text):
        return
    coded = _string(text)
    assert coded[0] == coded[-1] == "'"
    inner = coded[1:-1]
    assert "'" not in inner
    decoded = re.sub(r"\\X2\\((?:[0-9A-F]{4})+)\\X0\\|\\X4\\((?:[0-9A-F]{8})+)\\X0\\|\\\\", lambda m: (
        "\\" if m[0] == "\\\\" else bytes.fromhex(m[1] or m[2]).decode("utf-16-be" if m[1] else "utf-32-be")), inner)
    assert decoded == text


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_numbers_come_back(value: float) -> None:
    coded = _real(value)
    assert re.fullmatch(r"-?\d+\.\d*(E[+-]?\d+)?", coded)
    assert float(coded) == value
    assert _real(-0.0) == "0.0"


def test_numbers_that_are_none_are_refused() -> None:
    for value in (float("nan"), float("inf")):
        with pytest.raises(BuildFault):
            _real(value)


SCRIPT = """
import sys
from tests.exporters.test_step import ASH, BLUE, Occurrence, Pose, Product, block, step_body, step_text
import cadquery as cq
for _ in range(int(sys.argv[1])):  # counters of the kernel's process stand elsewhere then
    step_body(cq.Solid.makeBox(1, 1, 1).wrapped)
products = [Product("rail", block(), ASH), Product("ball", step_body(cq.Solid.makeSphere(5).wrapped), ASH)]
occurrences = [Occurrence(f"p{i}", i % 2, Pose(origin=(i, 0, 0)), ASH if i % 3 else BLUE) for i in range(9)]
sys.stdout.write(step_text("desk", (), products, occurrences))
"""


def test_bytes_are_equal_in_other_processes(tmp_path: Path) -> None:
    root = Path(__file__).parent.parent.parent
    texts = []
    for run, seed in enumerate(("0", "1", "4711")):
        folder = tmp_path / f"run {run}"
        folder.mkdir()
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(root)}
        texts.append(subprocess.run([sys.executable, "-c", SCRIPT, str(run)], cwd=folder, env=environment,
                                    capture_output=True, check=True).stdout)
    assert texts[0] == texts[1] == texts[2]
    assert len(texts[0]) > 10_000


def test_a_shape_without_a_solid_is_refused() -> None:
    with pytest.raises(BuildFault, match="without a solid"):
        step_body(cq.Face.makePlane(1, 1).wrapped)


def test_the_kernel_stays_as_it_was_and_prints_nothing(tmp_path: Path, capfd: pytest.CaptureFixture[str],
                                                       products: list[Product]) -> None:
    from OCP.Interface import Interface_Static
    from OCP.Message import Message

    Interface_Static.SetIVal_s("write.surfacecurve.mode", 1)
    printers = Message.DefaultMessenger_s().Printers().Size()
    capfd.readouterr()
    step_body(cq.Solid.makeBox(1, 2, 3).wrapped)
    path = tmp_path / "m.step"
    path.write_text(step_text("d", (), products, [Occurrence("a", 0, Pose(), ASH)]), encoding="ascii")
    read_step(path)
    assert capfd.readouterr().out == ""
    assert Interface_Static.IVal_s("write.surfacecurve.mode") == 1
    assert Message.DefaultMessenger_s().Printers().Size() == printers > 0
