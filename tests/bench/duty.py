"""The worked desk, the duty desk in parts/, as a question to the fit engine, and single changes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

from deskmodel.features import Feature, Hole, VentField
from deskmodel.fit.problem import FitProblem
from deskmodel.frames import Vec
from deskmodel.model import DeskModel, read_json
from deskmodel.part import with_features
from deskmodel.session.fit_problem import fit_question, part_shapes
from deskmodel.session.script import load_script

__all__ = ["DUTY_CHANGES", "duty_problem"]

DESK = Path(__file__).parent.parent.parent / "parts" / "desk.py"

Change = Callable[[DeskModel], DeskModel]


@cache
def _model() -> DeskModel:
    return read_json(load_script(DESK).model)


def duty_problem(change: Change = lambda model: model) -> FitProblem:
    """From new Desk to question: shapes and poses are worked out anew each time."""
    model = change(_model())
    return fit_question(model, part_shapes(model)).problem


def _moved(name: str, by: Vec) -> Change:
    return lambda model: replace(model, parts=tuple(
        replace(part, pose=part.pose.moved(by)) if part.name == name else part for part in model.parts))


def _cut(name: str, feature: Feature) -> Change:
    return lambda model: replace(model, parts=tuple(
        replace(part, part=with_features(part.part, (feature,))) if part.name == name else part for part in model.parts))


def _vents(diameter: float) -> Change:
    """All three vent fields of the under-plate with holes of another size."""
    def change(model: DeskModel) -> DeskModel:
        def smaller(feature: Feature) -> Feature:
            return replace(feature, diameter=diameter) if isinstance(feature, VentField) else feature

        return replace(model, parts=tuple(
            replace(part, part=replace(part.part, features=tuple(map(smaller, part.part.features))))
            if part.name == "under-plate" else part for part in model.parts))

    return change


DUTY_CHANGES: tuple[tuple[str, str, Callable[[int], Change]], ...] = (
    ("one screw backed out a little", "<= 10 ms", lambda i: _moved("under-plate fixing, screw 3", (0.0, 0.0, -0.03 * i))),
    ("one screw shifted into its insert", "<= 10 ms", lambda i: _moved("under-plate fixing, screw 3", (0.02 * i, 0.0, 0.0))),
    ("one dowel shifted in its holes", "<= 10 ms", lambda i: _moved("cross BC to front, dowel 1", (0.02 * i, 0.0, 0.0))),
    ("one component moved, still free", "<= 10 ms", lambda i: _moved("keyboard", (0.7 * i, 0.3 * i, 0.0))),
    ("one component moved, too near a member", "<= 10 ms", lambda i: _moved("desk supply", (0.0, 6.3 + 0.3 * i, 0.0))),
    ("one rail moved", "<= 120 ms", lambda i: _moved("rail A3", (0.07 * i, 0.0, 0.0))),
    ("one cross member moved", "<= 120 ms", lambda i: _moved("cross BC", (0.07 * i, 0.0, 0.0))),
    ("one member re-cut (cable bore)", "<= 150 ms",
     lambda i: _cut("rail A3", Hole("face side", (60.0 + i, 20.0), 12.0, name="another bore", purpose="cable"))),
    ("under-plate re-cut (760 vents)", "<= 1.2 s", lambda i: _vents(5.0 - 0.01 * i)),
)
