"""The shapes that jigs add to those of the desk: the jigs themselves, and the members as they are when they are drilled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import get_args

from deskmodel.features import Stage
from deskmodel.fit.problem import BodyShape
from deskmodel.jigs import JigBody, JigPlan
from deskmodel.model import DeskModel
from deskmodel.part import Bodies, Member
from deskmodel.session.verified import VerifiedShape
from deskmodel.solids.part_shape import removed_shape, shape_of

__all__ = ["drilled_shapes", "jig_shapes"]

_DRILLED = get_args(Stage).index("drill")


def jig_shapes(bodies: Mapping[str, JigBody]) -> dict[str, BodyShape]:
    """Of each jig, by its number; its volume is found a second way when it is built."""
    return {number: VerifiedShape(removed_shape(Bodies(body.added), body.removed, f"jig {number}"))
            for number, body in bodies.items()}


def drilled_shapes(model: DeskModel, plan: JigPlan) -> dict[str, BodyShape]:
    """Of each member that a jig drills, by ``JigUse.like``: all that is done to it up to the stage "drill"."""
    made: dict[str, BodyShape] = {}
    for name in sorted({use.like for use in plan.uses}):
        part = model.part(name).part
        assert isinstance(part, Member)
        done = tuple(f for f in part.features if get_args(Stage).index(f.stage) <= _DRILLED)
        made[name] = VerifiedShape(shape_of(replace(part, features=done)))
    return made
