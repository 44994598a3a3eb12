"""A screw's head stands out of a face that must be flush.

Finds: heads that stand higher than the room between their plate and a part that lies on it; heads that stand out of the
    desk's top by more than 0.2 mm.
Why it matters: the part does not lie down, or it rocks; on the top a head catches sleeves and paper.
How measured: the head's outermost point above the face (or its veneer) against pad or glue under the other part, where that
    part has material over any of the head; looked for at the head's middle and round its rim. The top:
    upward faces at the highest level of covers and of plates that are held by more than their weight. Screws of one row are
    told once, the highest first.
Limits: other faces may carry heads, the underside of the desk too. Screws that open a cover are meant to be seen and reached
    and are asked only where something lies on the cover. Heads on equipment are not asked.
Sources: closed form; the allowance of 0.2 mm and that a top should be flush: common practice, a warning.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._cells import Cells
from deskmodel.checks._fixings import Bored, Fixing, fixings, grouped
from deskmodel.checks._wood import solid_at
from deskmodel.faces import PlacedPart
from deskmodel.findings import Finding, Severity
from deskmodel.frames import Vec, add, dot, scale, sub
from deskmodel.joints import JointRecord
from deskmodel.part import Member, Plate
from deskmodel.tolerances import LENGTH, OVERLAP

__all__ = ["CHECK"]

PROUD = 0.2
"""mm by which a head may stand out of the top (common practice)."""

_LEVEL = 1.0  # mm below the highest level at which a plate still belongs to the top
_RIM = 16  # places round a head
_OVER = 0.05  # mm above the face of the other part at which its material is looked for


@dataclass(frozen=True)
class _Head:
    severity: Severity
    out: float
    allowed: float
    what: str
    point: Vec


def run(facts: Facts) -> list[Finding]:
    found = []
    for kind in (_under_parts, _on_top):
        for parts, heads in grouped(kind(facts)):
            worst = min(heads, key=lambda each: (round(each.allowed - each.out, 6), each.what))
            others = f"; so do {len(heads) - 1} more" if len(heads) > 1 else ""
            found.append(Finding(
                "head-proud", worst.severity, parts, f"{worst.what}, at {at(worst.point)}{others}",
                "sink the head (ISO 10642, or a countersunk wood screw), or move the screw", point=worst.point,
                measured=worst.out, required=worst.allowed, unit="mm",
                source="closed form" if worst.severity == "stop" else "common practice", lines=lines_of(facts, parts)))
    return found


def _heads(facts: Facts) -> Iterator[tuple[Fixing, Bored, float]]:
    """Screws over members and plates, the hole under the head, and mm by which the head stands out of its face."""
    for fixing in fixings(facts.model):
        if fixing.clear and isinstance(fixing.clear[0].part.part, Member | Plate):
            bored = fixing.clear[0]
            veneer = bored.part.veneer_on(bored.face.name)
            if dot(bored.inwards, fixing.axis) > 0:
                yield fixing, bored, bored.start - fixing.top - veneer
            else:  # cut from the other side: the face under the head is the far one
                far = bored.part.opposite(bored.face.name)
                turned = Bored(bored.part, bored.hole, far, fixing.at(bored.start), fixing.axis, bored.depth, bored.start,
                               bored.end)
                yield fixing, turned, bored.start - fixing.top - bored.part.veneer_on(far.name)


def _under_parts(facts: Facts) -> Iterator[tuple[tuple[str, ...], _Head]]:
    lying: dict[tuple[str, str], Cells[JointRecord]] = {}
    for record in sorted(facts.model.joints, key=lambda each: each.name):
        for side, face in ((record.a, record.faces[0]), (record.b, record.faces[1])):
            lying.setdefault((side, face), Cells(200.0)).add(*record.region, record)
    for fixing, bored, out in _heads(facts):
        cells = lying.get((bored.part.name, bored.face.name))
        if cells is None or out < OVERLAP - LENGTH:
            continue
        radius = fixing.size.head / 2
        reach = scale((1.0, 1.0, 1.0), radius)
        for record in cells.near(sub(bored.mouth, reach), add(bored.mouth, reach)):
            name = record.b if record.a == bored.part.name else record.a
            room = max(0.0, record.layer + record.apart)
            other = facts.model.part(name)
            if fixing.screw.name in record.hardware and name in (fixing.into, fixing.over):
                continue
            veneer = bored.part.veneer_on(bored.face.name)
            if out > room + OVERLAP - LENGTH and _covers(other, bored, radius, room + veneer):
                yield (bored.part.name, name), _Head(
                    "stop", out, room, f"the head of {fixing.screw.name} stands {out:.2f} mm out of {bored.part.name}, "
                    f"where {name} lies on it", bored.mouth)


def _covers(other: PlacedPart, bored: Bored, radius: float, above: float) -> bool:
    """Whether the part has material over the head, ``above`` mm over the face."""
    up = scale(bored.inwards, -1.0)
    middle = add(bored.mouth, scale(up, above + _OVER))
    u, v = bored.face.u, bored.face.v
    turns = [2 * math.pi * i / _RIM for i in range(_RIM)]
    rim = [add(middle, add(scale(u, 0.98 * radius * math.cos(a)), scale(v, 0.98 * radius * math.sin(a)))) for a in turns]
    return any(solid_at(other, p) for p in (middle, *rim))


def _on_top(facts: Facts) -> Iterator[tuple[tuple[str, ...], _Head]]:
    fixed = {name for record in facts.model.joints if record.kind != "rest" for name in (record.a, record.b)}
    levels = [_level(part, face.origin, face.name) for part in facts.model.parts
              if part.role == "cover" or (part.role == "plate" and part.name in fixed)
              for face in part.faces() if face.normal[2] > 0.999]
    opened = {name for lift in facts.model.lifts for name in lift.parts}
    opened |= {name for swing in facts.model.swings for name in swing.parts}
    for fixing, bored, out in _heads(facts):
        if (bored.inwards[2] < -0.999 and bored.part.role in ("plate", "cover") and fixing.screw.name not in opened
                and out > PROUD + LENGTH and _level(bored.part, bored.mouth, bored.face.name) > max(levels) - _LEVEL):
            yield tuple(name for name in (fixing.over, fixing.into) if name), _Head(
                "warn", out, PROUD, f"the head of {fixing.screw.name} stands {out:.2f} mm out of the desk's top, "
                f"{bored.part.name}", bored.mouth)


def _level(part: PlacedPart, point: Vec, face: str) -> float:
    return point[2] + part.veneer_on(face)


CHECK = Check("head-proud", "model", __doc__, run)
