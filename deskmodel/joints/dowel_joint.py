"""Dowel joint: end to face, or edge to edge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from deskmodel.catalogue import dowel_size
from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart
from deskmodel.features._base import check_length, check_pair
from deskmodel.frames import add, pose_from_axes, scale
from deskmodel.hardware import dowel
from deskmodel.joints._base import JointRecord, Layout, Named, Site, name_of, region_box, stations
from deskmodel.joints._dowels import GLUE_SPACE, along_row, blind_hole, check_count, depths_of
from deskmodel.materials import material
from deskmodel.part import Member

__all__ = ["DowelJoint"]


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
        check_count(self.count)
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
        depth_a, depth_b = self.depths or depths_of(size, pair.a.behind, pair.b.behind)
        layout = Layout()
        names = []
        for i, position in enumerate(along_row(self.count, self.positions, length, size.diameter), 1):
            p = add(start, scale(along, position))
            for part, face, depth in ((a, pair.a, depth_a), (b, pair.b, depth_b)):
                layout.features.append((part.name, blind_hole(face, p, size, depth, f"{name}, dowel hole {i}")))
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
