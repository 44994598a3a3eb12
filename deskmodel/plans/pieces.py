"""The pieces that the workshop makes or has made, alike ones together, each kind with a number that every paper tells.

M members, S pieces sawn from sheets or boards (ply, timber, plastic), V leaves of veneer, P plates that are ordered (metal,
glass). What is printed, custom shapes, equipment and hardware are no pieces.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from deskmodel.faces import PlacedPart
from deskmodel.flat import flat_pattern
from deskmodel.materials import material
from deskmodel.model import DeskModel
from deskmodel.part import Member, Plate
from deskmodel.plans._likeness import likeness

__all__ = ["Piece", "family_of", "flat_of", "numbers_of", "pieces"]

_ORDERED = ("metal", "glass")


@dataclass(frozen=True, slots=True)
class Piece:
    """``number`` ("M3") and the parts that are alike in everything but their names and where they stand, by name."""

    number: str
    alike: tuple[PlacedPart, ...]

    @property
    def part(self) -> Member | Plate:
        """One of them: all are equal but for names."""
        part = self.alike[0].part
        assert isinstance(part, Member | Plate)
        return part

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(placed.name for placed in self.alike)


def pieces(model: DeskModel) -> tuple[Piece, ...]:
    """Members, sawn plates, veneer, ordered plates; of each the thickest, widest and longest first."""
    alike: dict[Any, list[PlacedPart]] = {}
    for placed in model.parts:  # by name
        if family_of(placed) is not None:
            alike.setdefault(likeness(placed), []).append(placed)
    made: list[Piece] = []
    for family in "MSVP":
        group = [each for each in alike.values() if family_of(each[0]) == family]
        group.sort(key=_order)
        made += [Piece(f"{family}{count}", tuple(each)) for count, each in enumerate(group, 1)]
    return tuple(made)


def numbers_of(model: DeskModel) -> dict[str, str]:
    """Part name -> number of its piece."""
    return {name: piece.number for piece in pieces(model) for name in piece.names}


def family_of(placed: PlacedPart) -> str | None:
    """M, S, V or P; None for what is no piece."""
    part = placed.part
    if isinstance(part, Member):
        return "M"
    if not isinstance(part, Plate) or part.printed:
        return None
    kind = material(part.material).kind
    return "V" if kind == "veneer" else "P" if kind in _ORDERED else "S"


def flat_of(part: Plate) -> Plate:
    """The plate as it lies flat before it is bent."""
    return flat_pattern(part).plate if part.flanges else part


def _order(alike: list[PlacedPart]) -> tuple[Any, ...]:
    part = alike[0].part
    if isinstance(part, Member):
        small, large = sorted(part.section)
        return part.material, -small, -large, -part.length, alike[0].name
    assert isinstance(part, Plate)
    x0, y0, x1, y1 = flat_of(part).outline.bounds
    return part.material, -part.thickness, -(x1 - x0) * (y1 - y0), -(x1 - x0), alike[0].name
