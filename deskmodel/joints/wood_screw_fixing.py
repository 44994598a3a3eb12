"""Wood-screw fixing: wood screws through a plate, a member or the mounting holes of equipment into timber.

    part     __\\___/__      clearance hole in the part, countersunk where the head is
    member   |   ||   |      pilot hole in the member; the thread cuts a ring of wood round it
             |   \\/   |
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import ClassVar, cast

from deskmodel._numbers import number as checked_number
from deskmodel._numbers import told
from deskmodel.catalogue import WoodScrewSize, wood_screw_size
from deskmodel.component import Component
from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart
from deskmodel.features import TWIST_DRILL_POINT, Hole
from deskmodel.frames import IDENTITY, Vec, add, dot, pose_from_axes, scale, sub
from deskmodel.hardware import wood_screw
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
from deskmodel.joints._mounts import mounts_of
from deskmodel.joints._points import check_material, in_region, is_points, points_of
from deskmodel.joints._rows import from_datum_end, row
from deskmodel.materials import material
from deskmodel.part import Member, Plate
from deskmodel.tolerances import LENGTH

__all__ = ["WoodScrewFixing"]

_AIR = 0.4  # mm by which a countersink in the wood is wider than the head's cone there


@dataclass(frozen=True)
class WoodScrewFixing:
    """Wood screws through ``part`` into each of the members of timber ``into``.

    ``screw``: "4x30" countersunk or "4x30 pan". A plate or member gets clearance holes in a row along the middle of where
    it meets each member: ``pitch`` is the most mm between screws where nothing is in their way; they stay 20 from glue
    lines and ends, 40 from dowelled ends, and clear of whatever else is cut there. ``at`` instead: mm from the datum end
    of the member, or points (u, v) of the part's own face, as features are measured. Equipment is screwed down through
    its own mounting holes, with pan heads; holes that lie over none of the members stay empty. ``pilot``: diameter of
    the pilot hole; by default the catalogue's for hardwood.
    """

    part: Named | str
    into: Named | str | Iterable[Named | str]
    screw: str = "4x30"
    at: tuple[float, ...] | tuple[tuple[float, float], ...] | None = None
    pitch: float = 120.0
    pilot: float | None = None

    rank: ClassVar[int] = 21

    def __post_init__(self) -> None:
        name_of(self.part)
        object.__setattr__(self, "into", several(self.into))
        checked_number("pitch", self.pitch, 20, 1000, "mm")
        size = wood_screw_size(self.screw)
        if self.pilot is not None:
            checked_number("pilot", self.pilot, 0.5, size.diameter - 0.1, "mm")
        if is_points(self.at):
            object.__setattr__(self, "at", points_of("screws at", self.at, size.head))
        else:
            object.__setattr__(self, "at", stations("screws at", cast(Iterable[float] | None, self.at), size.head))

    @property
    def title(self) -> str:
        return f"{name_of(self.part)} screwing"

    def lay_out(self, site: Site, name: str) -> Layout:
        size = wood_screw_size(self.screw)
        if self.pilot is not None:
            size = replace(size, pilot=float(self.pilot))
        part = site.part(name_of(self.part))
        if not isinstance(part.part, Plate | Member | Component):
            raise InputFault(f"wood screws through {part.name!r}", allowed="a plate, a member or equipment")
        if isinstance(part.part, Component) and self.at is not None:
            raise InputFault(f"screws at {told(self.at)} of {part.name!r}", allowed="no at: it has mounting holes")
        layout = Layout()
        pairs = []
        for each in names_of(self.into):
            member = site.part(each)
            if not isinstance(member.part, Member) or material(member.part.material).kind != "timber":
                raise InputFault(f"a wood screw in {member.name!r}", allowed="members of timber")
            pair = site.facing(part.name, member.name)
            pairs.append(pair)
            first = len(layout.hardware)
            for head in self._heads(site, part, member, pair, size):
                _one_screw(name, len(layout.hardware) + 1, head, pair, part, member, size, layout)
            names = tuple(piece.name for piece in layout.hardware[first:])
            if not names:
                raise InputFault(f"no screw of {part.name!r} lies over {member.name!r}",
                                 allowed="screws over each of the members")
            layout.records.append(JointRecord(
                f"{name}, {member.name}", "wood-screw fixing", part.name, member.name, (pair.a.name, pair.b.name),
                pair.apart, 0.0, pair.middle, region_box(pair), names,
                f"{len(names)} × wood screw {size.designation}, pilot hole {size.pilot:g}",
                None if isinstance(part.part, Component) else float(self.pitch)))
        for u, v in self._points:
            if not any(in_region((u, v), pair, 0.0) for pair in pairs):
                raise InputFault(f"screw at ({u:g}, {v:g}) of {part.name!r}, which lies over none of the members",
                                 allowed="points where the part meets one of them")
        return layout

    @property
    def _points(self) -> tuple[tuple[float, float], ...]:
        """The points of ``at``; none where it gives numbers along a row."""
        return cast(tuple[tuple[float, float], ...], self.at) if is_points(self.at) else ()

    def _heads(self, site: Site, part: PlacedPart, member: PlacedPart, pair: FacePair, size: WoodScrewSize) -> Iterator[Vec]:
        """Where the heads sit on the part, desk frame."""
        if isinstance(part.part, Component):
            if size.countersunk:
                raise InputFault(f"countersunk wood screw {self.screw} in the mounting holes of {part.name!r}",
                                 allowed=f'a pan head, "{size.designation} pan"')
            for mount in mounts_of(part, pair.b):
                if not size.diameter < mount.diameter < size.head:
                    raise InputFault(f"wood screw {self.screw} in {mount.name} of {part.name!r}, Ø {mount.diameter:g}",
                                     allowed=f"a hole over {size.diameter:g} and below {size.head:g} mm")
                u, v, _ = pair.a.coordinates(mount.foot)
                if in_region((u, v), pair, 0.0):
                    yield add(mount.foot, scale(pair.b.normal, mount.seat + mount.thickness))
            return
        start, along, length, _ = pair.long_axis
        on_top = scale(pair.a.normal, -pair.a.behind)
        if self._points:
            yield from (add(pair.a.point(u, v), on_top) for u, v in self._points if in_region((u, v), pair, 0.0))
            return
        if self.at is None:
            places = row(site, pair, part, member, self.pitch, size.head, size.length - pair.a.behind)
        else:
            places = from_datum_end(cast(tuple[float, ...], self.at), member, start, along, length)
        yield from (add(add(start, scale(along, place)), on_top) for place in places)


def _one_screw(group: str, number: int, head: Vec, pair: FacePair, part: PlacedPart, member: PlacedPart,
               size: WoodScrewSize, layout: Layout) -> None:
    inwards = scale(pair.b.normal, -1.0)
    to_wood = dot(sub(pair.b.origin, head), inwards)
    # the screw stands on the part and is chosen for faces that touch: where they do not, the check of the joint says so
    grip = to_wood - pair.apart
    into = size.length - grip
    _check_length(size, into, pair, member)
    what = f"wood screw {number}"
    through = isinstance(part.part, Component)  # through holes of its own
    if not through:
        outer = part.opposite(pair.a.name)
        for face in (pair.a, outer):
            check_material(part, face, head, size.clearance, what)
        u, v, _ = outer.coordinates(head)
        layout.features.append((part.name, Hole(
            outer.name, (u, v), size.clearance, countersink=(size.head, 90.0) if size.countersunk else None,
            name=f"{group}, clearance hole {number}", purpose="screw", stage="crosscut")))
    check_material(member, pair.b, head, size.diameter, what)
    u, v, _ = pair.b.coordinates(head)
    sunk = size.head - 2 * grip + _AIR if size.cone > grip + LENGTH else None  # the cone comes out below a thin part
    layout.features.append((member.name, Hole(
        pair.b.name, (u, v), size.pilot, into, TWIST_DRILL_POINT, countersink=(sunk, 90.0) if sunk else None,
        name=f"{group}, pilot hole {number}", purpose="screw", stage="fit out" if through else "spot inserts")))
    hardware = wood_screw(f"{group}, {what}", size)
    layout.hardware.append(PlacedPart(hardware, pose_from_axes(head, pair.long_axis[1], inwards), "hardware", group))
    start, end = max(to_wood, size.cone), size.length - size.tip * size.pilot / size.diameter
    if start < end:
        layout.contacts.append(Contact(hardware.name, member.name, IDENTITY, size.pilot / 2, size.diameter / 2, start, end,
                                       "thread of the wood screw in its pilot hole"))


def _check_length(size: WoodScrewSize, into: float, pair: FacePair, member: PlacedPart) -> None:
    if into - size.tip < size.diameter - LENGTH:
        raise InputFault(f"wood screw {size.designation} reaches {max(0.0, into):.3g} mm into {member.name!r}",
                         allowed=f"{size.diameter + size.tip:g} mm or more: one diameter besides its tip (common practice)")
    if into + size.pilot / 2 / math.tan(math.radians(TWIST_DRILL_POINT / 2)) > pair.b.behind - LENGTH:
        raise InputFault(f"wood screw {size.designation} reaches {into:.3g} mm into {member.name!r}, "
                         f"{pair.b.behind:g} mm thick there", allowed="a shorter screw")
