"""Holes and dowels where they stand in the desk, and which holes belong together."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, partial
from itertools import product

from deskmodel._remembered import remembered
from deskmodel.component import Component
from deskmodel.faces import PlacedPart
from deskmodel.features import Hole
from deskmodel.frames import Vec, add, cross, dot, norm, scale, sub
from deskmodel.hardware import Hardware
from deskmodel.materials import material
from deskmodel.part import Member, Plate, TurnedBlank
from deskmodel.tolerances import COAXIAL, FACE_SEARCH, LENGTH

__all__ = ["DOWEL_JOINTS", "Bored", "Doweled", "HardwareGrid", "Mates", "across", "bored", "doweled", "ends", "enters",
           "facing_holes", "opposed", "wooden"]

DOWEL_JOINTS = ("dowel joint", "face dowels", "through dowels")

_PARALLEL = 0.999
_FACING = math.cos(math.radians(10))  # mating holes this much askew are still meant for each other


@dataclass(frozen=True)
class Bored:
    """A hole in the desk frame: mouth, direction into the material, depth of the full diameter; ``index`` among the
    features of its part."""

    part: str
    index: int
    hole: Hole
    mouth: Vec
    inwards: Vec
    depth: float
    behind: float

    @property
    def key(self) -> tuple[str, int]:
        return self.part, self.index

    @property
    def tip(self) -> float:
        """mm of the drill's point below the depth."""
        return 0.0 if self.hole.point is None else self.hole.diameter / 2 / math.tan(math.radians(self.hole.point / 2))

    @property
    def bottom(self) -> Vec:
        return self.at(self.depth)

    def at(self, depth: float) -> Vec:
        return add(self.mouth, scale(self.inwards, depth))


@dataclass(frozen=True)
class Doweled:
    """A dowel and the holes it stands in. ``foot`` and ``axis`` in the desk frame; mm."""

    piece: PlacedPart
    holes: tuple[Bored, ...]

    @cached_property
    def foot(self) -> Vec:
        return ends(self.piece)[0]

    @cached_property
    def axis(self) -> Vec:
        return self.piece.pose.axis(2)

    @cached_property
    def length(self) -> float:
        return norm(sub(*ends(self.piece)))

    @cached_property
    def diameter(self) -> float:
        return 2 * max(r for r, _ in _half(self.piece))

    def inside(self, bored: Bored) -> float:
        """mm of its length within the hole's full depth."""
        start, stop = sorted(dot(sub(end, bored.mouth), bored.inwards) for end in ends(self.piece))
        return max(0.0, min(stop, bored.depth) - max(start, 0.0))


@dataclass(frozen=True)
class Mates:
    """Two dowel holes of different parts that face each other. ``offset``: the greatest distance of the two axes over
    both depths, mm; ``angle`` between them in degrees; ``mouth`` that of the first, where they meet."""

    a: Bored
    b: Bored
    mouth: Vec
    offset: float
    angle: float

    @property
    def in_line(self) -> bool:
        return self.offset <= COAXIAL + LENGTH


def bored(parts: Iterable[PlacedPart], purposes: Collection[str]) -> Iterator[Bored]:
    """All holes of these purposes but those of equipment, in the order of parts and features."""
    for placed in parts:
        yield from (hole for hole in _holes(placed) if hole.hole.purpose in purposes)


@remembered
def _holes(placed: PlacedPart) -> tuple[Bored, ...]:
    if isinstance(placed.part, Component):
        return ()
    holes = []
    for index, feature in enumerate(placed.part.features):
        if isinstance(feature, Hole):
            face = placed.face(feature.face)
            depth = face.behind if feature.depth is None else feature.depth
            holes.append(Bored(placed.name, index, feature, face.point(*feature.at), scale(face.normal, -1.0), depth,
                               face.behind))
    return tuple(holes)


def doweled(parts: Iterable[PlacedPart]) -> list[Doweled]:
    """Every dowel with the holes it stands in, those from its foot on first; by the dowel's name."""
    parts = list(parts)
    pieces = {p.name: p for p in parts if isinstance(p.part, Hardware) and p.part.kind == "dowel"}
    grid = HardwareGrid(pieces.values())
    holes: dict[str, list[Bored]] = {name: [] for name in sorted(pieces)}
    for hole in bored(parts, ("dowel",)):
        for piece in grid.near(hole):
            if enters(piece, hole):
                holes[piece.name].append(hole)
    return [Doweled(pieces[name], tuple(sorted(stood, key=partial(_along, pieces[name])))) for name, stood in holes.items()]


def opposed(a: Bored, b: Bored, wall: float) -> bool:
    """Whether two blind dowel holes of one part come from opposite faces and lie beside each other, or end within
    ``wall`` of each other, along their depth."""
    if not (a.hole.purpose == b.hole.purpose == "dowel" and a.part == b.part) or dot(a.inwards, b.inwards) > -_PARALLEL:
        return False
    if a.hole.depth is None or b.hole.depth is None:
        return False
    apart = dot(sub(b.mouth, a.mouth), a.inwards)
    return a.depth + a.tip + b.depth + b.tip > apart - wall + LENGTH


def across(p: Vec, q: Vec, axis: Vec) -> float:
    """mm between two points, seen along ``axis``."""
    return norm(cross(sub(q, p), axis))


def facing_holes(holes: Iterable[Bored]) -> list[Mates]:
    """Dowel holes of different parts that face each other over a joint, each with one partner: in line where there is
    one, else the nearest whose mouth it meets."""
    mouths = [(hole, mouth, inwards) for hole in holes for mouth, inwards in _mouths(hole)]
    cells: dict[tuple[int, ...], list[int]] = {}
    for i, (_, mouth, _) in enumerate(mouths):
        cells.setdefault(_cell(mouth), []).append(i)
    found: list[tuple[Mates, int, int]] = []
    for i, one in enumerate(mouths):
        for cell in product(*((c - 1, c, c + 1) for c in _cell(one[1]))):
            for j in cells.get(cell, ()):
                if one[0].part < mouths[j][0].part and (mates := _mates(one, mouths[j])):
                    found.append((mates, i, j))
    found.sort(key=lambda each: (round(each[0].offset, 6), each[0].a.key, each[0].b.key))
    taken: set[int] = set()
    pairs = []
    for mates, i, j in found:
        if not {i, j} & taken:
            taken |= {i, j}
            pairs.append(mates)
    return pairs


class HardwareGrid:
    """Hardware by the cells of space that its axis passes: a desk of 5,000 parts has millions of pairs of holes and
    hardware, a hole a handful in its own cells."""

    CELL = 50.0

    def __init__(self, hardware: Iterable[PlacedPart]) -> None:
        self._cells: dict[tuple[int, int, int], list[PlacedPart]] = {}
        for piece in hardware:
            for cell in self._along(*ends(piece)):
                self._cells.setdefault(cell, []).append(piece)

    def near(self, hole: Bored) -> list[PlacedPart]:
        found = {p.name: p for cell in self._along(hole.mouth, hole.bottom) for p in self._cells.get(cell, ())}
        return [found[name] for name in sorted(found)]

    def _along(self, start: Vec, stop: Vec) -> Iterator[tuple[int, int, int]]:
        spans = [range(math.floor((min(a, b) - 1.0) / self.CELL), math.floor((max(a, b) + 1.0) / self.CELL) + 1)
                 for a, b in zip(start, stop, strict=True)]
        return product(*spans)  # type: ignore[return-value]  # three spans


def ends(placed: PlacedPart) -> tuple[Vec, Vec]:
    """Both ends of a piece of turned hardware on its axis, desk frame."""
    axis, heights = placed.pose.axis(2), [z for _, z in _half(placed)]
    return (add(placed.pose.origin, scale(axis, min(heights))), add(placed.pose.origin, scale(axis, max(heights))))


def enters(piece: PlacedPart, hole: Bored) -> bool:
    """Whether a piece of turned hardware stands in the hole, axis on axis."""
    axis = piece.pose.axis(2)
    if abs(dot(axis, hole.inwards)) < _PARALLEL:
        return False
    depths = sorted(dot(sub(end, hole.mouth), hole.inwards) for end in ends(piece))
    if depths[1] <= 0.5 or depths[0] >= hole.depth - 0.5:  # it must reach at least half a millimetre in
        return False
    offset = sub(piece.pose.origin, hole.mouth)
    return norm(sub(offset, scale(hole.inwards, dot(offset, hole.inwards)))) <= COAXIAL + LENGTH


def wooden(placed: PlacedPart) -> bool:
    """Whether it is a member or plate of timber or ply: what dowels stand in."""
    return isinstance(placed.part, Member | Plate) and material(placed.part.material).kind in {"timber", "ply"}


def _half(placed: PlacedPart) -> tuple[tuple[float, float], ...]:
    assert isinstance(placed.part, Hardware)
    assert isinstance(placed.part.blank, TurnedBlank)
    return placed.part.blank.half


def _along(piece: PlacedPart, hole: Bored) -> tuple[float, str]:
    """Where the hole lies along the piece."""
    return round(dot(sub(hole.at(hole.depth / 2), piece.pose.origin), piece.pose.axis(2)), 3), hole.part


def _mouths(hole: Bored) -> Iterator[tuple[Vec, Vec]]:
    """(mouth, direction into the material): of a hole right through at both ends."""
    yield hole.mouth, hole.inwards
    if hole.hole.depth is None:
        yield hole.bottom, scale(hole.inwards, -1.0)


_CELL = 40.0  # mm; two mouths that belong together are nearer than that: 10 apart and a diameter aside


def _cell(p: Vec) -> tuple[int, ...]:
    return tuple(math.floor(v / _CELL) for v in p)


def _mates(one: tuple[Bored, Vec, Vec], other: tuple[Bored, Vec, Vec]) -> Mates | None:
    (a, p, into_a), (b, q, into_b) = one, other
    straight = -dot(into_a, into_b)
    if straight < _FACING or abs(dot(sub(q, p), into_a)) > FACE_SEARCH:
        return None
    if across(p, q, into_a) >= (a.hole.diameter + b.hole.diameter) / 2 - LENGTH:
        return None
    deep_a, deep_b = add(p, scale(into_a, a.depth)), add(q, scale(into_b, b.depth))
    offset = max(across(q, p, into_b), across(q, deep_a, into_b), across(p, q, into_a), across(p, deep_b, into_a))
    return Mates(a, b, p, offset, math.degrees(math.asin(min(1.0, norm(cross(into_a, into_b))))))
