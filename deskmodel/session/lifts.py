"""What covers meet when they are lifted off or turned open, asked of the fit engine."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from deskmodel.checks import Strike
from deskmodel.fit import Body, FitEngine, sweep, swing
from deskmodel.fit.problem import FitProblem
from deskmodel.model import DeskModel

__all__ = ["Lifted", "lift_covers"]

@dataclass(frozen=True, slots=True)
class Lifted:
    """``strikes`` None: nothing was opened. ``unjudged``: pairs that the engine could not decide, with the reason."""

    strikes: tuple[Strike, ...] | None
    unjudged: tuple[str, ...]


def lift_covers(engine: FitEngine, model: DeskModel, problem: FitProblem) -> Lifted:
    """Each cover, with all that leaves with it, lifted along its travel or turned about its hinges past all other parts."""
    strikes: list[Strike] = []
    unjudged: list[str] = []
    for lift in model.lifts:
        moving, others = _apart(problem, lift.parts)
        report = sweep(engine.store, moving, others, lift.direction, lift.travel)
        strikes += [Strike(lift.cover, hit.moving, hit.other, hit.travel, hit.point) for hit in report.hits
                    if hit.travel > 0.0]  # at 0 they overlap before the lift: the finding of another check
        unjudged += [f"{pair.a} lifted past {pair.b}: {pair.why}" for pair in report.not_measured]
    for each in model.swings:
        moving, others = _apart(problem, each.parts)
        turned = swing(engine.store, moving, others, each.point, each.axis, each.angle)
        strikes += [Strike(each.cover, hit.moving, hit.other, hit.angle, hit.point, "°") for hit in turned.hits
                    if hit.angle > 0.0]
        unjudged += [f"{pair.a} turned past {pair.b}: {pair.why}" for pair in turned.not_measured]
    return Lifted(tuple(strikes), tuple(unjudged))


def _apart(problem: FitProblem, names: Collection[str]) -> tuple[list[Body], list[Body]]:
    """(the parts of these names, all other parts)."""
    parts = [body for body in problem.bodies if body.role == "part"]
    return [body for body in parts if body.name in names], [body for body in parts if body.name not in names]
