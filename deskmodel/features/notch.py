"""A notch: a stretch of a face cut down over its whole width."""

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
from deskmodel.profiles import rectangle

__all__ = ["Notch"]


@dataclass(frozen=True, slots=True)
class Notch:
    """From u = ``start`` over ``length``, ``depth`` deep, open to both sides of the face. mm."""

    face: str
    start: float
    length: float
    depth: float
    name: str = "notch"
    purpose: Purpose = "shape"
    stage: Stage = "bevel and notch"

    def removals(self, blank: BlankFaces) -> tuple[Removal, ...]:
        face = blank.face(self.face)
        check_length("notch length", self.length)
        check_length("notch depth", self.depth, below=face.behind)
        _, v0, _, v1 = face.outline.bounds
        outline = rectangle(self.length, v1 - v0, (self.start, v0))
        check_inside(f"notch {self.name!r}", outline, face)
        return (prism_into(face, outline, self.depth),)
