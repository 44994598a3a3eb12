"""A slot with round ends, blind or through."""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel.features._base import (
    BlankFaces,
    Purpose,
    Removal,
    Stage,
    check_inside,
    check_length,
    prism_into,
)
from deskmodel.profiles import obround

__all__ = ["Slot"]


@dataclass(frozen=True, slots=True)
class Slot:
    """``length`` over all by ``width`` about ``at`` = (u, v), turned by ``angle`` degrees from u towards v."""

    face: str
    at: tuple[float, float]
    length: float
    width: float
    depth: float | None = None
    angle: float = 0.0
    name: str = "slot"
    purpose: Purpose = "shape"
    stage: Stage = "drill"

    def removals(self, blank: BlankFaces) -> tuple[Removal, ...]:
        face = blank.face(self.face)
        depth = face.behind if self.depth is None else self.depth
        check_length("depth", depth, at_most=face.behind)
        outline = obround(self.length, self.width, self.at, self.angle)
        check_inside(f"slot {self.name!r}", outline, face)
        return (prism_into(face, outline, depth),)
