"""A recess with a flat bottom."""

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
from deskmodel.profiles import Profile

__all__ = ["Pocket"]


@dataclass(frozen=True, slots=True)
class Pocket:
    """``outline`` in the (u, v) of the face, sunk ``depth`` mm; material stays below it."""

    face: str
    outline: Profile
    depth: float
    name: str = "pocket"
    purpose: Purpose = "shape"
    stage: Stage = "bevel and notch"

    def removals(self, blank: BlankFaces) -> tuple[Removal, ...]:
        face = blank.face(self.face)
        check_length("pocket depth", self.depth, below=face.behind)
        check_inside(f"pocket {self.name!r}", self.outline, face)
        return (prism_into(face, self.outline, self.depth),)
