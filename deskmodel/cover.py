"""Covers: a plate flush in an opening, backed so that it does not dent, that lifts off."""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel._numbers import settled, told
from deskmodel.errors import InputFault
from deskmodel.features._base import check_length, check_pair
from deskmodel.finish import Finish
from deskmodel.part import Plate, check_name
from deskmodel.profiles import rectangle
from deskmodel.veneer import Veneer

__all__ = ["Cover"]


@dataclass(frozen=True, slots=True)
class Cover:
    """``size`` = (x, y) of the plate; the backing under it is set back all round and glued on; lifts straight up.

    ``lift``: mm of upward travel that must be free. A ``veneer`` lies on the top; the backing keeps the cover from curling.
    ``finish`` and ``witness`` are those of its plate.
    All mm."""

    name: str
    size: tuple[float, float]
    thickness: float = 1.5
    material: str = "aluminium"
    backing: float = 6.0
    backing_material: str = "birch ply"
    set_back: float = 12.0
    glue: float = 0.15
    lift: float = 100.0
    veneer: Veneer | None = None
    finish: Finish | None = None
    witness: bool = False

    def __post_init__(self) -> None:
        check_name(self.name)
        check_pair("size", self.size, "(x, y) in mm")
        object.__setattr__(self, "size", settled(self.size))
        for what, value in (("size x", self.size[0]), ("size y", self.size[1]), ("backing", self.backing),
                            ("lift", self.lift), ("glue", self.glue), ("thickness", self.thickness)):
            check_length(what, value)
        if self.veneer is not None and (not isinstance(self.veneer, Veneer) or self.veneer.face != "top"):
            raise InputFault(f"veneer {told(self.veneer)} of a cover", allowed='a Veneer on its top: the backing is below')
        check_length("set back", self.set_back, below=min(self.size) / 2)

    @property
    def plate(self) -> Plate:
        return Plate(self.name, rectangle(*self.size), self.thickness, self.material, veneer=self.veneer,
                     finish=self.finish, witness=self.witness)

    @property
    def backing_plate(self) -> Plate:
        x, y = (side - 2 * self.set_back for side in self.size)
        return Plate(f"{self.name} backing", rectangle(x, y), self.backing, self.backing_material)

    @property
    def backing_offset(self) -> tuple[float, float, float]:
        """From the plate's lowest corner to the backing's."""
        return self.set_back, self.set_back, -self.glue - self.backing
