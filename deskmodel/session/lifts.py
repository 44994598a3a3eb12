"""What covers meet when they are lifted, asked of the fit engine."""

from __future__ import annotations

from deskmodel.checks import Need, Strike
from deskmodel.fit import FitEngine
from deskmodel.fit.problem import FitProblem
from deskmodel.model import DeskModel

__all__ = ["strikes_of"]


def strikes_of(engine: FitEngine, model: DeskModel, problem: FitProblem,
               missing: dict[Need, str]) -> tuple[Strike, ...] | None:
    if not model.lifts:
        return ()
    missing["travel"] = "the engine does not measure travel yet"
    return None
