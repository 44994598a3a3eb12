"""Through dowels: one dowel right through a member into the ends of two rails that meet it from opposite sides.

      a  ======|#########|======  b      where two dowels, one from each side, would meet in the thin member
               | middle  |
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from deskmodel.catalogue import DowelSize, dowel_size
from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart
from deskmodel.features import Hole
from deskmodel.frames import add, dot, pose_from_axes, scale
from deskmodel.hardware import dowel
from deskmodel.joints._base import JointRecord, Layout, Named, Site, name_of, region_box, stations
from deskmodel.joints._dowels import GLUE_SPACE, along_row, below, blind_hole, check_count
from deskmodel.joints._points import check_material
from deskmodel.materials import material
from deskmodel.part import Member
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["ThroughDowels"]


@dataclass(frozen=True)
class ThroughDowels:
    """``count`` dowels right through ``middle``, half of what is left over in each of the rails ``a`` and ``b``.

    They stand on the centre line of where both rails meet the middle member. ``positions``: mm from its upper end, or
    where it runs level from its left or front end; by default in the middle of ``count`` equal shares. The hole goes
    right through the middle; those in the rails have 1 mm of glue space each at their bottom.
    """

    a: Named | str
    middle: Named | str
    b: Named | str
    dowel: str = "8x60"
    count: int = 2
    positions: tuple[float, ...] | None = None

    rank: ClassVar[int] = 0

    def __post_init__(self) -> None:
        names = [name_of(part) for part in (self.a, self.middle, self.b)]
        if len(set(names)) != 3:
            raise InputFault(f"through dowels of {', '.join(map(repr, names))}", allowed="three different members")
        diameter = dowel_size(self.dowel).diameter
        check_count(self.count)
        object.__setattr__(self, "positions", stations("dowel positions", self.positions, diameter))
        if self.positions is not None and len(self.positions) != self.count:
            raise InputFault(f"{len(self.positions)} positions for {self.count} dowels", allowed="one each")

    @property
    def title(self) -> str:
        return f"{name_of(self.a)} through {name_of(self.middle)}"

    def lay_out(self, site: Site, name: str) -> Layout:
        size = dowel_size(self.dowel)
        a, middle, b = (site.part(name_of(part)) for part in (self.a, self.middle, self.b))
        for part in (a, middle, b):
            if not isinstance(part.part, Member) or material(part.part.material).kind not in {"timber", "ply"}:
                raise InputFault(f"through dowels in {part.name!r}", allowed="members of timber")
        to_a, to_b = site.facing(middle.name, a.name), site.facing(middle.name, b.name)
        common = self._common(to_a, to_b, size)
        start, along, length, _ = common.long_axis
        thick = to_a.a.behind
        into = (size.length - thick) / 2
        self._check_depth(size, thick, into, (to_a, to_b))
        layout = Layout()
        names = []
        for i, position in enumerate(along_row(self.count, self.positions, length, size.diameter), 1):
            p = add(start, scale(along, position))
            for part, face in ((middle, to_a.a), (middle, to_b.a), (a, to_a.b), (b, to_b.b)):
                check_material(part, face, p, size.diameter, f"dowel {i}")
            u, v, _ = to_a.a.coordinates(p)
            hole = f"{name}, dowel hole {i}"
            layout.features.append((middle.name, Hole(to_a.a.name, (u, v), size.diameter, name=hole, purpose="dowel",
                                                      stage="drill")))
            for part, face in ((a, to_a.b), (b, to_b.b)):
                layout.features.append((part.name, blind_hole(face, p, size, into + GLUE_SPACE / 2, hole)))
            hardware = dowel(f"{name}, dowel {i}", size)
            names.append(hardware.name)
            foot = add(p, scale(to_a.a.normal, -(thick + into)))
            layout.hardware.append(PlacedPart(hardware, pose_from_axes(foot, along, to_a.a.normal), "hardware", name))
        text = (f"{self.count} dowels {size.diameter:g} × {size.length:g} right through {middle.name}, "
                f"{into + GLUE_SPACE / 2:g} deep in {a.name} and {b.name}")
        for rail, pair in ((a, to_a), (b, to_b)):
            layout.records.append(JointRecord(
                f"{name}, {rail.name}", "through dowels", rail.name, middle.name, (pair.b.name, pair.a.name), pair.apart,
                0.0, pair.middle, region_box(pair), tuple(names), text))
        return layout

    def _common(self, to_a: FacePair, to_b: FacePair, size: DowelSize) -> FacePair:
        """Where both rails meet the middle member, on its face towards a. Opposite faces have the same (u, v)."""
        rails = f"{name_of(self.a)!r} and {name_of(self.b)!r}"
        if dot(to_a.a.normal, to_b.a.normal) > -1 + ANGLE:
            raise InputFault(f"{rails} meet the {to_a.a.name} and the {to_b.a.name} of {name_of(self.middle)!r}",
                             allowed="rails on opposite faces of the middle member")
        (u0, v0, u1, v1), (p0, q0, p1, q1) = to_a.region, to_b.region
        region = (max(u0, p0), max(v0, q0), min(u1, p1), min(v1, q1))
        breadth = min(region[2] - region[0], region[3] - region[1])
        least = size.diameter / 0.6
        if breadth < least - LENGTH:
            where = f"only {breadth:g} mm broad" if breadth > LENGTH else "nowhere"
            raise InputFault(f"{rails} are opposite each other {where} on {name_of(self.middle)!r}",
                             allowed=f"{least:.3g} mm or more for dowel {self.dowel}, whose diameter goes up to 3/5 of the "
                             "breadth (trade rule); else a DowelJoint for each, 16 mm apart")
        return replace(to_a, region=region)

    def _check_depth(self, size: DowelSize, thick: float, into: float, pairs: tuple[FacePair, ...]) -> None:
        if into < size.diameter - LENGTH:
            raise InputFault(f"dowel {self.dowel} through {thick:g} mm reaches {max(0.0, into):g} mm into each rail",
                             allowed=f"one diameter or more: a dowel {thick + 2 * size.diameter:g} long")
        for pair in pairs:
            room = pair.b.behind - below(size.diameter)
            if into + GLUE_SPACE / 2 > room + LENGTH:
                raise InputFault(f"no room for {self.dowel}, {into + GLUE_SPACE / 2:g} mm deep, behind the {pair.b.name}",
                                 allowed=f"a hole up to {max(0.0, room):g} mm deep")
