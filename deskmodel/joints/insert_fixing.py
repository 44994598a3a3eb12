"""Insert fixing: screws through a plate into threaded inserts in the members below or above it.

    plate face   ___\\______/___      countersunk in a thin plate: the cone comes out below the plate,
    plate        ____\\____/____      so the wood is recessed and the insert sits below the recess
    member       |__   ||   __|
                    |# || #|
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from deskmodel._numbers import number as checked_number
from deskmodel.catalogue import InsertSize, ScrewSize, clearance_hole, insert_size, screw_size
from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart
from deskmodel.features import TWIST_DRILL_POINT, Face, Hole
from deskmodel.frames import IDENTITY, Vec, add, pose_from_axes, scale
from deskmodel.hardware import insert, screw
from deskmodel.joints._base import (
    Contact,
    JointRecord,
    Layout,
    Named,
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

__all__ = ["InsertFixing"]

_DEFAULT_INSERT = {"M3": "M3x8", "M4": "M4x10", "M5": "M5x12", "M6": "M6x15", "M8": "M8x20"}
_BELOW_SCREW = 1.0  # mm of pilot hole below insert and screw (common practice)
_RECESS_CLEARANCE = 0.2  # mm between the cone's tip circle and the insert's mouth
_RECESS_WIDER = 0.5  # mm by which the recess is wider than the insert


@dataclass(frozen=True)
class InsertFixing:
    """A row of screws through ``plate`` into each of ``members``.

    ``pitch``: the most mm between screws where nothing is in their way. Rows run along the middle of where plate and
    member meet; by the trade's rules inserts stay 20 from glue lines and 40 from dowelled ends, and clear of whatever
    else is cut there; a screw that steps aside leaves up to half as much again. ``at``: mm from the datum end of the
    member instead (from the upper, left or front end of a row across it). The screw's standard says the head:
    ISO 10642 sinks in the plate, ISO 7380 sits on it.
    """

    plate: Named | str
    members: Named | str | Iterable[Named | str]
    screw: str = "ISO 10642 M4x12"
    pitch: float = 120.0
    insert: str | None = None
    at: tuple[float, ...] | None = None

    rank: ClassVar[int] = 20

    def __post_init__(self) -> None:
        name_of(self.plate)
        object.__setattr__(self, "members", several(self.members))
        checked_number("pitch", self.pitch, 20, 1000, "mm")
        size = screw_size(self.screw)
        goods = insert_size(_DEFAULT_INSERT[size.thread] if self.insert is None else self.insert)
        if goods.thread != size.thread:
            raise InputFault(f"insert {self.insert!r} with screw {self.screw!r}", allowed=f"an insert for {size.thread}")
        object.__setattr__(self, "at", stations("screws at", self.at, max(goods.outside + _RECESS_WIDER, size.head)))

    @property
    def title(self) -> str:
        return f"{name_of(self.plate)} fixing"

    def lay_out(self, site: Site, name: str) -> Layout:
        size = screw_size(self.screw)
        goods = insert_size(self.insert or _DEFAULT_INSERT[size.thread])
        plate = site.part(name_of(self.plate))
        if not isinstance(plate.part, Plate):
            raise InputFault(f"{plate.name!r} as the plate of an insert fixing", allowed="a plate")
        layout = Layout()
        number = 0
        for each in names_of(self.members):
            member = site.part(each)
            if not isinstance(member.part, Member) or material(member.part.material).kind != "timber":
                raise InputFault(f"an insert in {member.name!r}", allowed="members of timber")
            number = self._one_member(site, name, plate, member, size, goods, layout, number)
        return layout

    def _one_member(self, site: Site, name: str, plate: PlacedPart, member: PlacedPart, size: ScrewSize,
                    goods: InsertSize, layout: Layout, number: int) -> int:
        assert isinstance(plate.part, Plate)
        pair = site.facing(plate.name, member.name)
        stack = _Stack(plate.part.thickness + plate.veneer_on(pair.a.name), size, goods)
        outer = plate.opposite(pair.a.name).name
        if plate.veneer_on(outer):
            raise InputFault(f"screws through the veneered {outer} of {plate.name!r}",
                             allowed="screws that go in before veneering, or a face that stays bare")
        start, along, length, breadth = pair.long_axis
        if goods.outside > breadth / 2:
            raise InputFault(f"insert Ø {goods.outside:g} in a face {breadth:g} mm broad",
                             allowed="an outside diameter up to half the breadth (common practice)")
        if self.at is None:
            places = row(site, pair, plate, member, self.pitch, max(goods.outside, size.head), stack.pilot_depth)
        else:
            places = from_datum_end(self.at, member, start, along, length)
        names = []
        for place in places:
            number += 1
            names += _one_screw(name, number, add(start, scale(along, place)), along, pair, plate,
                                member, stack, layout)
        layout.records.append(JointRecord(
            f"{name}, {member.name}", "insert fixing", plate.name, member.name, (pair.a.name, pair.b.name), pair.apart,
            0.0, pair.middle, region_box(pair), tuple(names), f"{len(names) // 2} × {size.designation}, "
            f"insert {goods.thread} × {goods.length:g}", float(self.pitch)))
        return number


@dataclass(frozen=True)
class _Stack:
    """Depths of one fixing, from the face of the member, mm; ``thickness``: the plate and a veneer on its inner face."""

    thickness: float
    screw: ScrewSize
    insert: InsertSize

    @property
    def recess(self) -> float:
        """The cone's length below the plate and a little air, on the next tenth; 0 where the plate holds it all."""
        below = self.screw.head_height - self.thickness if self.screw.countersunk else 0.0
        return math.ceil(round((below + _RECESS_CLEARANCE) * 10, 6)) / 10 if below > 0 else 0.0

    @property
    def screw_end(self) -> float:
        return self.screw.length - self.thickness

    @property
    def engagement(self) -> tuple[float, float]:
        return self.recess, min(self.screw_end, self.recess + self.insert.length)

    @property
    def pilot_depth(self) -> float:
        return max(self.recess + self.insert.length, self.screw_end) + _BELOW_SCREW

    def check(self) -> None:
        engaged = self.engagement[1] - self.engagement[0]
        if engaged < self.screw.diameter:
            raise InputFault(f"{self.screw.designation} engages {max(0.0, engaged):.1f} mm of its insert",
                             allowed=f"at least one diameter, {self.screw.diameter:g} mm (common practice)")


def _one_screw(group: str, number: int, p: Vec, along: Vec, pair: FacePair, plate: PlacedPart, member: PlacedPart,
               stack: _Stack, layout: Layout) -> list[str]:
    def called(what: str) -> str:
        return f"{group}, {what} {number}"

    stack.check()
    size, goods = stack.screw, stack.insert
    inwards = scale(pair.b.normal, -1.0)
    outer = plate.opposite(pair.a.name)
    layout.features.append((plate.name, _plate_hole(outer, p, stack, called("hole"))))
    u, v, _ = pair.b.coordinates(p)
    layout.features.append((member.name, Hole(
        pair.b.name, (u, v), goods.pilot, stack.pilot_depth, TWIST_DRILL_POINT,
        counterbore=(goods.outside + _RECESS_WIDER, stack.recess) if stack.recess else None,
        name=called("pilot hole"), purpose="insert", stage="spot inserts")))
    # hardware stands on the plate: where the faces are apart, the check of the joint says so
    a_insert = insert(called("insert"), goods)
    on_member = add(p, scale(inwards, pair.apart))
    layout.hardware.append(PlacedPart(a_insert, pose_from_axes(add(on_member, scale(inwards, stack.recess)), along, inwards),
                                      "hardware", group))
    a_screw = screw(called("screw"), size)
    head_at = add(p, scale(inwards, -stack.thickness))
    layout.hardware.append(PlacedPart(a_screw, pose_from_axes(head_at, along, inwards), "hardware", group))
    shift = stack.thickness + pair.apart
    first, last = stack.engagement
    if first + shift < size.length:  # else the faces are so far apart that the screw does not reach its insert
        layout.contacts.append(Contact(a_screw.name, a_insert.name, IDENTITY, goods.bore / 2, size.diameter / 2,
                                       first + shift, min(last + shift, size.length), "thread of the screw in its insert"))
    layout.contacts.append(Contact(a_insert.name, member.name, IDENTITY, goods.pilot / 2, goods.outside / 2,
                                   0.0, goods.length, "wood thread of the insert in its pilot hole"))
    return [a_insert.name, a_screw.name]


def _plate_hole(outer: Face, p: Vec, stack: _Stack, name: str) -> Hole:
    u, v, _ = outer.coordinates(p)
    size = stack.screw
    sink = (size.head, 90.0) if size.countersunk else None
    return Hole(outer.name, (u, v), clearance_hole(size.thread), countersink=sink, name=name, purpose="screw",
                stage="crosscut")
