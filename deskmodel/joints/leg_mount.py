"""Leg mount: a leg on a steel leg plate, bolted from below through the under-plate into a leg block.

    block       |  |#||#|     |#||#|  |     inserts in the block, its grain horizontal
    under-plate ======||=========||======
    leg plate      ===||=\\/=\\/=||===        wood screws from above hold the leg, their heads flush with the leg plate
                     [##] |   | [##]        bolt heads beside the leg, each with room below it for bolt and key
                          |leg|
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from deskmodel._numbers import LARGEST, number
from deskmodel.catalogue import (
    InsertSize,
    ScrewSize,
    clearance_hole,
    insert_size,
    screw_size,
    tool_for,
    wood_screw_size,
)
from deskmodel.component import KeepOut
from deskmodel.component._part import cylinder_prism
from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart
from deskmodel.features import TWIST_DRILL_POINT, Face, Hole
from deskmodel.features._base import check_pair
from deskmodel.frames import IDENTITY, Vec, add, dot, pose_from_axes, scale, sub
from deskmodel.hardware import insert, screw
from deskmodel.joints._base import Contact, JointRecord, Layout, Named, Site, name_of, region_box
from deskmodel.joints._points import check_material
from deskmodel.joints.wood_screw_fixing import WoodScrewFixing
from deskmodel.materials import material
from deskmodel.part import Member, Plate

__all__ = ["LegMount"]

_BELOW_BOLT = 1.0  # mm of pilot hole below insert and bolt (common practice)

Pattern = tuple[float, float]


@dataclass(frozen=True)
class LegMount:
    """``leg`` on the leg plate ``plate`` below the ``under`` plate, four bolts into inserts in ``block`` above it.

    ``pattern``: mm between the bolts along the plate's own x and y, about its middle. ``screw`` ("5x60") and
    ``screw_pattern``: four countersunk wood screws from above through the leg plate into the leg's end, about the middle of
    that end; without, the leg's fastening is left to a WoodScrewFixing of the script. The room that each bolt and its key
    need to come in along its axis, as wide as the head, is a keep-out: what stands in it is found."""

    leg: Named | str
    plate: Named | str
    block: Named | str
    under: Named | str
    bolt: str = "ISO 4762 M6x25"
    insert: str = "M6x15"
    pattern: Pattern = (56.0, 56.0)
    screw: str | None = None
    screw_pattern: Pattern = (24.0, 24.0)

    rank: ClassVar[int] = 15

    def __post_init__(self) -> None:
        for part in (self.leg, self.plate, self.block, self.under):
            name_of(part)
        bolt, goods = screw_size(self.bolt), insert_size(self.insert)
        if goods.thread != bolt.thread:
            raise InputFault(f"insert {self.insert!r} with bolt {self.bolt!r}", allowed=f"an insert for {bolt.thread}")
        if bolt.countersunk:
            raise InputFault(f"{bolt.designation} as the bolt of a leg", allowed="a head that stands on the plate: ISO 4762")
        least = max(goods.outside, bolt.head)
        for what, pattern, apart in (("pattern", self.pattern, least),
                                     ("screw pattern", self.screw_pattern, wood_screw_size(self.screw or "5x60").head)):
            check_pair(what, pattern, "(mm along the plate's x, mm along its y)")
            for side in pattern:
                number(what, side, apart, LARGEST, "mm")

    @property
    def title(self) -> str:
        return f"{name_of(self.leg)} mount"

    def lay_out(self, site: Site, name: str) -> Layout:
        leg, plate, block, under = (site.part(name_of(p)) for p in (self.leg, self.plate, self.block, self.under))
        for part in (plate, under):
            if not isinstance(part.part, Plate):
                raise InputFault(f"{part.name!r} as a plate of a leg mount", allowed="a plate")
        for part in (leg, block):
            if not isinstance(part.part, Member) or material(part.part.material).kind != "timber":
                raise InputFault(f"{part.name!r} as leg or leg block", allowed="members of timber")
        upper, lower, above = (site.facing(a.name, b.name) for a, b in ((under, block), (under, plate), (plate, leg)))
        if dot(upper.a.normal, lower.a.normal) > 0 or dot(lower.b.normal, above.a.normal) > 0:
            raise InputFault(f"{leg.name!r}, {plate.name!r}, {under.name!r} and {block.name!r} do not lie on each other",
                             allowed="the block on the under-plate, the leg plate below it, the leg below that")
        layout = Layout() if self.screw is None else self._leg_screws(site, name, self.screw, above)
        stack = _Stack(plate.part.thickness + under.part.thickness + under.veneer_on(upper.a.name)  # type: ignore[union-attr]
                       + under.veneer_on(lower.a.name) + plate.veneer_on(lower.b.name), screw_size(self.bolt),
                       insert_size(self.insert))
        stack.check()
        hardware: list[str] = []
        for i, p in enumerate(_corners(above.a, _middle(above.a), self.pattern), 1):
            hardware += _one(name, i, p, stack, (upper, lower, above), (plate, under, block), layout)
        bolts = f"4 × {stack.bolt.designation} from below, insert {stack.insert.thread} × {stack.insert.length:g}"
        if upper.b.name in ("datum end", "far end"):
            bolts += ", into end grain: bed the inserts in epoxy (common practice)"
        for pair, a, b, text in ((upper, under, block, f"{bolts}, {tool_for(stack.bolt)}"),
                                 (lower, under, plate, f"clamped by 4 × {stack.bolt.designation}")):
            layout.records.append(JointRecord(
                f"{name}, {a.name} to {b.name}", "leg mount", a.name, b.name, (pair.a.name, pair.b.name), pair.apart, 0.0,
                pair.middle, region_box(pair), tuple(hardware), text))
        return layout

    def _leg_screws(self, site: Site, name: str, screw: str, above: FacePair) -> Layout:
        u0, v0, u1, v1 = above.region
        at = tuple(above.a.coordinates(p)[:2]
                   for p in _corners(above.a, above.a.point((u0 + u1) / 2, (v0 + v1) / 2), self.screw_pattern))
        return WoodScrewFixing(self.plate, self.leg, screw, at).lay_out(site, f"{name}, leg")


@dataclass(frozen=True)
class _Stack:
    """Depths of one bolt, from the face of the block, mm; ``thickness``: leg plate, under-plate and veneers on it."""

    thickness: float
    bolt: ScrewSize
    insert: InsertSize

    @property
    def bolt_end(self) -> float:
        return self.bolt.length - self.thickness

    @property
    def pilot_depth(self) -> float:
        return max(self.insert.length, self.bolt_end) + _BELOW_BOLT

    def check(self) -> None:
        engaged = min(self.bolt_end, self.insert.length)
        if engaged < self.bolt.diameter:
            raise InputFault(f"{self.bolt.designation} engages {max(0.0, engaged):.1f} mm of its insert",
                             allowed=f"at least one diameter, {self.bolt.diameter:g} mm (common practice)")


def _middle(face: Face) -> Vec:
    u0, v0, u1, v1 = face.outline.bounds
    return face.point((u0 + u1) / 2, (v0 + v1) / 2)


def _corners(face: Face, middle: Vec, pattern: Pattern) -> list[Vec]:
    """The corners of a rectangle about a point of the face, along its u and v."""
    u, v, _ = face.coordinates(middle)
    return [face.point(u + i * pattern[0] / 2, v + j * pattern[1] / 2) for i in (-1, 1) for j in (-1, 1)]


def _one(group: str, number: int, p: Vec, stack: _Stack, pairs: tuple[FacePair, FacePair, FacePair],
         parts: tuple[PlacedPart, PlacedPart, PlacedPart], layout: Layout) -> list[str]:
    """The bolt whose head stands on the leg plate's lower face at ``p``. Insert and bolt by name."""
    def called(what: str) -> str:
        return f"{group}, {what} {number}"

    upper, lower, above = pairs
    plate, under, block = parts
    bolt, goods = stack.bolt, stack.insert
    inwards = scale(upper.b.normal, -1.0)
    mouth = add(p, scale(inwards, dot(sub(upper.b.origin, p), inwards)))
    check_material(block, upper.b, mouth, goods.outside, called("insert"))
    for part, face in ((plate, above.a), (under, lower.a)):
        u, v, _ = face.coordinates(p)
        layout.features.append((part.name, Hole(face.name, (u, v), clearance_hole(bolt.thread), name=called("bolt hole"),
                                                purpose="screw", stage="crosscut")))
    u, v, _ = upper.b.coordinates(p)
    layout.features.append((block.name, Hole(
        upper.b.name, (u, v), goods.pilot, stack.pilot_depth, TWIST_DRILL_POINT, name=called("pilot hole"),
        purpose="insert", stage="spot inserts")))
    an_insert, a_bolt = insert(called("insert"), goods), screw(called("bolt"), bolt)
    along = upper.b.u
    layout.hardware.append(PlacedPart(an_insert, pose_from_axes(mouth, along, inwards), "hardware", group))
    layout.hardware.append(PlacedPart(a_bolt, pose_from_axes(p, along, inwards), "hardware", group))
    start = dot(sub(mouth, p), inwards)
    layout.contacts.append(Contact(a_bolt.name, an_insert.name, IDENTITY, goods.bore / 2, bolt.diameter / 2, start,
                                   min(start + goods.length, bolt.length), "thread of the bolt in its insert"))
    layout.contacts.append(Contact(an_insert.name, block.name, IDENTITY, goods.pilot / 2, goods.outside / 2, 0.0,
                                   goods.length, "wood thread of the insert in its pilot hole"))
    below = add(p, scale(inwards, -bolt.head_height))
    layout.rooms.append(KeepOut(called("room for bolt and key"), "service", f"{bolt.designation} and its {tool_for(bolt)}",
                                cylinder_prism(bolt.head, bolt.length, below, scale(inwards, -1.0))))
    return [an_insert.name, a_bolt.name]
