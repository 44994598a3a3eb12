"""Every number of the worked desk half a millimetre more and less, and every piece of it left out.

What must be found is the kernel's word: overlaps, gaps, invaded rooms, the distance of every joint's faces, boxes against
the envelope. What a left-out fastening does is read from the joints that remain. Slow; a sample runs in the ordinary suite.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from deskmodel.findings import Finding
from deskmodel.fit import FitEngine
from deskmodel.session.fit_problem import fit_question, part_shapes
from tests.planted.edits import REFUSED, Edit, number_edits, omissions
from tests.planted.harness import PARTS, edited_desk, run_edit
from tests.planted.oracle import Kernel

EDITS = [*number_edits(), *omissions()]
PLACINGS = [edit for edit in EDITS if edit.name.startswith("desk.py:10")]  # lines 100 to 109: equipment and its gaps
SAMPLE = [edit for edit in EDITS if edit.file != "desk.py"][::32] + PLACINGS[::8]  # the quick ones: few pairs change


PLACE = 1.0
"""mm. A finding must point at the place this near (to both parts; to the first one for a gap)."""


@pytest.fixture(scope="module")
def engine() -> FitEngine:
    return FitEngine()


@pytest.fixture(scope="module")
def proving_kernel() -> Kernel:
    """Takes the clean desk's pairs as proven: ``test_first_desk`` asks the kernel about each of them."""
    model, _ = edited_desk(PARTS)
    return Kernel(fit_question(model, part_shapes(model)).problem)


def told_as(finding: Finding) -> tuple[str, frozenset[str]]:
    return finding.id, frozenset(finding.parts)


def judge(edit: Edit, folder: Path, engine: FitEngine, kernel: Kernel) -> list[str]:
    """What the tool got wrong about one edit."""
    run = run_edit(folder, {edit.file: edit.text}, engine)
    if run.refused is not None or edit.refused:
        both = run.refused is not None and edit.refused
        return [] if both else [f"{'refused: ' + str(run.refused) if run.refused else 'not refused'}"]
    assert run.model is not None
    assert run.question is not None
    wrong = [f"{o.id} {o.outcome}: {o.reason}" for o in run.outcomes if o.outcome in ("crashed", "not-checked")]
    expected = kernel.expected(run.model, run.question.problem, dict(run.question.keep_outs))
    told = {told_as(finding) for finding in run.findings}
    wrong += [f"missed {check} {sorted(parts)}" for check, parts in expected.must - told]
    measured = {"parts-overlap", "part-swallowed", "gap-too-small", "keep-out-invaded", "joint-faces-apart",
                "outside-envelope"}
    wrong += [f"false {check} {sorted(parts)}" for check, parts in told - expected.must - expected.may if check in measured]
    wrong += [f"misplaced {finding.message}" for finding in run.findings if finding.id in {"parts-overlap", "gap-too-small"}
              and finding.point and kernel.away(run.question.problem, finding.parts, finding.point) > PLACE]
    loose = loose_parts(run.model)
    unfastened = {part for check, parts in told if check == "unfastened-part" for part in parts}
    if unfastened != loose:
        wrong.append(f"unfastened {sorted(unfastened)}, by the joints {sorted(loose)}")
    others = {check for check, _ in told} - measured - {"unfastened-part"}
    wrong += [f"unexpected {check}" for check in sorted(others)]
    return wrong


def loose_parts(model) -> set[str]:  # type: ignore[no-untyped-def]
    """Parts that no chain of joints ties to the front: a second, plain way to the same graph (networkx-free closure)."""
    held, parts = {"front"}, {part.name for part in model.parts if part.role != "hardware"}
    while True:
        more = {name for joint in model.joints for name in (joint.a, joint.b) if {joint.a, joint.b} & held} - held
        if not more:
            return parts - held
        held |= more


def test_every_refusal_is_of_an_edit() -> None:
    assert {edit.name for edit in EDITS} >= REFUSED


@pytest.mark.parametrize("edit", SAMPLE, ids=[edit.name for edit in SAMPLE])
def test_sample(edit: Edit, tmp_path: Path, engine: FitEngine, proving_kernel: Kernel) -> None:
    assert judge(edit, tmp_path / "parts", engine, proving_kernel) == []


@pytest.mark.slow
def test_all(tmp_path: Path, engine: FitEngine) -> None:
    kernel = Kernel()
    wrong = {}
    for i, edit in enumerate(EDITS):
        told = judge(edit, tmp_path / str(i), engine, kernel)
        if told:
            wrong[edit.name] = told
    for name, told in wrong.items():
        print(name, *told, sep="\n    ")
    print(f"{len(EDITS)} edits, {len(wrong)} judged wrongly, {kernel.asked} pairs asked of the kernel")
    assert wrong == {}
