"""Which plates the cutting service makes, each in the flat as it is drawn for it, and which of them are one order line.

Sent are plates of the kinds of material that the service profile says it cuts, those that come from the printer left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from deskmodel._remembered import remembered
from deskmodel.cutting import Cut, CutSheet, Side, cut_sheet
from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart
from deskmodel.finish import Finish
from deskmodel.frames import Vec
from deskmodel.materials import material
from deskmodel.model import DeskModel
from deskmodel.part import Plate
from deskmodel.seen import middle_of, seen_face

__all__ = ["CutPlate", "SentPlate", "Undrawn", "cut_plates", "drawn_side", "sent_plates", "undrawn_plates"]


@dataclass(frozen=True, eq=False)
class CutPlate:
    """A plate that is sent, with its sheet."""

    placed: PlacedPart
    sheet: CutSheet

    @property
    def name(self) -> str:
        return self.placed.name

    @property
    def plate(self) -> Plate:
        assert isinstance(self.placed.part, Plate)
        return self.placed.part

    @cached_property
    def distinct(self) -> tuple[Cut, ...]:
        """Its cuts, each contour once: where two features cut the same one, the laser cuts it once."""
        seen: dict[Any, Cut] = {}
        for cut in self.sheet.cuts:
            seen.setdefault(cut.outline.vertices, cut)
        return tuple(seen.values())

    def in_desk(self, p: tuple[float, float]) -> Vec:
        """The point (X, Y) of the sheet in the desk frame, on the face that is seen."""
        return self.placed.pose.apply(self.sheet.to_part(p))


@dataclass(frozen=True, slots=True)
class Undrawn:
    """A plate that cannot be drawn for the service, and why. Its solid cannot be built either, which is said at its line."""

    name: str
    why: str


@dataclass(frozen=True, eq=False)
class SentPlate:
    """Plates that are one and the same to the service: ``names``, of which ``first`` is drawn."""

    names: tuple[str, ...]
    first: CutPlate

    @property
    def sheet(self) -> CutSheet:
        return self.first.sheet

    @property
    def finish(self) -> Finish:
        return self.first.plate.finish or Finish()

    @property
    def mass(self) -> float | None:
        """kg of one as it is cut, before anything is sunk into it; None: a material of unknown density."""
        density = material(self.sheet.material).density
        return None if density is None else self.sheet.area * self.sheet.thickness * density * 1e-9


_KNOWN: list[tuple[DeskModel, tuple[tuple[CutPlate, ...], tuple[Undrawn, ...]]]] = []
"""The last model asked about: each of the checks and documents asks again."""


def cut_plates(model: DeskModel) -> tuple[CutPlate, ...]:
    """Each plate that is sent and can be drawn, in the order of names."""
    return _looked(model)[0]


def drawn_side(model: DeskModel, name: str) -> Side | None:
    """The face of that part which its DXF shows; None for one that is not sent, or cannot be drawn."""
    return next((each.sheet.seen for each in cut_plates(model) if each.name == name), None)


def undrawn_plates(model: DeskModel) -> tuple[Undrawn, ...]:
    """Plates that would be sent and cannot be drawn."""
    return _looked(model)[1]


def sent_plates(model: DeskModel) -> tuple[SentPlate, ...]:
    """The order: plates that are alike once, in the order of their first names."""
    alike: dict[Any, list[CutPlate]] = {}
    for each in cut_plates(model):
        alike.setdefault(_likeness(each), []).append(each)
    return tuple(SentPlate(tuple(each.name for each in group), group[0]) for group in alike.values())


def _looked(model: DeskModel) -> tuple[tuple[CutPlate, ...], tuple[Undrawn, ...]]:
    if not _KNOWN or _KNOWN[0][0] is not model:
        found = list(_each(model))
        _KNOWN[:] = [(model, (tuple(each for each in found if isinstance(each, CutPlate)),
                              tuple(each for each in found if isinstance(each, Undrawn))))]
    return _KNOWN[0][1]


def _each(model: DeskModel) -> Iterator[CutPlate | Undrawn]:
    middle = middle_of(model.parts)
    for placed in model.parts:
        plate = placed.part
        if isinstance(plate, Plate) and not plate.printed and material(plate.material).kind in model.service.laser.cuts:
            try:
                yield _cut_plate(placed, cut_sheet(plate, seen_face(placed, middle)))
            except InputFault as fault:
                yield Undrawn(placed.name, str(fault))


@remembered
def _cut_plate(placed: PlacedPart, sheet: CutSheet) -> CutPlate:
    return CutPlate(placed, sheet)


def _likeness(each: CutPlate) -> Any:
    """Equal for plates that the service cannot tell apart: names do not matter, nor where they stand."""
    sheet = each.sheet
    return (sheet.material, sheet.thickness, sheet.seen, each.plate.finish, sheet.outline.vertices,
            tuple(sorted(cut.outline.vertices for cut in sheet.cuts)),
            tuple(sorted(repr(replace(work, name="")) for work in sheet.works)),
            tuple(sorted(repr(replace(bend, flange="")) for bend in sheet.bends)))
