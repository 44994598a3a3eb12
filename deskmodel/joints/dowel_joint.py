"""Dowel joint: end to face, or edge to edge."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from deskmodel._numbers import told
from deskmodel.catalogue import DowelSize, dowel_size
from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart
from deskmodel.features import TWIST_DRILL_POINT, Hole
from deskmodel.features._base import check_length, check_pair
from deskmodel.frames import add, pose_from_axes, scale
from deskmodel.hardware import dowel
from deskmodel.joints._base import JointRecord, Layout, Named, Site, name_of, region_box, stations
from deskmodel.materials import material
from deskmodel.part import Member
from deskmodel.tolerances import LENGTH

__all__ = ["BELOW_HOLE", "BELOW_POINT", "GLUE_SPACE", "DowelJoint"]

BELOW_HOLE = 6.0
"""mm at least between the full depth of a face hole and the far face (common practice)."""

BELOW_POINT = 3.0
"""mm of wood at least below the drill's point (common practice); from 10 mm dowels on this asks more than 6."""

GLUE_SPACE = 2.0
"""mm by which both holes together are deeper than the dowel is long (common practice, 1.6 to 3)."""


@dataclass(frozen=True)
class DowelJoint:
    """``count`` dowels between members ``a`` and ``b``, on the centre line of the faces that meet.

    ``positions``: mm from the upper end of the faces' centre line (the face edge), or where it runs level from its
    left or front end; by default at the middle of ``count`` equal shares, so two dowels on a 60 high member stand at
    15 and 45. ``depths``: full depths of the holes in a and b instead of the rule: half the dowel each, but in a thin
    part no deeper than its thickness less 6, the rest plus 2 of glue space in the other.
    """

    a: Named | str
    b: Named | str
    dowel: str = "8x40"
    count: int = 2
    positions: tuple[float, ...] | None = None
    depths: tuple[float, float] | None = None

    rank: ClassVar[int] = 0

    def __post_init__(self) -> None:
        name_of(self.a), name_of(self.b)
        diameter = dowel_size(self.dowel).diameter
        if isinstance(self.count, bool) or not isinstance(self.count, int) or not 1 <= self.count <= 50:
            raise InputFault(f"count {told(self.count)}", allowed="a whole number, 1 to 50")
        object.__setattr__(self, "positions", stations("dowel positions", self.positions, diameter))
        if self.positions is not None and len(self.positions) != self.count:
            raise InputFault(f"{len(self.positions)} positions for {self.count} dowels", allowed="one each")
        if self.depths is not None:
            check_pair("depths", self.depths, "(depth in a, depth in b) in mm")
            for depth in self.depths:
                check_length("depth", depth)
            object.__setattr__(self, "depths", tuple(self.depths))

    @property
    def title(self) -> str:
        return f"{name_of(self.a)} to {name_of(self.b)}"

    def lay_out(self, site: Site, name: str) -> Layout:
        size = dowel_size(self.dowel)
        a, b = site.part(name_of(self.a)), site.part(name_of(self.b))
        for part in (a, b):
            if not isinstance(part.part, Member) or material(part.part.material).kind not in {"timber", "ply"}:
                raise InputFault(f"a dowel joint in {part.name!r}", allowed="members of timber")
        pair = site.facing(a.name, b.name)
        start, along, length, breadth = pair.long_axis
        if size.diameter > 0.6 * breadth:
            raise InputFault(f"dowel {self.dowel} in a face {breadth:g} mm broad",
                             allowed="a diameter up to 3/5 of the breadth (trade rule)")
        depth_a, depth_b = self.depths or _depths(size, pair.a.behind, pair.b.behind)
        layout = Layout()
        names = []
        for i, position in enumerate(self._positions(length, size.diameter), 1):
            p = add(start, scale(along, position))
            for part, face, depth in ((a, pair.a, depth_a), (b, pair.b, depth_b)):
                u, v, _ = face.coordinates(p)
                layout.features.append((part.name, Hole(face.name, (u, v), size.diameter, depth, TWIST_DRILL_POINT,
                                                        name=f"{name}, dowel hole {i}", purpose="dowel", stage="drill")))
            hardware = dowel(f"{name}, dowel {i}", size)
            names.append(hardware.name)
            # half of the glue space stays at the bottom of each hole
            bottom = add(p, scale(pair.a.normal, -(depth_a - GLUE_SPACE / 2)))
            pose = pose_from_axes(bottom, along, pair.a.normal)
            layout.hardware.append(PlacedPart(hardware, pose, "hardware", name))
        layout.records.append(JointRecord(
            name, "dowel joint", a.name, b.name, (pair.a.name, pair.b.name), pair.apart, 0.0, pair.middle,
            region_box(pair), tuple(names),
            f"{self.count} dowels {size.diameter:g} × {size.length:g}, {depth_a:g} + {depth_b:g} deep"))
        return layout

    def _positions(self, length: float, diameter: float) -> tuple[float, ...]:
        if self.positions is None:
            if length / self.count < diameter:
                raise InputFault(f"{self.count} dowels of {diameter:g} mm in a row of {length:g} mm",
                                 allowed=f"{int(length / diameter)} at most")
            return tuple(length * (i + 0.5) / self.count for i in range(self.count))
        for position in self.positions:
            if not 0 < position < length:
                raise InputFault(f"dowel position {position:g}", allowed=f"between 0 and {length:g} mm")
        return self.positions


def _depths(size: DowelSize, behind_a: float, behind_b: float) -> tuple[float, float]:
    below = _below(size.diameter)
    room_a, room_b = behind_a - below, behind_b - below
    total = size.length + GLUE_SPACE
    if room_a < total / 2:
        depths = room_a, total - room_a
    elif room_b < total / 2:
        depths = total - room_b, room_b
    else:
        depths = total / 2, total / 2
    if min(depths) < size.diameter or depths[0] > room_a + LENGTH or depths[1] > room_b + LENGTH:
        raise InputFault(f"no room for dowel {size.diameter:g}x{size.length:g} in {behind_a:g} and {behind_b:g} mm",
                         allowed=f"a shorter dowel, or parts with {total:g} + 2 × {below:g} mm together")
    return depths


def _below(diameter: float) -> float:
    """mm that a hole must stay away from the far face, on the next half millimetre."""
    point = diameter / 2 / math.tan(math.radians(TWIST_DRILL_POINT / 2))
    return max(BELOW_HOLE, math.ceil(2 * (BELOW_POINT + point)) / 2)


