"""Face dowels: dowels square through the faces of two pieces that lie face to face.

             a     |        |              a block on a rail, or the pieces of a lamination: the dowels keep them
          ---------|--------|---------     in line while the glue sets; in a thin piece t - 6 deep, the rest
             b     |        |              and 2 of glue space in the other
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from deskmodel.catalogue import DowelSize, dowel_size
from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart
from deskmodel.frames import Vec, add, pose_from_axes, scale
from deskmodel.hardware import dowel
from deskmodel.joints._base import JointRecord, Layout, Named, Site, name_of, region_box
from deskmodel.joints._dowels import GLUE_SPACE, along_row, blind_hole, check_count, depths_of
from deskmodel.joints._points import check_material, in_region, points_of
from deskmodel.materials import material
from deskmodel.part import Member, Plate

__all__ = ["ENDS", "FaceDowels"]

ENDS = ("datum end", "far end")
"""Faces of a member that show end grain."""


@dataclass(frozen=True)
class FaceDowels:
    """``count`` dowels (2) between ``a`` and ``b``, which meet face to face, in a row along the middle of where they meet,
    each in the middle of its share of the length.

    ``at``: points (u, v) of the face of ``a`` instead, measured as features are: from a member's datum end and from its
    face side (on a side: its under edge), on a plate in the x, y of its outline. The pieces are members or plates of
    timber or ply. An end on a face, or two edges, is a ``DowelJoint``.
    """

    a: Named | str
    b: Named | str
    dowel: str = "8x40"
    at: tuple[tuple[float, float], ...] | None = None
    count: int | None = None

    rank: ClassVar[int] = 0

    def __post_init__(self) -> None:
        name_of(self.a), name_of(self.b)
        diameter = dowel_size(self.dowel).diameter
        if self.count is not None:
            check_count(self.count)
        if self.at is not None:
            object.__setattr__(self, "at", points_of("dowel at", self.at, diameter))
            if self.count is not None and self.count != len(self.at):
                raise InputFault(f"{len(self.at)} points for {self.count} dowels", allowed="one each")

    @property
    def title(self) -> str:
        return f"{name_of(self.a)} on {name_of(self.b)}"

    def lay_out(self, site: Site, name: str) -> Layout:
        size = dowel_size(self.dowel)
        a, b = site.part(name_of(self.a)), site.part(name_of(self.b))
        pair = site.facing(a.name, b.name)
        for part, face in ((a, pair.a), (b, pair.b)):
            if not isinstance(part.part, Member | Plate) or material(part.part.material).kind not in {"timber", "ply"}:
                raise InputFault(f"face dowels in {part.name!r}", allowed="members and plates of timber or ply")
            if isinstance(part.part, Member) and face.name in ENDS:
                raise InputFault(f"face dowels in the {face.name} of {part.name!r}",
                                 allowed="faces along the grain; DowelJoint for an end on a face")
        depths = depths_of(size, pair.a.behind, pair.b.behind)
        layout = Layout()
        names = []
        for i, p in enumerate(self._places(pair, size), 1):
            for part, face, depth in ((a, pair.a, depths[0]), (b, pair.b, depths[1])):
                check_material(part, face, p, size.diameter, f"dowel {i}")
                layout.features.append((part.name, blind_hole(face, p, size, depth, f"{name}, dowel hole {i}")))
            hardware = dowel(f"{name}, dowel {i}", size)
            names.append(hardware.name)
            # half of the glue space stays at the bottom of each hole
            bottom = add(p, scale(pair.a.normal, -(depths[0] - GLUE_SPACE / 2)))
            pose = pose_from_axes(bottom, pair.long_axis[1], pair.a.normal)
            layout.hardware.append(PlacedPart(hardware, pose, "hardware", name))
        layout.records.append(JointRecord(
            name, "face dowels", a.name, b.name, (pair.a.name, pair.b.name), pair.apart, 0.0, pair.middle,
            region_box(pair), tuple(names),
            f"{len(names)} dowels {size.diameter:g} × {size.length:g}, {depths[0]:g} + {depths[1]:g} deep"))
        return layout

    def _places(self, pair: FacePair, size: DowelSize) -> Iterator[Vec]:
        """The dowels' axes on the face of a, desk frame."""
        if self.at is None:
            start, along, length, breadth = pair.long_axis
            if size.diameter > 0.6 * breadth:
                raise InputFault(f"dowel {self.dowel} where the faces meet {breadth:g} mm broad",
                                 allowed="a diameter up to 3/5 of the breadth (trade rule), or points of your own")
            for position in along_row(2 if self.count is None else self.count, None, length, size.diameter):
                yield add(start, scale(along, position))
            return
        u0, v0, u1, v1 = pair.region
        for u, v in self.at:
            if not in_region((u, v), pair, size.diameter / 2):
                raise InputFault(f"dowel at ({u:g}, {v:g}) of the {pair.a.name}, beside where the faces meet",
                                 allowed=f"{size.diameter / 2:g} mm or more within u {u0:g} to {u1:g}, v {v0:g} to {v1:g}")
            yield pair.a.point(u, v)
