"""A groove along a face."""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel._numbers import LARGEST, number
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

__all__ = ["Groove"]


@dataclass(frozen=True, slots=True)
class Groove:
    """A groove along u, its centre line at v = ``at``, from ``start`` to ``stop`` (None: to the ends). mm."""

    face: str
    at: float
    width: float
    depth: float
    start: float | None = None
    stop: float | None = None
    name: str = "groove"
    purpose: Purpose = "cable"
    stage: Stage = "bevel and notch"

    def removals(self, blank: BlankFaces) -> tuple[Removal, ...]:
        face = blank.face(self.face)
        u0, _, u1, _ = face.outline.bounds
        start = u0 if self.start is None else number("groove start", self.start, -LARGEST, LARGEST, "mm")
        stop = u1 if self.stop is None else number("groove stop", self.stop, -LARGEST, LARGEST, "mm")
        number("groove at", self.at, -LARGEST, LARGEST, "mm")
        check_length("groove width", self.width)
        check_length("groove depth", self.depth, below=face.behind)
        check_length("groove length", stop - start)
        outline = rectangle(stop - start, self.width, (start, self.at - self.width / 2))
        check_inside(f"groove {self.name!r}", outline, face)
        return (prism_into(face, outline, self.depth),)
