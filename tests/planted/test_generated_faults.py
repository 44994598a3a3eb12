"""Every length of both worked desks a little more and less, and every piece of them left out.

What must be found is the kernel's word and that of closed forms (``oracle.py``): overlaps, gaps, invaded rooms, the distance
of every joint's faces, threads, bays, holes, loose parts, covers on their way. Slow; a sample runs in the ordinary suite.
"""

from __future__ import annotations

import random
from itertools import combinations
from pathlib import Path

import pytest

from deskmodel.session.fit_problem import fit_question, part_shapes
from tests.planted.answers import Answers
from tests.planted.crew import RIGHT, Place, all_edits, judge_all, summary
from tests.planted.edits import Edit, edits_of
from tests.planted.harness import DUTY_DESK, SHELF, copied, edited_desk
from tests.planted.oracle import Oracle

SEED = 20
QUICK = ("equipment/", "bays.py", "covers.py")
"""What an edit there moves is few parts; a length of dimensions.py moves all, and takes the kernel a minute."""


def sample(root: Path, count: int) -> list[Edit]:
    quick = [edit for edit in edits_of(root) if edit.file.startswith(QUICK) or root == SHELF]
    return random.Random(SEED).sample(quick, count)


@pytest.fixture(scope="module")
def shelf() -> Place:
    return Place(SHELF, proven=True)


@pytest.fixture(scope="module")
def duty_desk() -> Place:
    return Place(DUTY_DESK, proven=True)


@pytest.mark.parametrize("edit", sample(SHELF, 6), ids=lambda edit: edit.name)
def test_sample_of_the_shelf(edit: Edit, shelf: Place) -> None:
    verdict = shelf.judge(edit)
    assert verdict.kind in RIGHT, verdict.told


@pytest.mark.parametrize("edit", sample(DUTY_DESK, 25), ids=lambda edit: edit.name)
def test_sample_of_the_duty_desk(edit: Edit, duty_desk: Place) -> None:
    verdict = duty_desk.judge(edit)
    assert verdict.kind in RIGHT, verdict.told


DESKS = pytest.mark.parametrize("root", [SHELF, DUTY_DESK], ids=["shelf", "duty desk"])


@pytest.mark.slow
@DESKS
def test_the_kernel_agrees_on_every_pair(root: Path, tmp_path: Path) -> None:
    """The desks without an edit, every pair by the long way: nothing to find. The samples above rest on this."""
    model, _ = edited_desk(copied(root, tmp_path / "desk"))
    question = fit_question(model, part_shapes(model))
    every = frozenset(frozenset((a.name, b.name)) for a, b in combinations(question.problem.bodies, 2))
    oracle = Oracle(Answers(tmp_path))
    expected = oracle.expected(model, question.problem, question.keep_outs, every)
    print(f"{oracle.answers.asked} different pairs asked of the kernel, {oracle.answers.again} of them by the long way")
    assert expected.must == set()
    assert {check for check, _ in expected.may} <= {"cover-strikes", "joint-faces-apart"}


@pytest.mark.slow
@DESKS
def test_all(root: Path) -> None:
    edits = all_edits(root)
    random.Random(SEED).shuffle(edits)  # the long ones spread over the whole run
    verdicts = list(judge_all(root, edits))
    wrong = [verdict for verdict in verdicts if verdict.kind not in RIGHT]
    for verdict in wrong:
        print(verdict.kind, verdict.name, *verdict.told, sep="\n    ")
    print(f"{len(verdicts)} edits in the order of seed {SEED}: {summary(verdicts)}")
    assert [verdict.name for verdict in verdicts if verdict.kind in ("false", "crashed")] == []
    due = [verdict for verdict in verdicts if verdict.kind != "harmless"]
    assert len([verdict for verdict in due if verdict.kind in RIGHT]) >= 0.99 * len(due)
