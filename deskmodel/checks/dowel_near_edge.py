"""A dowel too near an edge or an end.

Finds: dowel holes whose centre is less than 1.5 diameters from an edge of the face they enter, or less than 2 from the end
    of a member. Where the pieces meet too narrowly for that in one direction (the end of a rail, a corner), one diameter,
    or the middle of it.
Why it matters: the wood beside it splits when the dowel is driven in or the glue swells it.
How measured: from the hole's centre to the borders of the blank's face, in closed form; how narrowly the pieces meet is the
    least extent of their faces in that direction.
Limits: what notches, grooves and other holes leave is told by hole-breaks-through and holes-cross. Whether the diameter
    suits the thickness is told by dowel-diameter-unfit.
Sources: common practice: one diameter of wood round a dowel, 2 to 3 diameters to end grain. In narrow faces the least that
    half of the thickness as a diameter (trade pages) leaves.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.faces import PlacedPart
from deskmodel.features import Face
from deskmodel.findings import Finding
from deskmodel.frames import Vec, dot, scale
from deskmodel.part import Member
from deskmodel.plans.bored import Bored, bored, doweled, wooden
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["CHECK", "EDGE", "END", "NARROW"]

EDGE, END, NARROW = 1.5, 2.0, 1.0
"""Diameters from the centre to an edge, to end grain, and where the pieces meet more narrowly (common practice)."""


@dataclass(frozen=True)
class _Near:
    hole: Bored
    border: str
    away: float
    required: float


def run(facts: Facts) -> list[Finding]:
    parts = {part.name: part for part in facts.model.parts if wooden(part)}
    groups = [[hole for hole in dowel.holes if hole.part in parts] for dowel in doweled(facts.model.parts)]
    grouped = {hole.key for group in groups for hole in group}
    groups += [[hole] for hole in bored(parts.values(), ("dowel",)) if hole.key not in grouped]
    findings = []
    for group in groups:
        near = [n for hole in group if (n := _nearest(hole, group, parts)) is not None]
        if near:
            findings.append(_finding(facts, near))
    return findings


def _nearest(hole: Bored, group: Sequence[Bored], parts: dict[str, PlacedPart]) -> _Near | None:
    """The border of its face that the hole keeps least of its distance from, if too little."""
    found = [n for n in _borders(hole, group, parts) if n.away < n.required - LENGTH]
    return min(found, key=lambda n: (round(n.away - n.required, 6), n.border), default=None)


def _borders(hole: Bored, group: Sequence[Bored], parts: dict[str, PlacedPart]) -> Iterator[_Near]:
    placed = parts[hole.part]
    face, diameter = placed.face(hole.hole.face), hole.hole.diameter
    if not isinstance(placed.part, Member):
        yield _Near(hole, "edge", face.outline.distance(hole.hole.at), EDGE * diameter)
        return
    grain = placed.pose.axis(0)
    u0, v0, u1, v1 = face.outline.bounds
    (u, v), others = hole.hole.at, [parts[each.part].face(each.hole.face) for each in group]
    for direction, low, high in ((face.u, u - u0, u1 - u), (face.v, v - v0, v1 - v)):
        required = (END if abs(dot(direction, grain)) > 1 - ANGLE else EDGE) * diameter
        meets = min(_extent(other, direction) for other in (face, *others))
        if meets < 2 * required - LENGTH:
            required = min(NARROW * diameter, meets / 2)
        for sense, away in ((-1.0, low), (1.0, high)):
            yield _Near(hole, _face_towards(placed, scale(direction, sense)), away, required)


def _extent(face: Face, direction: Vec) -> float:
    """mm of the box of a face along a direction of the desk frame; endless across a face that is square to it."""
    u0, v0, u1, v1 = face.outline.bounds
    extent = abs(dot(face.u, direction)) * (u1 - u0) + abs(dot(face.v, direction)) * (v1 - v0)
    return extent if extent > LENGTH else float("inf")


def _face_towards(placed: PlacedPart, direction: Vec) -> str:
    return next((face.name for face in placed.faces() if dot(face.normal, direction) > 1 - ANGLE), "edge")


def _finding(facts: Facts, near: list[_Near]) -> Finding:
    worst = min(near, key=lambda n: (round(n.away - n.required, 6), n.hole.part))
    names = tuple(dict.fromkeys(n.hole.part for n in near))
    hole = worst.hole
    return Finding(
        "dowel-near-edge", "warn", names,
        f"{hole.hole.name} in the {hole.hole.face} of {hole.part}, at {at(hole.mouth)}, is "
        f"{worst.away:g} mm from its {worst.border}",
        f"{worst.required:g} mm or more", point=hole.mouth, measured=worst.away, required=worst.required, unit="mm",
        source="common practice", lines=lines_of(facts, names))


CHECK = Check("dowel-near-edge", "model", __doc__, run)
