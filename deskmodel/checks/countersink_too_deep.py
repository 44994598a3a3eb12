"""A countersink is deeper than the plate lets it be.

Finds: countersunk heads of machine screws whose cone comes out below the plate where the wood has no recess for it; cones
    that meet the insert; plates so thin that next to nothing of them holds the head; countersunk holes without a screw in
    the model that are deeper than their plate, worse where wood lies behind them.
Why it matters: the head stands out and cannot be tightened down, or it pulls through the plate.
How measured: the head's cone (90°) along its axis against plate, recess and insert. Held: half of what the smallest real
    head is wider than the hole's edge on the far side. Screws of one row are told once, the worst first.
Limits: flat plates and heads of ISO 10642 and ISO 7046. Wood screws pull their cone into the wood and are not asked. Whether
    a countersunk hole without a screw lies over wood is read from the plate's joints.
Sources: smallest heads: ISO 10642 (from memory), ISO 7046; that 0.5 mm all round must hold the head, and that a countersink
    should stay within its plate: common practice, warnings.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from deskmodel.catalogue import ScrewSize
from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._fixings import Bored, Fixing, fixings, grouped, holes_of
from deskmodel.checks._wood import solid_at
from deskmodel.findings import Finding, Severity
from deskmodel.frames import Vec, add, scale
from deskmodel.joints import JointRecord
from deskmodel.part import Plate
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]

HELD = 0.5
"""mm of plate all round under the smallest head (common practice)."""

_SMALLEST = {"ISO 10642": {"M3": 5.54, "M4": 7.53, "M5": 9.43, "M6": 11.34, "M8": 15.24},
             "ISO 7046": {"M3": 5.2, "M4": 8.0, "M5": 8.9, "M6": 10.9, "M8": 15.4}}
"""dk min of the real head, mm: ISO 10642 from memory, ISO 7046-2:2009."""

_BELOW = 0.1  # mm below the far face at which wood is looked for


@dataclass(frozen=True)
class _Deep:
    severity: Severity
    measured: float
    required: float
    what: str
    point: Vec
    remedy: str
    source: str


def run(facts: Facts) -> list[Finding]:
    found = []
    for kind in (_no_recess, _on_insert, _thin, _by_hand):
        for parts, screws in grouped(kind(facts)):
            worst = min(screws, key=lambda each: (round(-abs(each.measured - each.required), 6), each.what))
            others = f"; so with {len(screws) - 1} more of its row" if len(screws) > 1 else ""
            found.append(Finding(
                "countersink-too-deep", worst.severity, parts, f"{worst.what}, at {at(worst.point)}{others}", worst.remedy,
                point=worst.point, measured=worst.measured, required=worst.required, unit="mm", source=worst.source,
                lines=lines_of(facts, parts)))
    return found


def _sunk(facts: Facts) -> Iterator[tuple[Fixing, ScrewSize, Bored]]:
    """Countersunk machine screws in flat plates, with the hole that their head sinks in."""
    for fixing in fixings(facts.model):
        if isinstance(fixing.size, ScrewSize) and fixing.size.countersunk and fixing.clear:
            bored = fixing.clear[0]
            if bored.hole.countersink and isinstance(bored.part.part, Plate):
                yield fixing, fixing.size, bored


def _no_recess(facts: Facts) -> Iterator[tuple[tuple[str, ...], _Deep]]:
    for fixing, size, bored in _sunk(facts):
        pilot = fixing.pilot
        if pilot is None or fixing.cone <= max(bored.end, pilot.start) + LENGTH or _overlap(fixing, size) > LENGTH:
            continue
        below = fixing.cone - pilot.start  # of the cone in the wood
        wide = size.head - 2 * pilot.start  # of the cone at the wood's face
        room = _recess(pilot, wide)
        if room < below - LENGTH:
            yield (fixing.over, fixing.into), _Deep(
                "stop", below, room, f"the cone of {fixing.screw.name} reaches {below:.2f} mm below {fixing.over}, where "
                f"{fixing.into} has a recess of {room:.2f} mm", bored.mouth,
                f"recess the wood Ø {wide + 0.4:.1f} × {below + 0.1:.1f}, or take a button head", "closed form")


def _recess(pilot: Bored, wide: float) -> float:
    """mm of a cone ``wide`` at the wood's face that the pilot hole has room for."""
    hole = pilot.hole
    if hole.diameter >= wide - LENGTH:
        return pilot.depth
    for mouth in (hole.counterbore, hole.countersink):
        if mouth and mouth[0] >= wide - LENGTH:
            return hole.counterbore[1] if hole.counterbore else pilot.depth
    return 0.0


def _on_insert(facts: Facts) -> Iterator[tuple[tuple[str, ...], _Deep]]:
    for fixing, size, bored in _sunk(facts):
        over = _overlap(fixing, size)
        if over > LENGTH:
            yield (fixing.over, fixing.into), _Deep(
                "stop", -over, 0.0, f"the cone of {fixing.screw.name} meets its insert {over:.2f} mm below the mouth",
                bored.mouth, "set the insert deeper, or keep the plate where the joint wants it", "closed form")


def _overlap(fixing: Fixing, size: ScrewSize) -> float:
    """mm by which the cone reaches below the mouth of its insert, while it is wider there than the insert's bore."""
    if fixing.nut is None or fixing.insert_size is None or size.head - 2 * fixing.nut[0] <= fixing.insert_size.bore:
        return 0.0
    return max(0.0, fixing.cone - fixing.nut[0])


def _thin(facts: Facts) -> Iterator[tuple[tuple[str, ...], _Deep]]:
    for fixing, size, bored in _sunk(facts):
        smallest = _SMALLEST.get(size.designation.rpartition(" ")[0], {}).get(size.thread, size.rim)
        deep = _depth(bored)
        if deep <= bored.face.behind + LENGTH or bored.hole.countersink is None:
            continue
        wide, angle = bored.hole.countersink
        edge = wide - 2 * bored.face.behind * math.tan(math.radians(angle / 2))
        held = (smallest - edge) / 2
        if held < HELD - LENGTH:
            yield (fixing.over, fixing.into), _Deep(
                "warn", held, HELD, f"{fixing.over} holds the head of {fixing.screw.name} by {max(0.0, held):.2f} mm all "
                f"round: {bored.face.behind:g} mm thick, its hole is Ø {edge:.2f} on the far side", bored.mouth,
                "a thicker plate, a smaller screw, or a head that sits on the plate (ISO 7380)",
                "ISO 10642, ISO 7046 (from memory); common practice")


def _by_hand(facts: Facts) -> Iterator[tuple[tuple[str, ...], _Deep]]:
    taken = {id(each.hole) for fixing in fixings(facts.model) for each in fixing.clear}
    against: dict[tuple[str, str], list[JointRecord]] = {}
    for record in facts.model.joints:
        for side, face in ((record.a, record.faces[0]), (record.b, record.faces[1])):
            against.setdefault((side, face), []).append(record)
    for placed in sorted(facts.model.parts, key=lambda each: each.name):
        if not isinstance(placed.part, Plate) or placed.part.flanges:
            continue
        for bored in holes_of(placed):
            deep, thick = _depth(bored), bored.face.behind
            if id(bored.hole) in taken or not bored.through or deep <= thick + LENGTH:
                continue
            far = placed.opposite(bored.face.name).name
            behind = add(bored.mouth, scale(bored.inwards, thick + placed.veneer_on(far) + _BELOW))
            other = min((name for record in against.get((placed.name, far), ()) for name in (record.a, record.b)
                         if name != placed.name and solid_at(facts.model.part(name), behind)), default=None)
            wood = f", and {other} behind it has no recess" if other else ""
            yield (placed.name, *([other] if other else [])), _Deep(
                "stop" if other else "warn", deep, thick,
                f"{bored.hole.name} of {placed.name} is countersunk {deep:.2f} mm deep in {thick:g} mm{wood}", bored.mouth,
                "a smaller countersink, or a recess behind it" if other else "a smaller countersink: its edge is a knife",
                "closed form" if other else "common practice")


def _depth(bored: Bored) -> float:
    """mm of the hole's countersink, 0 where it has none."""
    if bored.hole.countersink is None:
        return 0.0
    wide, angle = bored.hole.countersink
    return (wide - bored.hole.diameter) / 2 / math.tan(math.radians(angle / 2))


CHECK = Check("countersink-too-deep", "model", __doc__, run)
