"""What must not matter: where the whole stands, the order of the bodies, and what else is in the problem."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

from deskmodel.cache import DiskCache
from deskmodel.fit import Body, DesignedContact, FitEngine, FitProblem, FitReport, RequiredGap
from deskmodel.meshes.store import ShapeStore
from tests.truth.case import SEED, Case, Truth, random_motion
from tests.truth.families import case_named, sample_names
from tests.truth.judge import judge, truth_of


def decided(count: int) -> list[tuple[Case, Truth]]:
    cases = [case_named(name) for name in sample_names(count, least=1)]
    return [(case, truth_of(case)) for case in cases if case.truth is not None]


def test_moving_everything_and_swapping_the_order(tmp_path: Path) -> None:
    engine = FitEngine(ShapeStore(DiskCache(tmp_path)))
    wrong = []
    for case, truth in decided(60):
        rng = random.Random(f"{SEED}/{case.name}/moved")
        for swapped in (False, True):
            by = random_motion(rng)
            moved = replace(case, pose_a=by @ case.pose_a, pose_b=by @ case.pose_b, swapped=swapped)
            wrong += [f"{w}\n{moved.reproduce()}" for w in judge(moved, truth, engine.run(moved.problem(truth.gap)))]
    assert not wrong, "\n".join(wrong)


def test_many_pairs_in_one_problem(tmp_path: Path) -> None:
    """All pairs of a sample at once, 5 m from each other: of each the same is said as if it stood alone."""
    cases = decided(80)
    bodies: list[Body] = []
    gaps: list[RequiredGap] = []
    contacts: list[DesignedContact] = []
    for i, (case, truth) in enumerate(cases):
        # the pair is set back to the origin by its first part's place, then moved to its own cell of the grid
        o = case.pose_a.origin
        cell = (5000.0 * (i % 10) - o[0], 5000.0 * (i // 10) - o[1], -o[2])
        one = case.problem(truth.gap)
        bodies += [Body(f"{i} {b.name}", b.shape, b.pose.moved(cell), b.role, b.owner and f"{i} {b.owner}")
                   for b in one.bodies]
        gaps += [RequiredGap(f"{i} {g.a}", f"{i} {g.b}", g.minimum, g.reason) for g in one.gaps]
        contacts += [replace(c, male=f"{i} {c.male}", female=f"{i} {c.female}") for c in one.contacts]
    random.Random(SEED).shuffle(bodies)
    report = FitEngine(ShapeStore(DiskCache(tmp_path))).run(FitProblem(tuple(bodies), tuple(gaps), tuple(contacts)))
    wrong = []
    for i, (case, truth) in enumerate(cases):
        o = case.pose_a.origin
        cell = (5000.0 * (i % 10) - o[0], 5000.0 * (i // 10) - o[1], -o[2])
        there = replace(case, pose_a=case.pose_a.moved(cell), pose_b=case.pose_b.moved(cell))
        wrong += [f"{w}\n{there.reproduce()}" for w in judge(there, truth, _of(report, f"{i} "))]
    assert not wrong, "\n".join(wrong)


def _of(report: FitReport, prefix: str) -> FitReport:
    """What the report says of the bodies whose names begin so, without the prefix."""
    def cut(name: str) -> str:
        return name.removeprefix(prefix)

    return FitReport(
        tuple(replace(o, a=cut(o.a), b=cut(o.b)) for o in report.overlaps if o.a.startswith(prefix)),
        tuple(replace(g, a=cut(g.a), b=cut(g.b)) for g in report.gap_faults if g.a.startswith(prefix)),
        tuple(c for c in report.contact_faults if c.male.startswith(prefix)),
        tuple(n for n in report.not_measured if n.a.startswith(prefix) or n.b.startswith(prefix)))
