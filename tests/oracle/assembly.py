"""A whole fit problem by the kernel: every pair that may clash or has a required gap, pair by pair, nothing dropped.

Boxes only excuse pairs that they prove to be farther apart than the required gap. Roles and owners as in
``deskmodel.fit.problem``: room is judged against parts, plugs also against plugs, nothing within one owner.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import combinations

from OCP.TopoDS import TopoDS_Shape

from deskmodel.fit.problem import Body, BodyShape, FitProblem
from deskmodel.frames import Vec
from tests.oracle.distance import KernelFailure
from tests.oracle.occ import box_of, moved
from tests.oracle.pair import Exact, settle

__all__ = ["KernelReport", "box_gap", "candidate_pairs", "judge_assembly", "judged", "required_gaps"]


@dataclass(slots=True)
class KernelReport:
    """By pair of names, in the order of the problem's bodies."""

    pairs: int = 0  # to be judged
    near: int = 0  # boxes within the required gap
    exact: dict[tuple[str, str], Exact] = field(default_factory=dict)
    nudged: dict[tuple[str, str], list[str]] = field(default_factory=dict)  # failed as they stood, not 1e-5 mm aside
    failures: dict[tuple[str, str], str] = field(default_factory=dict)  # failed for good


def judged(a: Body, b: Body) -> bool:
    if a.owner is not None and a.owner == b.owner:
        return False
    return "part" in (a.role, b.role) or (a.role == b.role == "plug")


def required_gaps(problem: FitProblem) -> dict[frozenset[str], float]:
    needed: dict[frozenset[str], float] = {}
    for gap in problem.gaps:
        key = frozenset((gap.a, gap.b))
        needed[key] = max(gap.minimum, needed.get(key, 0.0))
    return needed


def box_gap(p: tuple[Vec, Vec], q: tuple[Vec, Vec]) -> float:
    return math.hypot(*(max(q[0][i] - p[1][i], p[0][i] - q[1][i], 0.0) for i in range(3)))


def candidate_pairs(problem: FitProblem, report: KernelReport, shape_of: Callable[[BodyShape], TopoDS_Shape],
                    ) -> Iterator[tuple[Body, Body, TopoDS_Shape, TopoDS_Shape]]:
    """Pairs that boxes cannot excuse; counts all and near ones in ``report``."""
    needed = required_gaps(problem)
    placed = [moved(shape_of(body.shape), body.pose) for body in problem.bodies]
    boxes = [box_of(shape) for shape in placed]
    for i, j in combinations(range(len(placed)), 2):
        a, b = problem.bodies[i], problem.bodies[j]
        wanted = needed.get(frozenset((a.name, b.name)))
        if not judged(a, b) and wanted is None:
            continue
        report.pairs += 1
        if box_gap(boxes[i], boxes[j]) > (wanted or 0.0):
            continue
        report.near += 1
        yield a, b, placed[i], placed[j]


def judge_assembly(problem: FitProblem, shape_of: Callable[[BodyShape], TopoDS_Shape],
                   progress: Callable[[int, str], None] | None = None) -> KernelReport:
    """``shape_of`` gives the oracle's own copy of a shape (mm, its own frame)."""
    report = KernelReport()
    for a, b, first, second in candidate_pairs(problem, report, shape_of):
        if progress:
            progress(report.near, f"{a.name} / {b.name}")
        try:
            report.exact[a.name, b.name], nudged = settle(first, second)
            if nudged:
                report.nudged[a.name, b.name] = nudged
        except KernelFailure as fault:
            report.failures[a.name, b.name] = str(fault)
    return report
