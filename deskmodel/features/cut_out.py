"""An opening right through."""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel.features._base import BlankFaces, Purpose, Removal, Stage, check_inside, prism_into
from deskmodel.profiles import Profile

__all__ = ["CutOut"]


@dataclass(frozen=True, slots=True)
class CutOut:
    """``outline`` in the (u, v) of the face, cut right through the part."""

    outline: Profile
    face: str = "top"
    name: str = "cut-out"
    purpose: Purpose = "shape"
    stage: Stage = "crosscut"

    def removals(self, blank: BlankFaces) -> tuple[Removal, ...]:
        face = blank.face(self.face)
        check_inside(f"cut-out {self.name!r}", self.outline, face)
        return (prism_into(face, self.outline, face.behind),)
