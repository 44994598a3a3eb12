"""A hole for hardware has nothing to work with.

Finds: dowel holes whose dowel is missing or enters no second part, pilot holes without their insert or wood screw,
    screw holes in plates without their screw, clearance holes whose wood screw enters no pilot hole; hardware counts when
    its axis lies within 0.1 mm of the hole's and it enters it.
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

_PARTNERS = {"dowel": ("dowel",), "insert": ("insert",), "screw": ("screw", "wood screw")}


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
    kinds = {kind for each in _PARTNERS.values() for kind in each}
    grid = _Grid(part for part in facts.model.parts if isinstance(part.part, Hardware) and part.part.kind in kinds)
    partners = [[piece for piece in grid.near(hole) if _enters(piece, hole)] for hole in holes]
    users: dict[str, set[str]] = {}
    for hole, pieces in zip(holes, partners, strict=True):
        for piece in pieces:
            users.setdefault(piece.name, set()).add(hole.part)
    findings = []
    for hole, pieces in zip(holes, partners, strict=True):
        kind = hole.hole.purpose
        if not pieces:
            findings.append(_finding(facts, hole, f"has no {kind} in it", f"put the joint's {kind} back in line with it"))
        elif all(_goes_on(piece, hole) and len(users[piece.name]) < 2 for piece in pieces):
            what = _kind(pieces[0])
            findings.append(_finding(facts, hole, f"has a {what} that enters no hole of a second part ({pieces[0].name})",
                                     "drill the mating hole in line with it"))
    return findings


def _goes_on(piece: PlacedPart, bored: _Bored) -> bool:
    """Whether the piece must enter a second part's hole as well: a dowel always, a wood screw where the hole lets it
    through; its pilot hole may be the only one, under a mounting hole of equipment."""
    return _kind(piece) == "dowel" or (_kind(piece) == "wood screw" and bored.hole.depth is None)


def _kind(piece: PlacedPart) -> str:
    assert isinstance(piece.part, Hardware)
    return piece.part.kind


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
            if isinstance(feature, Hole) and feature.purpose in _PARTNERS:
                face = placed.face(feature.face)
                depth = face.behind if feature.depth is None else feature.depth
                yield _Bored(placed.name, feature, face.point(*feature.at), scale(face.normal, -1.0), depth)


def _enters(placed: PlacedPart, bored: _Bored) -> bool:
    """Whether a piece of hardware of the right kind stands in the hole, axis on axis."""
    if _kind(placed) not in _PARTNERS[bored.hole.purpose]:
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
