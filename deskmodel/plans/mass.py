"""Mass and centre of gravity, of each part and of the whole desk.

Timber, plates and hardware: density of the material times volume. Equipment: the mass of its data sheet, taken to be
spread evenly in its bodies. Volumes and centroids are closed forms wherever no two cuts of a part meet; those of the
others come in as facts, measured on their solids.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from deskmodel._remembered import remembered
from deskmodel.component import Component
from deskmodel.faces import AnyPart, PlacedPart, placed_box
from deskmodel.features import Box3
from deskmodel.frames import Vec
from deskmodel.model import DeskModel
from deskmodel.part import removals_of
from deskmodel.plans._moments import Moment, closed_form

__all__ = ["DeskMass", "Moment", "PartMass", "desk_box", "desk_mass", "mass_text", "unmeasured_parts"]

How = Literal["closed form", "solid"]


@dataclass(frozen=True, slots=True)
class PartMass:
    """``kg`` and ``centre`` (desk frame, mm); ``how`` the centroid, and the volume where it counts, were found."""

    name: str
    kg: float
    centre: Vec
    how: How


@dataclass(frozen=True, slots=True)
class DeskMass:
    """``kg`` and ``centre`` (desk frame, mm; None without any mass) of the ``parts`` that have a mass. ``unknown``: parts
    left out, each with the reason."""

    kg: float
    centre: Vec | None
    parts: tuple[PartMass, ...]
    unknown: Mapping[str, str]


def mass_text(kg: float) -> str:
    """"38.4 kg"; below 1 kg in g, to three figures."""
    if kg >= 0.9995:
        return f"{kg:.1f} kg"
    return f"{1000 * kg:.{0 if kg >= 0.0995 else 1 if kg >= 0.00995 else 2}f} g"


def unmeasured_parts(model: DeskModel) -> tuple[str, ...]:
    """The parts whose volume or centroid has no closed form here: ``desk_mass`` wants them measured."""
    return tuple(placed.name for placed in model.parts if _moment_of(placed.part) is None)


@remembered
def _moment_of(part: AnyPart) -> Moment | None:
    return closed_form(part.blank, removals_of(part))


def desk_box(model: DeskModel) -> Box3 | None:
    """The box about all parts but hardware, whose heads stand proud (desk frame, mm); None for a desk without any."""
    boxes = [placed_box(placed) for placed in model.parts if placed.role != "hardware"]
    if not boxes:
        return None
    lows = [min(box[0][i] for box in boxes) for i in range(3)]
    highs = [max(box[1][i] for box in boxes) for i in range(3)]
    return (lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2])


def desk_mass(model: DeskModel, measured: Mapping[str, Moment]) -> DeskMass:
    """``measured``: part name -> (volume in mm³, centroid in the part's frame) of those in ``unmeasured_parts``."""
    densities = {material.name: material.density for material in model.materials}
    parts: list[PartMass] = []
    unknown: dict[str, str] = {}
    for placed in model.parts:
        found = _part(placed, densities.get(placed.part.material), measured)
        if isinstance(found, PartMass):
            parts.append(found)
        else:
            unknown[placed.name] = found
    total = sum(part.kg for part in parts)
    centre = None
    if total > 0:
        x, y, z = (sum(part.kg * part.centre[i] for part in parts) / total for i in range(3))
        centre = (x, y, z)
    return DeskMass(total, centre, tuple(parts), unknown)


def _part(placed: PlacedPart, density: float | None, measured: Mapping[str, Moment]) -> PartMass | str:
    """The part's mass, or why there is none."""
    moment = _moment_of(placed.part)
    how: How = "closed form"
    if moment is None:
        moment, how = measured.get(placed.name), "solid"
    if moment is None:
        return "its cuts meet each other, and its solid was not measured"
    volume, centroid = moment
    centre = placed.pose.apply(centroid)
    if isinstance(placed.part, Component):
        return PartMass(placed.name, placed.part.mass, centre, how)
    if density is None:
        return f"material {placed.part.material!r} has no density"
    return PartMass(placed.name, volume * 1e-9 * density, centre, how)
