"""What covers meet when they are lifted, asked of the fit engine."""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel.checks import Strike
from deskmodel.fit import FitEngine, sweep
from deskmodel.fit.problem import FitProblem
from deskmodel.model import DeskModel

__all__ = ["Lifted", "lift_covers"]

@dataclass(frozen=True, slots=True)
class Lifted:
    """``strikes`` None: nothing was lifted. ``unjudged``: pairs that the engine could not decide, with the reason."""

    strikes: tuple[Strike, ...] | None
    unjudged: tuple[str, ...]


def lift_covers(engine: FitEngine, model: DeskModel, problem: FitProblem) -> Lifted:
    """Each cover, with its backing, lifted along its travel past all other parts."""
    parts = [body for body in problem.bodies if body.role == "part"]
    strikes: list[Strike] = []
    unjudged: list[str] = []
    for lift in model.lifts:
        moving = [body for body in parts if body.name in lift.parts]
        others = [body for body in parts if body.name not in lift.parts]
        report = sweep(engine.store, moving, others, lift.direction, lift.travel)
        strikes += [Strike(lift.cover, hit.moving, hit.other, hit.travel, hit.point) for hit in report.hits
                    if hit.travel > 0.0]  # at 0 they overlap before the lift: the finding of another check
        unjudged += [f"{pair.a} lifted past {pair.b}: {pair.why}" for pair in report.not_measured]
    return Lifted(tuple(strikes), tuple(unjudged))
