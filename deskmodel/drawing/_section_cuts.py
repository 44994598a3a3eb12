"""What a plane y = const cuts of placed parts, as rectangles (x0, z0, x1, z1) in the desk frame, mm."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from deskmodel.component import Component
from deskmodel.drawing._shapes import cut_stretches, openings, shape_cuts, sheet_pieces
from deskmodel.drawing.dimensions import polyline
from deskmodel.drawing.records import Path
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import Prism
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["Cut", "Slab", "equipment_boxes", "hatching", "holes_cut", "member_cut", "slab_cuts"]

Cut = tuple[float, float, float, float]

_STEP = 2.0  # mm of paper between hatching lines
_SHORTEST = 2.0  # mm; the web between two vents is not drawn as a sliver of its own


@dataclass(frozen=True, slots=True)
class Slab:
    """A stretch of a flat plate that is cut; ``role``: "plate", "cover", "backing" or "veneer"."""

    name: str
    role: str
    material: str
    cut: Cut


def slab_cuts(parts: Sequence[PlacedPart], plane: float) -> Iterator[Slab]:
    """Plates, covers, backings and veneers where the plane runs through their material; gaps and webs below 2 mm are
    closed. A bent plate by its panels and the boxes about its bends."""
    for placed in parts:
        if placed.role not in ("plate", "cover", "backing", "veneer"):
            continue
        holes = openings(placed)
        for outline, z0, z1, flat in sheet_pieces(placed):
            for low, high in _closed(cut_stretches([outline], holes if flat else [], 1, plane)):
                yield Slab(placed.name, placed.role, placed.part.material, (low, z0, high, z1))


def _closed(stretches: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    for low, high in stretches:
        if found and low - found[-1][1] < _SHORTEST:
            found[-1] = (found[-1][0], high)
        else:
            found.append((low, high))
    return found


def member_cut(placed: PlacedPart, plane: float) -> Cut | None:
    """Where the plane cuts the box about a member; exact for one that stands at right angles."""
    (x0, y0, z0), (x1, y1, z1) = placed_box(placed)
    return (x0, z0, x1, z1) if y0 + LENGTH < plane < y1 - LENGTH else None


def holes_cut(placed: PlacedPart, plane: float) -> Iterator[Cut]:
    """Notches, grooves and bores of a member where the plane runs through them. A bore is cut along a chord."""
    for _, removal in shape_cuts(placed):
        low, high = removal.bounds
        corners = [placed.pose.apply((x, y, z)) for x in (low[0], high[0]) for y in (low[1], high[1])
                   for z in (low[2], high[2])]
        (x0, x1), (y0, y1), (z0, z1) = ((min(c[i] for c in corners), max(c[i] for c in corners)) for i in range(3))
        if not y0 < plane < y1:
            continue
        round_hole = removal.profile.as_circle if isinstance(removal, Prism) else None
        axis = placed.pose.turn(removal.pose.axis(2))
        if round_hole and abs(axis[1]) < ANGLE:  # square to y: the chord at this distance from the axis
            half = math.sqrt(max(0.0, round_hole[1] ** 2 - (plane - (y0 + y1) / 2) ** 2))
            if abs(axis[0]) > 1 - ANGLE:
                z0, z1 = (z0 + z1) / 2 - half, (z0 + z1) / 2 + half
            elif abs(axis[2]) > 1 - ANGLE:
                x0, x1 = (x0 + x1) / 2 - half, (x0 + x1) / 2 + half
        yield x0, z0, x1, z1


def equipment_boxes(placed: PlacedPart) -> Iterator[Cut]:
    """Each body of equipment seen from the front."""
    part = placed.part
    singles = [replace(part, bodies=(body,), features=()) for body in part.bodies] if isinstance(part, Component) else [part]
    for single in singles:
        (x0, _, z0), (x1, _, z1) = placed_box(replace(placed, part=single))
        yield x0, z0, x1, z1


def hatching(box: tuple[float, float, float, float]) -> Iterator[Path]:
    """Lines at 45° across a rectangle on paper; those of neighbours meet, since all are laid from the same origin."""
    x0, y0, x1, y1 = box
    first = math.ceil((x0 - y1) / _STEP)
    for k in range(first, math.floor((x1 - y0) / _STEP) + 1):
        offset = k * _STEP  # x - y along the line
        start, end = max(x0, y0 + offset), min(x1, y1 + offset)
        if end - start > 0.05:
            yield polyline("hatch", (start, start - offset), (end, end - offset))
