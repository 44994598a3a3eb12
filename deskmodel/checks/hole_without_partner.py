"""A hole for hardware has nothing to work with.

Finds: dowel holes whose dowel is missing or enters no second part, pilot holes without their insert, screw holes in
    plates without their screw; hardware counts when its axis lies within 0.1 mm of the hole's and it enters it.
Why it matters: it was drilled in one part only, or out of line: the parts do not go together.
How measured: axes and depths of holes and hardware in closed form, in the desk frame.
Limits: whether wood is left round a dowel, where a notch or bore crosses it, is not looked at. Mounting holes of
    equipment may stay empty. Bores and vents need no partner.
Sources: common practice: drilling by jig is good to about 0.1 mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import product

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.component import Component
from deskmodel.faces import PlacedPart
from deskmodel.features import Hole
from deskmodel.findings import Finding
from deskmodel.frames import Vec, add, dot, norm, scale, sub
from deskmodel.hardware import Hardware
from deskmodel.part import TurnedBlank
from deskmodel.tolerances import COAXIAL, LENGTH

__all__ = ["CHECK"]

_PARTNER = {"dowel": "dowel", "insert": "insert", "screw": "screw"}


@dataclass(frozen=True)
class _Bored:
    """A hole in the desk frame: mouth, direction into the material, full depth."""

    part: str
    hole: Hole
    mouth: Vec
    inwards: Vec
    depth: float


def run(facts: Facts) -> list[Finding]:
    holes = list(_holes(facts.model.parts))
    grid = _Grid(part for part in facts.model.parts if isinstance(part.part, Hardware)
                 and part.part.kind in _PARTNER.values())
    partners = [[piece.name for piece in grid.near(hole) if _enters(piece, hole)] for hole in holes]
    users: dict[str, set[str]] = {}
    for hole, names in zip(holes, partners, strict=True):
        for name in names:
            users.setdefault(name, set()).add(hole.part)
    findings = []
    for hole, names in zip(holes, partners, strict=True):
        kind = _PARTNER[hole.hole.purpose]
        if not names:
            findings.append(_finding(facts, hole, f"has no {kind} in it", f"put the joint's {kind} back in line with it"))
        elif kind == "dowel" and all(len(users[name]) < 2 for name in names):
            findings.append(_finding(facts, hole, f"has a dowel that enters no hole of a second part ({names[0]})",
                                     "drill the mating hole in line with it"))
    return findings


class _Grid:
    """Hardware by the cells of space that its axis passes: a desk of 5,000 parts has millions of pairs of holes and
    hardware, a hole a handful in its own cells."""

    CELL = 50.0

    def __init__(self, hardware: Iterable[PlacedPart]) -> None:
        self._cells: dict[tuple[int, int, int], list[PlacedPart]] = {}
        for piece in hardware:
            for cell in self._along(*_ends(piece)):
                self._cells.setdefault(cell, []).append(piece)

    def near(self, bored: _Bored) -> list[PlacedPart]:
        bottom = add(bored.mouth, scale(bored.inwards, bored.depth))
        found = {p.name: p for cell in self._along(bored.mouth, bottom) for p in self._cells.get(cell, ())}
        return [found[name] for name in sorted(found)]

    def _along(self, start: Vec, stop: Vec) -> Iterator[tuple[int, int, int]]:
        spans = [range(math.floor((min(a, b) - 1.0) / self.CELL), math.floor((max(a, b) + 1.0) / self.CELL) + 1)
                 for a, b in zip(start, stop, strict=True)]
        return product(*spans)  # type: ignore[return-value]  # three spans


def _ends(placed: PlacedPart) -> tuple[Vec, Vec]:
    """Both ends of a piece of hardware on its axis, desk frame."""
    assert isinstance(placed.part, Hardware)
    assert isinstance(placed.part.blank, TurnedBlank)
    axis, heights = placed.pose.axis(2), [z for _, z in placed.part.blank.half]
    return (add(placed.pose.origin, scale(axis, min(heights))), add(placed.pose.origin, scale(axis, max(heights))))


def _finding(facts: Facts, bored: _Bored, what: str, remedy: str) -> Finding:
    return Finding("hole-without-partner", "stop", (bored.part,),
                   f"{bored.hole.name} in the {bored.hole.face} of {bored.part}, at {at(bored.mouth)}, {what}", remedy,
                   point=bored.mouth, source="common practice", lines=lines_of(facts, (bored.part,)))


def _holes(parts: tuple[PlacedPart, ...]) -> Iterator[_Bored]:
    for placed in parts:
        if isinstance(placed.part, Component):
            continue
        for feature in placed.part.features:
            if isinstance(feature, Hole) and feature.purpose in _PARTNER:
                face = placed.face(feature.face)
                depth = face.behind if feature.depth is None else feature.depth
                yield _Bored(placed.name, feature, face.point(*feature.at), scale(face.normal, -1.0), depth)


def _enters(placed: PlacedPart, bored: _Bored) -> bool:
    """Whether a piece of hardware of the right kind stands in the hole, axis on axis."""
    assert isinstance(placed.part, Hardware)
    if placed.part.kind != _PARTNER[bored.hole.purpose]:
        return False
    axis = placed.pose.axis(2)
    if abs(dot(axis, bored.inwards)) < 0.999:
        return False
    depths = sorted(dot(sub(end, bored.mouth), bored.inwards) for end in _ends(placed))
    if depths[1] <= 0.5 or depths[0] >= bored.depth - 0.5:  # it must reach at least half a millimetre in
        return False
    offset = sub(placed.pose.origin, bored.mouth)
    return norm(sub(offset, scale(bored.inwards, dot(offset, bored.inwards)))) <= COAXIAL + LENGTH


CHECK = Check("hole-without-partner", "model", __doc__, run)
