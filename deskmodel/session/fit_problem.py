"""The frozen desk as a question to the fit engine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from deskmodel.fit.problem import Body, BodyShape, DesignedContact, FitProblem, RequiredGap, Role
from deskmodel.model import DeskModel
from deskmodel.session.verified import VerifiedShape
from deskmodel.solids.part_shape import prism_shape, shape_of

__all__ = ["Question", "fit_question", "part_shapes"]


@dataclass(frozen=True, slots=True)
class Question:
    """``keep_outs``: the body that stands for a keep-out -> its index in the model."""

    problem: FitProblem
    keep_outs: Mapping[str, int]


def part_shapes(model: DeskModel) -> dict[str, BodyShape]:
    """The shape of each part, by name; equal shapes have equal keys."""
    return {placed.name: VerifiedShape(shape_of(placed.part)) for placed in model.parts}


def fit_question(model: DeskModel, shapes: Mapping[str, BodyShape]) -> Question:
    bodies = [Body(placed.name, shapes[placed.name], placed.pose, owner=placed.name) for placed in model.parts]
    taken = {body.name for body in bodies}
    keep_outs: dict[str, int] = {}
    for index, keep_out in enumerate(model.keep_outs):
        name = _free(f"keep-out {keep_out.name}", taken)
        taken.add(name)
        keep_outs[name] = index
        role: Role = "plug" if keep_out.keep_out.kind == "plug" else "keep-out"
        bodies.append(Body(name, prism_shape(keep_out.keep_out.room, keep_out.name), keep_out.pose, role,
                           keep_out.owner))
    gaps = tuple(RequiredGap(gap.a, gap.b, gap.minimum, gap.reason) for gap in model.gaps)
    contacts = tuple(DesignedContact(c.male, c.female, c.axis, c.inner, c.outer, c.start, c.end, c.reason)
                     for c in model.contacts)
    return Question(FitProblem(tuple(bodies), gaps, contacts), keep_outs)


def _free(name: str, taken: set[str]) -> str:
    """A part may be called like a keep-out's body; then the body gets another name."""
    while name in taken:
        name += "'"
    return name
