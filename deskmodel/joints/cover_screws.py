"""Cover screws: a cover that opens with a tool only.

    veneer   _____    _____      the head stands on the bare plate, in a circle cleared of veneer
    cover    ____[####]____      a screw through plate and pad in the middle of the seat
    pad      ~~~~~ || ~~~~~      into an insert in the member under it
    member   |   |#||#|   |
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from deskmodel._numbers import number as checked_number
from deskmodel.catalogue import InsertSize, ScrewSize, clearance_hole, insert_size, screw_size, tool_for
from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart
from deskmodel.features import TWIST_DRILL_POINT, CutOut, Hole
from deskmodel.frames import IDENTITY, Vec, add, cross, dot, pose_from_axes, scale, sub
from deskmodel.hardware import insert, screw
from deskmodel.joints._base import (
    Contact,
    JointRecord,
    Layout,
    Named,
    Opening,
    Site,
    name_of,
    names_of,
    region_box,
    several,
    stations,
)
from deskmodel.joints._rows import from_datum_end, row
from deskmodel.materials import material
from deskmodel.part import Member, Plate
from deskmodel.profiles import circle
from deskmodel.veneer import veneer_name

__all__ = ["CoverScrews"]

BESIDE_INSERT = 2.0
"""mm of wood between an insert and the nearest edge of its member (common practice; such inserts are bedded in epoxy)."""

ROUND_HEAD = 1.0
"""mm by which the circle cleared of veneer is wider than the head, all round."""

_DEFAULT_INSERT = {"M3": "M3x6", "M4": "M4x8", "M5": "M5x10", "M6": "M6x12", "M8": "M8x15"}
_BELOW_SCREW = 1.0  # mm of pilot hole below insert and screw (common practice)


@dataclass(frozen=True)
class CoverScrews:
    """Screws through ``cover`` and its ``pad`` (mm) into inserts in each of ``seats``, the members it lies on.

    A row in the middle of each seat, ``pitch`` mm apart at most, clear of glue lines, ends and cuts as other rows are;
    ``at``: mm from the datum end of the member instead. ``beside``: mm of wood that must be left between an insert and the
    edge of its member. The heads stand on the plate (ISO 7380, ISO 4762): a countersunk head needs more than a cover's
    thickness. Through a veneered cover they stand in a circle cleared of veneer, 1 mm wider than the head all round.
    The cover rests on its seats by this joint; no Rest is needed beside it. The screws leave with it."""

    cover: Named | str
    seats: Named | str | Iterable[Named | str]
    screw: str = "ISO 7380 M3x8"
    insert: str | None = None
    at: tuple[float, ...] | None = None
    pad: float = 0.5
    pitch: float = 150.0
    beside: float = BESIDE_INSERT

    rank: ClassVar[int] = 21

    def __post_init__(self) -> None:
        name_of(self.cover)
        object.__setattr__(self, "seats", several(self.seats))
        checked_number("pad", self.pad, 0, 5, "mm")
        checked_number("pitch", self.pitch, 20, 1000, "mm")
        checked_number("wood beside an insert", self.beside, 0, 50, "mm")
        size, goods = screw_size(self.screw), self._insert
        if goods.thread != size.thread:
            raise InputFault(f"insert {self.insert!r} with screw {self.screw!r}", allowed=f"an insert for {size.thread}")
        if size.countersunk:
            raise InputFault(f"{size.designation} as a cover screw",
                             allowed="a head that stands on the plate: ISO 7380, ISO 4762")
        object.__setattr__(self, "at", stations("screws at", self.at, max(goods.outside, size.head)))

    @property
    def title(self) -> str:
        return f"{name_of(self.cover)} screws"

    @property
    def _insert(self) -> InsertSize:
        return insert_size(_DEFAULT_INSERT[screw_size(self.screw).thread] if self.insert is None else self.insert)

    def lay_out(self, site: Site, name: str) -> Layout:
        cover = site.part(name_of(self.cover))
        if cover.role != "cover" or not isinstance(cover.part, Plate):
            raise InputFault(f"{cover.name!r} as the cover of cover screws", allowed="a Cover")
        layout = Layout()
        size = screw_size(self.screw)
        screws: list[str] = []
        for each in names_of(self.seats):
            member = site.part(each)
            if not isinstance(member.part, Member) or material(member.part.material).kind != "timber":
                raise InputFault(f"an insert in {member.name!r}", allowed="members of timber")
            pair = site.facing(cover.name, member.name)
            stack = _Stack(cover.part.thickness + cover.veneer_on(pair.a.name), self.pad, size, self._insert)
            stack.check()
            beside = self._wood_beside(pair, member, stack.insert)
            start, along, length, _ = pair.long_axis
            if self.at is None:
                places = row(site, pair, cover, member, self.pitch, max(stack.insert.outside, size.head), stack.pilot_depth)
            else:
                places = from_datum_end(self.at, member, start, along, length)
            names = []
            for place in places:
                p = add(start, scale(along, place))
                names += _one(name, len(screws) + 1, p, along, pair, cover, member, stack, layout)
                screws.append(names[-1])
            layout.records.append(JointRecord(
                f"{name}, {member.name}", "cover screws", cover.name, member.name, (pair.a.name, pair.b.name),
                pair.apart - self.pad, self.pad, pair.middle, region_box(pair), tuple(names),
                f"pad of {self.pad:g} mm, {len(places)} × {size.designation}, insert {stack.insert.thread} × "
                f"{stack.insert.length:g}, {beside:g} mm of wood beside it: bed it in epoxy; opens with a {tool_for(size)}",
                float(self.pitch)))
        layout.openings.append(Opening(cover.name, tuple(screws), tool=tool_for(size)))
        return layout

    def _wood_beside(self, pair: FacePair, member: PlacedPart, goods: InsertSize) -> float:
        """mm of wood from the inserts of the row to the nearest long edge of the member's face. InputFault where less is
        left than this joint asks."""
        start, along, _, breadth = pair.long_axis
        across = cross(pair.b.normal, along)
        u0, v0, u1, v1 = pair.b.outline.bounds
        edges = [dot(sub(pair.b.point(u, v), start), across) for u in (u0, u1) for v in (v0, v1)]
        left = round(min(max(edges), -min(edges)) - goods.outside / 2, 6)
        if left < self.beside - 1e-6:
            raise InputFault(f"insert Ø {goods.outside:g} in a seat {breadth:g} mm broad on {member.name!r} leaves "
                             f"{left:g} mm of wood",
                             allowed=f"{self.beside:g} mm (common practice), a smaller screw or a broader seat")
        return left


@dataclass(frozen=True)
class _Stack:
    """Depths of one screw, from the face of the member, mm; ``thickness``: the cover's plate."""

    thickness: float
    pad: float
    screw: ScrewSize
    insert: InsertSize

    @property
    def screw_end(self) -> float:
        return self.screw.length - self.thickness - self.pad

    @property
    def pilot_depth(self) -> float:
        return max(self.insert.length, self.screw_end) + _BELOW_SCREW

    def check(self) -> None:
        engaged = min(self.screw_end, self.insert.length)
        if engaged < self.screw.diameter:
            raise InputFault(f"{self.screw.designation} engages {max(0.0, engaged):.1f} mm of its insert",
                             allowed=f"at least one diameter, {self.screw.diameter:g} mm (common practice)")


def _one(group: str, number: int, p: Vec, along: Vec, pair: FacePair, cover: PlacedPart, member: PlacedPart, stack: _Stack,
         layout: Layout) -> list[str]:
    def called(what: str) -> str:
        return f"{group}, {what} {number}"

    size, goods = stack.screw, stack.insert
    inwards = scale(pair.b.normal, -1.0)
    outer = next(face for face in cover.faces() if face.name != pair.a.name)
    u, v, _ = outer.coordinates(p)
    layout.features.append((cover.name, Hole(outer.name, (u, v), clearance_hole(size.thread), name=called("hole"),
                                             purpose="screw", stage="crosscut")))
    if cover.veneer_on(outer.name):
        layout.features.append((veneer_name(cover.name), CutOut(circle(size.head + 2 * ROUND_HEAD, (u, v)), outer.name,
                                                                called("bare circle"), stage="finish")))
    u, v, _ = pair.b.coordinates(p)
    layout.features.append((member.name, Hole(pair.b.name, (u, v), goods.pilot, stack.pilot_depth, TWIST_DRILL_POINT,
                                              name=called("pilot hole"), purpose="insert", stage="spot inserts")))
    # inserts stand in the member, screws on the cover: where the faces are apart, the check of the joint says so
    an_insert, a_screw = insert(called("insert"), goods), screw(called("screw"), size)
    mouth, head = add(p, scale(inwards, pair.apart)), add(p, scale(inwards, -stack.thickness))
    layout.hardware.append(PlacedPart(an_insert, pose_from_axes(mouth, along, inwards), "hardware", group))
    layout.hardware.append(PlacedPart(a_screw, pose_from_axes(head, along, inwards), "hardware", group))
    first, shift = 0.0, stack.thickness + pair.apart
    layout.contacts.append(Contact(a_screw.name, an_insert.name, IDENTITY, goods.bore / 2, size.diameter / 2, first + shift,
                                   min(goods.length + shift, size.length), "thread of the screw in its insert"))
    layout.contacts.append(Contact(an_insert.name, member.name, IDENTITY, goods.pilot / 2, goods.outside / 2, 0.0,
                                   goods.length, "wood thread of the insert in its pilot hole"))
    return [an_insert.name, a_screw.name]
