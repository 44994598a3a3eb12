"""What a desk consists of, alike things together, each kind with the number that balloons and all other papers tell.

Pieces have theirs from ``plans.pieces`` (M members, S sawn from sheets, V veneer, P ordered plates); E is equipment, X what
is printed or a custom shape. Hardware has no number; it is counted by kind.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from deskmodel.component import Component
from deskmodel.drawing.dimensions import figure
from deskmodel.faces import PlacedPart
from deskmodel.hardware import Hardware
from deskmodel.model import DeskModel
from deskmodel.part import Member, Plate
from deskmodel.plans._likeness import likeness
from deskmodel.plans.pieces import pieces

__all__ = ["ListItem", "hardware_counts", "parts_list"]


@dataclass(frozen=True, slots=True)
class ListItem:
    number: str
    names: tuple[str, ...]
    material: str
    size: str


def parts_list(model: DeskModel) -> tuple[ListItem, ...]:
    """Every part but hardware, once."""
    made = [ListItem(piece.number, piece.names, piece.part.material, _size(piece.alike[0])) for piece in pieces(model)]
    done = {name for item in made for name in item.names}
    for letter in "EX":
        alike: dict[Any, list[PlacedPart]] = {}
        for placed in model.parts:
            if placed.name not in done and not isinstance(placed.part, Hardware) and (
                    isinstance(placed.part, Component) == (letter == "E")):
                alike.setdefault(_alike(placed), []).append(placed)
        for i, group in enumerate(alike.values(), 1):
            made.append(ListItem(f"{letter}{i}", tuple(p.name for p in group), group[0].part.material, _size(group[0])))
    return tuple(made)


def hardware_counts(model: DeskModel) -> tuple[tuple[str, int], ...]:
    """(designation, how many), by kind and designation."""
    count = Counter((placed.part.kind, placed.part.designation) for placed in model.parts
                    if isinstance(placed.part, Hardware))
    return tuple((designation, number) for (_, designation), number in sorted(count.items()))


def _alike(placed: PlacedPart) -> Any:
    if isinstance(placed.part, Component):
        return placed.part.sheet, placed.part.source, repr(placed.part.bodies)
    return likeness(placed)


def _size(placed: PlacedPart) -> str:
    part = placed.part
    if isinstance(part, Member):
        return " × ".join(figure(side) for side in (*part.section, part.length))
    if isinstance(part, Plate) and not part.flanges:
        x0, y0, x1, y1 = part.outline.bounds
        return " × ".join(figure(side) for side in (part.thickness, x1 - x0, y1 - y0))
    return " × ".join(figure(side) for side in _sides(placed))


def _sides(placed: PlacedPart) -> Iterator[float]:
    low, high = placed.part.blank.bounds
    for a, b in zip(low, high, strict=True):
        yield b - a
