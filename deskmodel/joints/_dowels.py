"""What the joints with dowels share: how deep, how many, in which row."""

from __future__ import annotations

import math

from deskmodel._numbers import told
from deskmodel.catalogue import DowelSize
from deskmodel.errors import InputFault
from deskmodel.features import TWIST_DRILL_POINT, Face, Hole
from deskmodel.frames import Vec
from deskmodel.tolerances import LENGTH

__all__ = ["BELOW_HOLE", "BELOW_POINT", "GLUE_SPACE", "along_row", "below", "blind_hole", "check_count", "depths_of"]

BELOW_HOLE = 6.0
"""mm at least between the full depth of a face hole and the far face (common practice)."""

BELOW_POINT = 3.0
"""mm of wood at least below the drill's point (common practice); from 10 mm dowels on this asks more than 6."""

GLUE_SPACE = 2.0
"""mm by which both holes together are deeper than the dowel is long (common practice, 1.6 to 3)."""


def check_count(count: object) -> None:
    """InputFault unless it is a number of dowels."""
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= 50:
        raise InputFault(f"count {told(count)}", allowed="a whole number, 1 to 50")


def along_row(count: int, positions: tuple[float, ...] | None, length: float, diameter: float) -> tuple[float, ...]:
    """mm from the start of a row ``length`` long: the positions given, or the middles of ``count`` equal shares.
    InputFault where they do not fit."""
    if positions is None:
        if length / count < diameter:
            raise InputFault(f"{count} dowels of {diameter:g} mm in a row of {length:g} mm",
                             allowed=f"{int(length / diameter)} at most")
        return tuple(length * (i + 0.5) / count for i in range(count))
    for position in positions:
        if not 0 < position < length:
            raise InputFault(f"dowel position {position:g}", allowed=f"between 0 and {length:g} mm")
    return positions


def depths_of(size: DowelSize, behind_a: float, behind_b: float) -> tuple[float, float]:
    """Full depths of the holes in parts ``behind_a`` and ``behind_b`` mm thick: half the dowel each, but in a thin part
    no deeper than its thickness less ``below``, and the rest in the other. InputFault where the dowel does not fit."""
    less = below(size.diameter)
    room_a, room_b = behind_a - less, behind_b - less
    total = size.length + GLUE_SPACE
    if room_a < total / 2:
        depths = room_a, total - room_a
    elif room_b < total / 2:
        depths = total - room_b, room_b
    else:
        depths = total / 2, total / 2
    if min(depths) < size.diameter or depths[0] > room_a + LENGTH or depths[1] > room_b + LENGTH:
        raise InputFault(f"no room for dowel {size.diameter:g}x{size.length:g} in {behind_a:g} and {behind_b:g} mm",
                         allowed=f"a shorter dowel, or parts with {total:g} + 2 × {less:g} mm together")
    return depths


def below(diameter: float) -> float:
    """mm that a hole must stay away from the far face, on the next half millimetre."""
    point = diameter / 2 / math.tan(math.radians(TWIST_DRILL_POINT / 2))
    return max(BELOW_HOLE, math.ceil(2 * (BELOW_POINT + point)) / 2)


def blind_hole(face: Face, p: Vec, size: DowelSize, depth: float, name: str) -> Hole:
    """The hole for a dowel at the point ``p`` of a placed face."""
    u, v, _ = face.coordinates(p)
    return Hole(face.name, (u, v), size.diameter, depth, TWIST_DRILL_POINT, name=name, purpose="dowel", stage="drill")
