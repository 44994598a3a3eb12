"""The bay table: how large each bay really is, what is in it, and how much room that leaves.

Measured from the placed blanks: notches, grooves and bores of the members do not count, nor do the plugs of equipment;
an opening of a plate counts where it takes up the whole bay.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from deskmodel.bay import Bay
from deskmodel.model import DeskModel
from deskmodel.plans._room import SIDES, Boxed, Wall, boxed, floor_and_ceiling, frame_at, overlap, walls
from deskmodel.tolerances import OVERLAP

__all__ = ["SIDES", "BayRow", "Wall", "bay_rows"]

Size = tuple[float | None, float | None, float | None]
_EQUIPMENT = ("component", "custom")


@dataclass(frozen=True, slots=True)
class BayRow:
    """One bay. mm, desk frame.

    ``floor``, ``ceiling``: z, None where nothing closes the bay that way; ``floor_part``, ``ceiling_part``: of what.
    ``clear``: (length along x, width along y, height), each None where a wall is missing. ``equipment``: what is in it,
    and ``blocks``: members and small plates in it, by name. ``room``: mm left between the equipment and the wall, by side
    ("x0" left, "x1" right, "y0" front, "y1" back, "z0" below, "z1" above); below 0 where all of it reaches out of the bay;
    empty without equipment, and without the sides that have no wall."""

    bay: Bay
    walls: tuple[Wall, ...]
    floor: float | None
    floor_part: str | None
    ceiling: float | None
    ceiling_part: str | None
    clear: Size
    equipment: tuple[str, ...]
    blocks: tuple[str, ...]
    room: Mapping[str, float]

    @property
    def holds(self) -> tuple[str, ...]:
        return (*self.equipment, *self.blocks)


def bay_rows(model: DeskModel) -> tuple[BayRow, ...]:
    """A row for each bay, in the order of their names."""
    parts = boxed(model.parts)
    return tuple(_row(bay, parts) for bay in model.bays)


def _row(bay: Bay, parts: Sequence[Boxed]) -> BayRow:
    floor, ceiling = floor_and_ceiling(bay, parts)
    height = (floor[0] if floor else -math.inf, ceiling[0] if ceiling else math.inf)
    frame, within = frame_at(bay, height, parts)
    sides = walls(bay, frame)
    equipment = [each for each in parts if each.placed.role in _EQUIPMENT and _in(bay, height, each)]
    ends: dict[str, float | None] = {wall.side: wall.at for wall in sides}
    ends |= {"z0": floor[0] if floor else None, "z1": ceiling[0] if ceiling else None}
    clear = tuple(_between(ends[f"{axis}0"], ends[f"{axis}1"]) for axis in "xyz")
    return BayRow(bay, sides, ends["z0"], floor[1] if floor else None, ends["z1"], ceiling[1] if ceiling else None,
                  (clear[0], clear[1], clear[2]), tuple(each.name for each in equipment),
                  tuple(dict.fromkeys(each.name for each in within)), _room_left(ends, equipment))


def _in(bay: Bay, height: tuple[float, float], each: Boxed) -> bool:
    return all(overlap(side, each.span(axis)) > OVERLAP for axis, side in enumerate((bay.x, bay.y, height)))


def _between(low: float | None, high: float | None) -> float | None:
    return None if low is None or high is None else high - low


def _room_left(ends: Mapping[str, float | None], equipment: Sequence[Boxed]) -> dict[str, float]:
    """mm by side. What goes through a wall on purpose (a connector, an inlet) says nothing about the room before it, as
    long as anything else does."""
    room: dict[str, float] = {}
    for axis, letter in enumerate("xyz"):
        low, high = ends[f"{letter}0"], ends[f"{letter}1"]
        if low is not None:
            room |= _least(f"{letter}0", [each.span(axis)[0] - low for each in equipment])
        if high is not None:
            room |= _least(f"{letter}1", [high - each.span(axis)[1] for each in equipment])
    return room


def _least(side: str, rooms: Sequence[float]) -> dict[str, float]:
    inside = [room for room in rooms if room >= -OVERLAP]
    return {side: min(inside or rooms)} if rooms else {}
