"""The planted faults' oracle against itself: cut down and whole, moved and not, closed form and kernel, and its rules."""

from __future__ import annotations

from pathlib import Path

import pytest

from deskmodel.component import Component
from deskmodel.component._part import box_prism
from deskmodel.features import Hole
from deskmodel.frames import IDENTITY, Pose, Vec, axis_angle
from deskmodel.part import Member, Plate
from deskmodel.profiles import rectangle
from deskmodel.solids.build import build_solid
from deskmodel.solids.part_shape import PartShape, shape_of
from tests.oracle.occ import moved
from tests.oracle.pair import measure
from tests.planted.answers import FAR, Answer, Answers
from tests.planted.edits import edits_of, number_edits, skipped
from tests.planted.expected import Expected
from tests.planted.local import box_about, grown, local, meet
from tests.planted.refusals import REFUSALS, reason_for

RAIL = shape_of(Member("rail", (22, 60), 300, "ash", tuple(Hole("face side", (x, 30), 8, 20) for x in (50, 200))))
PIN = shape_of(Plate("block", rectangle(8, 8), 30, "steel"))  # square: it stands in a round hole and cuts its corners
TURNED = axis_angle((1.0, 0.0, 0.0), -90.0)  # its own z along y of the rail


@pytest.fixture
def answers(tmp_path: Path) -> Answers:
    return Answers(tmp_path)


def asked(answers: Answers, a: PartShape, b: PartShape, there: Pose, reach: float = 1.0) -> Answer:
    room = meet(grown(box_about(a.blank.bounds, IDENTITY), reach), grown(box_about(b.blank.bounds, there), reach))
    if room is None:
        return FAR
    return answers.pair(local(a, IDENTITY, room, there), local(b, there, room, there))


@pytest.mark.parametrize("at", [(46.0, 5.0, 34.0), (46.0, 18.0, 34.0), (46.0, -31.5, 34.0), (120.0, 2.0, 40.0),
                                (294.0, 1.0, 10.0)], ids=str)
def test_cut_down_as_whole(answers: Answers, at: Vec) -> None:
    there = Pose(TURNED.rotation, at)
    exact = measure(build_solid(RAIL.blank, RAIL.removals, "rail"), moved(build_solid(PIN.blank, (), "pin"), there))
    answer = asked(answers, RAIL, PIN, there, 3.0)
    assert answer.gap == pytest.approx(exact.gap, abs=1e-7)
    assert (answer.depth >= 0.01) == (exact.depth >= 0.01)
    assert answer.depth <= max(exact.depth, exact.hull) + 1e-6


def test_the_same_hole_elsewhere_is_asked_once(answers: Answers) -> None:
    first = asked(answers, RAIL, PIN, Pose(TURNED.rotation, (46.0, 5.0, 34.0)))
    again = asked(answers, RAIL, PIN, Pose(TURNED.rotation, (196.0, 5.0, 34.0)))
    assert first == again
    assert answers.asked == 1
    asked(answers, RAIL, PIN, Pose(TURNED.rotation, (196.01, 5.0, 34.0)))
    assert answers.asked == 2


def test_answers_are_kept_on_disk(answers: Answers, tmp_path: Path) -> None:
    there = Pose(TURNED.rotation, (46.0, 5.0, 34.0))
    first = asked(answers, RAIL, PIN, there)
    other = Answers(tmp_path)
    assert asked(other, RAIL, PIN, there) == first
    assert other.asked == 0


@pytest.mark.parametrize("at", [(1.0, 2.0, 3.0), (-3.0, -2.0, -9.5), (40.0, 0.0, 0.0), (2.0, 2.0, -40.0),
                                (300.5, 62.0, 1.0)], ids=str)
def test_boxes_in_closed_form_as_by_the_kernel(answers: Answers, at: Vec) -> None:
    block = shape_of(Component("box", "", "invented", (box_prism((300.0, 60.0, 10.0), (0.0, 0.0, 0.0)),), 1.0))
    exact = measure(build_solid(block.blank, (), "block"), moved(build_solid(PIN.blank, (), "pin"), Pose(origin=at)))
    answer = asked(answers, block, PIN, Pose(origin=at), 12.0)
    assert answers.asked == 0
    assert answer.gap == pytest.approx(exact.gap, abs=1e-7)
    assert answer.depth == pytest.approx(exact.depth, abs=1e-6)
    assert answer.swallowed == (exact.swallowed is not None)


def test_what_is_neither_expected_nor_about_is_false() -> None:
    expected = Expected()
    expected.add("overlap", frozenset("ab"), 0.5)
    expected.add("overlap", frozenset("cd"), 0.005)
    expected.about.add(("bay-walls-apart", frozenset(("A1", "rail"))))
    assert expected.missed(set()) == [("overlap", frozenset("ab"))]
    told = {("overlap", frozenset("ab")), ("overlap", frozenset("cd")),
            ("bay-walls-apart", frozenset(("A1", "rail", "end")))}
    assert expected.missed(told) == []
    assert expected.false(told) == []
    assert expected.false({("overlap", frozenset("ac"))}) == [("overlap", frozenset("ac"))]


SCRIPT = '''
GAP = 5  # a length
def desk(width=100):
    d.join(A(x, 2 * GAP), B(y[1:3], GAP ** 0.5, turn=90))
    for n, y in enumerate((35, 75), 1):
        d.bore(rail, at=(x, y, 0), name=f"{n + 1}")
    for name, x in (("left", 1.5), ("right", -3)):
        place(d, name, features=(Hole(1), Slot(2)))
'''


def test_edits_of_a_script(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text(SCRIPT, encoding="utf-8")
    lengths = {edit.name.split(" ")[1] for edit in number_edits(tmp_path, (0.5,))}
    assert lengths == {"5", "100", "35", "75", "0", "1.5", "3", "1", "2"}
    assert skipped(tmp_path) == {"factor": 1, "index": 2, "power": 1, "degrees": 1, "numbering": 1, "part of a name": 1}
    left_out = {edit.about for edit in edits_of(tmp_path) if edit.kind == "omission"}
    assert {"A(x, 2 * GAP)", "Hole(1)", "('left', 1.5)"} <= left_out
    assert any(about.startswith("d.bore(") for about in left_out)
    minus = next(edit for edit in edits_of(tmp_path) if " 3 +0.5" in edit.name)
    assert '("right", -3.5)' in minus.text
    for edit in edits_of(tmp_path):
        compile(edit.text, edit.name, "exec")


def test_refusals_are_told_apart() -> None:
    assert reason_for("parts.toml:3: body.1.box: [0, 3, 2]") is None
    assert reason_for("glue thickness 0") is not None
    assert len({pattern for pattern, _ in REFUSALS}) == len(REFUSALS)
