"""What is cut out of one part, feature by feature, with the holes that hardware goes into."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import get_args

from deskmodel._remembered import remembered
from deskmodel.checks._base import Facts
from deskmodel.checks._bodies import Body, bodies_of
from deskmodel.faces import PlacedPart
from deskmodel.features import Box3, Feature, Hole, Purpose, Removal
from deskmodel.frames import Vec
from deskmodel.part import Member, Plate, cuts_of
from deskmodel.plans.bored import Bored, bored

__all__ = ["JOINT_HOLES", "WALL", "Cut", "CutPart", "cut_parts", "is_round"]

JOINT_HOLES = ("dowel", "insert", "screw")

WALL = 3.0
"""mm of wood below a drill's point and between holes (common practice)."""


@dataclass(frozen=True, eq=False)
class Cut:
    """One removal, in its part's frame; ``hole`` where it is a round hole, whatever for."""

    feature: Feature
    removal: Removal
    hole: Bored | None
    _bodies: list[Body] = field(default_factory=list)

    @property
    def joint_hole(self) -> Bored | None:
        """The hole where hardware goes into it."""
        return self.hole if self.hole is not None and self.hole.hole.purpose in JOINT_HOLES else None

    @property
    def box(self) -> Box3:
        return self.removal.bounds

    @property
    def bodies(self) -> list[Body]:
        if not self._bodies:
            self._bodies.extend(bodies_of(self.removal))
        return self._bodies

    def contains(self, p: Vec) -> bool:
        return self.removal.contains(p)


@dataclass(frozen=True, eq=False)
class CutPart:
    placed: PlacedPart
    cuts: tuple[Cut, ...]

    def own(self, p: Vec) -> Vec:
        """A point of the desk in the part's frame."""
        return self.placed.pose.inverse().apply(p)


def cut_parts(facts: Facts) -> Iterator[CutPart]:
    """Members and plates with a hole that hardware goes into."""
    return (part for placed in facts.model.parts if (part := _cut_part(placed)) is not None)


@remembered
def _cut_part(placed: PlacedPart) -> CutPart | None:
    part = placed.part
    if not isinstance(part, Member | Plate):
        return None
    holes = {hole.index: hole for hole in bored((placed,), get_args(Purpose))}
    if not any(hole.hole.purpose in JOINT_HOLES for hole in holes.values()):
        return None
    return CutPart(placed, tuple(Cut(feature, removal, holes.get(index))
                                 for index, (feature, removals) in enumerate(cuts_of(part)) for removal in removals))


def is_round(cut: Cut) -> bool:
    """Whether it is a drilled hole, or one of a vent field."""
    return isinstance(cut.feature, Hole) or cut.feature.purpose == "vent"
