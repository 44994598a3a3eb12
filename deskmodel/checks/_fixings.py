"""Screws as they stand in a desk: what each passes, what it turns into. Read from poses, holes and hardware in closed form.

    head_at  _\\_____/_    s = 0 on the screw's axis, s grows towards the tip; mm
    plate    ___| |___    a hole that lets it through
    wood     |  | |  |    its pilot hole, with or without an insert

Holes and hardware belong to a screw whose axes lie within ``COAXIAL`` of its own.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TypeVar, cast

from deskmodel._remembered import remembered
from deskmodel.catalogue import (
    InsertSize,
    ScrewSize,
    WoodScrewSize,
    insert_size,
    screw_size,
    wood_screw_size,
)
from deskmodel.checks._cells import Cells
from deskmodel.checks._threads import SCREW_MOUNT, thread_of
from deskmodel.component import Component
from deskmodel.faces import PlacedPart
from deskmodel.features import Face, Hole
from deskmodel.frames import Vec, add, dot, norm, scale, sub
from deskmodel.hardware import Hardware
from deskmodel.joints import JointRecord
from deskmodel.model import DeskModel
from deskmodel.part import TurnedBlank
from deskmodel.tolerances import COAXIAL, LENGTH

__all__ = ["Bored", "Fixing", "Spacer", "fixings", "grouped", "holes_of", "off_axis", "spacers", "span_of"]

T = TypeVar("T")

_HEAD = 1.0  # mm from a head to the mouth of its hole: one of a flush screw may stand 0.2 out

_REACH = 15.0  # mm beyond a screw's tip in which its insert or pilot hole is looked for


@dataclass(frozen=True)
class Bored:
    """A hole for screw or insert where it stands. ``face``: in which it begins, desk frame; ``depth`` of the full
    diameter; ``start`` and ``end``: s of its two ends on the screw's axis."""

    part: PlacedPart
    hole: Hole
    face: Face
    mouth: Vec
    inwards: Vec
    depth: float
    start: float = 0.0
    end: float = 0.0

    @property
    def through(self) -> bool:
        return self.hole.depth is None


@dataclass(frozen=True)
class Fixing:
    """One screw. ``over``: the part that its head holds down, ``into``: the part its thread or its insert is in, "" where
    there is none. ``clear``: holes right through on its way, from the head on; ``pilot``: the blind one it ends in.
    ``nut``: from where to where the thread reaches that it turns into: that of ``insert``, or ``thread`` says of what."""

    screw: PlacedPart
    size: ScrewSize | WoodScrewSize
    over: str
    into: str
    clear: tuple[Bored, ...]
    pilot: Bored | None
    insert: PlacedPart | None = None
    insert_size: InsertSize | None = None
    nut: tuple[float, float] | None = None
    thread: str = "its insert"

    @property
    def axis(self) -> Vec:
        return self.screw.pose.axis(2)

    @property
    def head_at(self) -> Vec:
        return self.screw.pose.origin

    @property
    def machine(self) -> bool:
        return isinstance(self.size, ScrewSize)

    @property
    def cone(self) -> float:
        """s at which the cone of a countersunk head ends; 0 of the others."""
        if not self.size.countersunk:
            return 0.0
        return self.size.head_height if isinstance(self.size, ScrewSize) else self.size.cone

    @property
    def top(self) -> float:
        """s of the outermost point of its head."""
        return 0.0 if self.size.countersunk else -self.size.head_height

    def at(self, s: float) -> Vec:
        """The point of its axis at s, desk frame."""
        return add(self.head_at, scale(self.axis, s))


@dataclass(frozen=True)
class Spacer:
    """One stand-off of a mount: ``lower`` and ``upper``: screw and how far its two ends lie from the stand-off's lower end
    along its axis (head, tip)."""

    record: JointRecord
    stand_off: PlacedPart
    length: float
    diameter: float
    lower: tuple[PlacedPart, float, float] | None
    upper: tuple[PlacedPart, float, float] | None

    def at(self, s: float) -> Vec:
        return add(self.stand_off.pose.origin, scale(self.stand_off.pose.axis(2), s))

    def engaged(self, screw: tuple[PlacedPart, float, float]) -> float:
        """mm of the screw's thread in the stand-off."""
        low, high = sorted(screw[1:])
        return max(0.0, min(high, self.length) - max(low, 0.0))


def fixings(model: DeskModel) -> tuple[Fixing, ...]:
    """All screws and wood screws by name, those of stand-off mounts included."""
    return _kept(model, "fixings", lambda: tuple(_fixings(model)))


def spacers(model: DeskModel) -> tuple[Spacer, ...]:
    """All stand-offs by name."""
    return _kept(model, "spacers", lambda: tuple(_spacers(model)))


def grouped(found: Iterable[tuple[tuple[str, ...], T]]) -> Iterator[tuple[tuple[str, ...], list[T]]]:
    """What belongs to equal parts together, in the order of the parts' names: a row of screws is told once."""
    groups: dict[tuple[str, ...], list[T]] = {}
    for parts, each in found:
        groups.setdefault(parts, []).append(each)
    yield from sorted(groups.items(), key=lambda group: group[0])


def holes_of(placed: PlacedPart) -> Iterator[Bored]:
    """The round holes of a part, not of equipment."""
    yield from _holes_of(placed)


@remembered
def _holes_of(placed: PlacedPart) -> tuple[Bored, ...]:
    holes = []
    if not isinstance(placed.part, Component):
        for feature in placed.part.features:
            if isinstance(feature, Hole):
                face = placed.face(feature.face)
                depth = face.behind if feature.depth is None else feature.depth
                holes.append(Bored(placed, feature, face, face.point(*feature.at), scale(face.normal, -1.0), depth))
    return tuple(holes)


def off_axis(p: Vec, origin: Vec, axis: Vec) -> float:
    """mm of a point from the line through ``origin`` along the unit vector ``axis``."""
    offset = sub(p, origin)
    return norm(sub(offset, scale(axis, dot(offset, axis))))


def span_of(placed: PlacedPart) -> tuple[float, float]:
    """Least and greatest z of a turned piece of hardware, in its own frame."""
    assert isinstance(placed.part.blank, TurnedBlank)
    heights = [z for _, z in placed.part.blank.half]
    return min(heights), max(heights)


_KEPT: dict[str, tuple[DeskModel, object]] = {}
"""The last model's answers: nine checks ask for them one after the other."""


def _kept(model: DeskModel, what: str, make: Callable[[], tuple[T, ...]]) -> tuple[T, ...]:
    known = _KEPT.get(what)
    if known is None or known[0] is not model:
        known = _KEPT[what] = (model, make())
    return cast(tuple[T, ...], known[1])


def _fixings(model: DeskModel) -> Iterator[Fixing]:
    holes: Cells[Bored] = Cells()
    inserts: Cells[PlacedPart] = Cells()
    for placed in model.parts:
        for bored in holes_of(placed):
            if bored.hole.purpose in ("screw", "insert"):
                holes.add(bored.mouth, add(bored.mouth, scale(bored.inwards, bored.depth)), bored)
        if _kind(placed) == "insert":
            inserts.add(placed.pose.origin, placed.pose.origin, placed)
    records: dict[str, list[JointRecord]] = {}
    for record in model.joints:
        for name in record.hardware:
            records.setdefault(name, []).append(record)
    wood = {c.male: c.female for c in model.contacts}
    for placed in sorted(model.parts, key=lambda each: each.name):
        if _kind(placed) in ("screw", "wood screw"):
            of_it = sorted(records.get(placed.name, ()), key=lambda r: r.name)
            fixing = _fixing(placed, holes, inserts, of_it, wood)
            if of_it and of_it[0].kind == SCREW_MOUNT:
                start, end, what = thread_of(model, placed, of_it[0]) or (fixing.size.length, fixing.size.length, "a nut")
                fixing = replace(fixing, nut=(start, end), thread=what)
            yield fixing


def _kind(placed: PlacedPart) -> str | None:
    return placed.part.kind if isinstance(placed.part, Hardware) else None


def _fixing(placed: PlacedPart, holes: Cells[Bored], inserts: Cells[PlacedPart], records: list[JointRecord],
            wood: dict[str, str]) -> Fixing:
    assert isinstance(placed.part, Hardware)
    size = _size(placed.part)
    origin, axis = placed.pose.origin, placed.pose.axis(2)
    top, end = origin, add(origin, scale(axis, size.length + _REACH))
    found = []
    for bored in holes.near(top, end):
        sense = dot(bored.inwards, axis)
        if abs(sense) > 0.999 and off_axis(bored.mouth, origin, axis) <= COAXIAL + LENGTH:
            a = dot(sub(bored.mouth, origin), axis)
            low, high = sorted((a, a + bored.depth * sense))
            if high > -0.5 and low < size.length + _REACH:
                found.append(Bored(bored.part, bored.hole, bored.face, bored.mouth, bored.inwards, bored.depth, low, high))
    found.sort(key=lambda each: (round(each.start, 6), each.part.name))
    through = [each for each in found if each.through and each.start < size.length]
    clear = tuple(through) if through and through[0].start <= _HEAD else ()  # else its head sits on something else
    pilot = next((each for each in found if not each.through), None)
    an_insert = min((each for each in inserts.near(top, end) if off_axis(each.pose.origin, origin, axis) <= COAXIAL + LENGTH
                     and dot(each.pose.axis(2), axis) > 0.999), default=None,
                    key=lambda each: (abs(dot(sub(each.pose.origin, origin), axis)), each.name))
    over, into = _parts(placed.name, an_insert, clear, pilot, records, wood)
    if an_insert is None:
        return Fixing(placed, size, over, into, clear, pilot)
    assert isinstance(an_insert.part, Hardware)
    start = dot(sub(an_insert.pose.origin, origin), axis)
    goods = insert_size(_designation(an_insert.part, "insert ").replace(" × ", "x"))
    return Fixing(placed, size, over, into, clear, pilot, an_insert, goods, (start, start + goods.length))


def _parts(name: str, an_insert: PlacedPart | None, clear: tuple[Bored, ...], pilot: Bored | None,
           records: list[JointRecord], wood: dict[str, str]) -> tuple[str, str]:
    if records and records[0].kind == "stand-off mount":
        return (clear[0].part.name if clear else records[0].a), ""
    if records and records[0].kind == SCREW_MOUNT:
        over = clear[0].part.name if clear else records[0].a
        return over, records[0].a if over == records[0].b else records[0].b
    held = wood.get(an_insert.name if an_insert else name, "")
    into = pilot.part.name if pilot else held or (records[0].b if records else "")
    over = clear[0].part.name if clear else (records[0].a if records else "")
    return over, into


def _size(part: Hardware) -> ScrewSize | WoodScrewSize:
    if part.kind == "wood screw":
        return wood_screw_size(_designation(part, "wood screw "))
    return screw_size(part.designation)


def _designation(part: Hardware, prefix: str) -> str:
    return part.designation.removeprefix(prefix)


def _spacers(model: DeskModel) -> Iterator[Spacer]:
    for record in sorted(model.joints, key=lambda each: each.name):
        if record.kind != "stand-off mount":
            continue
        pieces = [model.part(name) for name in sorted(record.hardware)]
        for piece in pieces:
            if _kind(piece) == "stand-off":
                yield _spacer(record, piece, [each for each in pieces if _kind(each) == "screw"])


def _spacer(record: JointRecord, piece: PlacedPart, screws: list[PlacedPart]) -> Spacer:
    assert isinstance(piece.part, Hardware)
    origin, axis = piece.pose.origin, piece.pose.axis(2)
    sides: dict[bool, tuple[PlacedPart, float, float]] = {}
    diameter = 0.0
    for each in screws:
        sense = dot(each.pose.axis(2), axis)
        if abs(sense) > 0.999 and off_axis(each.pose.origin, origin, axis) <= COAXIAL + LENGTH:
            head = dot(sub(each.pose.origin, origin), axis)
            sides[sense > 0] = (each, head, head + sense * span_of(each)[1])
    thread = re.match(r"stand-off M([0-9.]+)", piece.part.designation)
    diameter = float(thread[1]) if thread else 0.0
    return Spacer(record, piece, span_of(piece)[1], diameter, sides.get(True), sides.get(False))
