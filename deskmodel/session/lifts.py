"""What covers meet when they are lifted, asked of the fit engine."""

from __future__ import annotations

from deskmodel.checks import Need, Strike
from deskmodel.fit import FitEngine, sweep
from deskmodel.fit.problem import FitProblem
from deskmodel.model import DeskModel

__all__ = ["strikes_of"]

_AT_ONCE = 0.01  # mm of travel; what is struck sooner overlaps before the lift, which is another check's finding


def strikes_of(engine: FitEngine, model: DeskModel, problem: FitProblem,
               missing: dict[Need, str]) -> tuple[Strike, ...] | None:
    """Every part that a lifted cover strikes. None where a pair could not be judged; ``missing`` then says which."""
    parts = {body.name: body for body in problem.bodies if body.role == "part"}
    strikes: list[Strike] = []
    for lift in model.lifts:
        moving = [parts[name] for name in lift.parts]
        others = [body for name, body in parts.items() if name not in lift.parts]
        report = sweep(engine.store, moving, others, lift.direction, lift.travel)
        if report.not_measured:
            first = report.not_measured[0]
            missing["travel"] = f"{first.a} and {first.b}: {first.why}"
            return None
        strikes += [Strike(lift.cover, hit.moving, hit.other, hit.travel, hit.point) for hit in report.hits
                    if hit.travel > _AT_ONCE]
    return tuple(strikes)
