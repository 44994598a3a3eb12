"""From a model to what the checks look at: the fit problem, the report, what lifted covers strike."""

from __future__ import annotations

from deskmodel.component import KeepOut
from deskmodel.fit.problem import Body, BodyShape, DesignedContact, FitProblem, RequiredGap, Role
from deskmodel.model import DeskModel
from deskmodel.part import CustomShape
from deskmodel.solids.build import prism_shape, shape_of

__all__ = ["fit_problem"]

_ROLES: dict[str, Role] = {"plug": "plug", "air": "keep-out", "service": "keep-out", "cable": "keep-out"}


def fit_problem(model: DeskModel, customs: dict[str, BodyShape]) -> tuple[FitProblem, dict[str, int]]:
    """The question for the fit engine, and which of its bodies is which keep-out (body name to index in the model).

    ``customs``: the shapes that came from cadquery code, by their digest."""
    bodies = []
    taken = {part.name for part in model.parts}
    for part in model.parts:
        shape = customs[part.part.blank.digest] if isinstance(part.part, CustomShape) else shape_of(part.part)
        bodies.append(Body(part.name, shape, part.pose, "part", part.name))
    keep_outs: dict[str, int] = {}
    for i, placed in enumerate(model.keep_outs):
        name = f"room of {placed.name}"
        while name in taken or name in keep_outs:
            name += "'"
        keep_outs[name] = i
        bodies.append(Body(name, _room(placed.keep_out), placed.pose, _ROLES[placed.keep_out.kind], placed.owner))
    gaps = tuple(RequiredGap(gap.a, gap.b, gap.minimum, gap.reason) for gap in model.gaps)
    contacts = tuple(DesignedContact(c.male, c.female, c.axis, c.inner, c.outer, c.start, c.end, c.reason)
                     for c in model.contacts)
    return FitProblem(tuple(bodies), gaps, contacts), keep_outs


def _room(keep_out: KeepOut) -> BodyShape:
    return prism_shape(keep_out.room, keep_out.name)


