"""A hole for hardware has nothing to work with.

Finds: dowel holes whose dowel is missing or enters no second part, pilot holes without their insert, screw holes in
    plates without their screw; hardware counts when its axis lies within 0.1 mm of the hole's and it enters it.
Why it matters: it was drilled in one part only, or out of line: the parts do not go together.
How measured: axes and depths of holes and hardware in closed form, in the desk frame.
Limits: mounting holes of equipment may stay empty. Bores and vents need no partner.
Sources: common practice: drilling by jig is good to about 0.1 mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.component import Component
from deskmodel.faces import PlacedPart
from deskmodel.features import Hole
from deskmodel.findings import Finding
from deskmodel.frames import Vec, add, dot, norm, scale, sub
from deskmodel.hardware import Hardware
from deskmodel.tolerances import COAXIAL

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
    hardware = [part for part in facts.model.parts if isinstance(part.part, Hardware)]
    users: dict[str, set[str]] = {}
    partner: list[str | None] = []
    for hole in holes:
        found = next((p.name for p in hardware if _enters(p, hole)), None)
        partner.append(found)
        if found:
            users.setdefault(found, set()).add(hole.part)
    findings = []
    for hole, name in zip(holes, partner, strict=True):
        kind = _PARTNER[hole.hole.purpose]
        if name is None:
            findings.append(_finding(facts, hole, f"has no {kind} in it", f"put the joint's {kind} back in line with it"))
        elif kind == "dowel" and len(users[name]) < 2:
            findings.append(_finding(facts, hole, f"has a dowel that enters no hole of a second part ({name})",
                                     "drill the mating hole in line with it"))
    return findings


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
    heights = [z for _, z in placed.part.blank.half]
    ends = [add(placed.pose.origin, scale(axis, z)) for z in (min(heights), max(heights))]
    depths = sorted(dot(sub(end, bored.mouth), bored.inwards) for end in ends)
    if depths[1] <= 0.5 or depths[0] >= bored.depth - 0.5:  # it must reach at least half a millimetre in
        return False
    offset = sub(placed.pose.origin, bored.mouth)
    return norm(sub(offset, scale(bored.inwards, dot(offset, bored.inwards)))) <= COAXIAL


CHECK = Check("hole-without-partner", "model", __doc__, run)
