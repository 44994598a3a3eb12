"""The blank of a bent plate."""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel._numbers import told
from deskmodel.bends._folding import Folding, folding
from deskmodel.bends.flange import Flange
from deskmodel.errors import InputFault
from deskmodel.features import Box3, Face
from deskmodel.frames import Vec
from deskmodel.profiles import Profile

__all__ = ["FoldedBlank"]


@dataclass(frozen=True, slots=True)
class FoldedBlank:
    """A sheet with its flanges folded. ``outline``: outside dimensions of the base (in x, y; z from 0 to ``thickness``);
    ``flanges`` are resolved, so that nothing of them follows from the plate. InputFault where they do not fit."""

    outline: Profile
    thickness: float
    flanges: tuple[Flange, ...]

    def __post_init__(self) -> None:
        if any(None in (each.radius, each.k, each.relief) for each in self.flanges):
            raise InputFault(f"flanges {told(self.flanges)} of a blank", allowed="flanges with radius, k and relief")
        folding(self.outline, self.thickness, self.flanges)

    @property
    def folding(self) -> Folding:
        return folding(self.outline, self.thickness, self.flanges)

    @property
    def volume(self) -> float:
        made = self.folding
        return (sum(panel.region.area for panel in made.panels) * self.thickness + sum(bend.volume for bend in made.bends))

    def reach(self, direction: Vec) -> float:
        """The largest p · direction over its points, exact."""
        made = self.folding
        return max([panel.reach(direction) for panel in made.panels] + [bend.reach(direction) for bend in made.bends])

    @property
    def bounds(self) -> Box3:
        x, y, z = (self.reach(axis) for axis in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
        a, b, c = (0.0 - self.reach(axis) for axis in ((-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)))
        return (a, b, c), (x, y, z)

    @property
    def face_names(self) -> tuple[str, ...]:
        return ("bottom", "top", *(f"{flange.title} {side}" for flange in self.flanges for side in ("outside", "inside")))

    def face(self, name: str) -> Face:
        """"bottom" and "top" of the base less its bends; "<flange> outside" and "<flange> inside": u along the edge, v up
        the leg from the outer corner. What would enter a bend leaves its face."""
        base, *legs = self.folding.panels
        if name in ("bottom", "top"):
            return base.face(name, name == "top")
        for leg in legs:
            if name == f"{leg.name} outside":
                return leg.face(name, leg.inside < 0)
            if name == f"{leg.name} inside":
                return leg.face(name, leg.inside > 0)
        raise InputFault(f"face {told(name)}", allowed=", ".join(self.face_names))
