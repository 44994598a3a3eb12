"""Which tool of the workshop makes a step of a hole, how far it has to reach, and what is wrong where none does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from deskmodel.features import Hole
from deskmodel.tolerances import LENGTH
from deskmodel.workshop import Bit, BitKind, Bush, Countersink, Workshop

__all__ = ["SAME_ANGLE", "Fault", "Step", "StepKind", "bore_step", "recess_step", "sink_step"]

StepKind = Literal["counterbore", "bore", "countersink"]
Fault = Literal["none", "short", "short below bush", "both faces", "small"]

SAME_ANGLE = 1.0
"""degrees by which a countersink may differ from the head's cone (common practice; heads are made 90 to 92)."""

_FORSTNER: tuple[BitKind, ...] = ("Forstner", "brad-point", "twist")
_POINTED: tuple[BitKind, ...] = ("brad-point", "twist", "Forstner")
_TWIST: tuple[BitKind, ...] = ("twist", "brad-point", "Forstner")


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a hole. mm.

    ``diameter`` asked for; ``tool``: None where the shop has none; ``bush``: through which a jig guides it. ``needed``: what
    of the tool is asked for: of a bit the usable length, of a countersink the diameter; ``has``: that of the shop's tool,
    with the fault "none" the nearest diameter there is, None without any. ``fault``: None where the tool does. "both faces":
    too short from one face, long enough to meet from both."""

    kind: StepKind
    diameter: float
    tool: Bit | Countersink | None
    needed: float
    has: float | None
    fault: Fault | None = None
    bush: Bush | None = None
    angle: float | None = None


def bore_step(hole: Hole, thickness: float, workshop: Workshop, metal: bool = False) -> Step:
    """The hole itself, in ``thickness`` mm of material. Dowel holes are drilled through a bush where the shop has one for
    the bit: the longest that the bit still reaches through, else the shortest."""
    bits = workshop.bits_of(hole.diameter)
    if metal:
        bits = [bit for bit in bits if bit.kind == "twist"]
    if not bits:
        return _without("bore", hole.diameter, workshop, metal)
    kinds = _POINTED if hole.purpose == "dowel" else _TWIST if hole.purpose in ("insert", "screw") else _FORSTNER
    bushes: list[Bush | None] = [*reversed(workshop.bushes_of(hole.diameter))] if hole.purpose == "dowel" else []
    bushes = bushes or [None]
    for bush in bushes:
        able = [bit for bit in bits if bit.length >= _reach(hole, thickness, bit) + _length(bush) - LENGTH]
        if able:
            best = min(able, key=lambda bit: kinds.index(bit.kind))
            return _step(hole, thickness, best, bush)
    longest = max(bits, key=lambda bit: (bit.length - bit.tip, -kinds.index(bit.kind)))
    return _too_short(hole, thickness, longest, bushes[-1])


def recess_step(hole: Hole, workshop: Workshop) -> Step | None:
    """The counterbore of a hole, None where it has none."""
    if hole.counterbore is None:
        return None
    diameter, depth = hole.counterbore
    bits = workshop.bits_of(diameter)
    if not bits:
        return _without("counterbore", diameter, workshop)
    able = [bit for bit in bits if bit.length >= depth + bit.tip - LENGTH]
    if able:
        best = min(able, key=lambda bit: _FORSTNER.index(bit.kind))
        return Step("counterbore", diameter, best, depth + best.tip, best.length)
    longest = max(bits, key=lambda bit: bit.length - bit.tip)
    return Step("counterbore", diameter, longest, depth + longest.tip, longest.length, "short")


def sink_step(hole: Hole, workshop: Workshop) -> Step | None:
    """The countersink of a hole, None where it has none."""
    if hole.countersink is None:
        return None
    diameter, angle = hole.countersink
    same = sorted((each for each in workshop.countersinks if abs(each.angle - angle) <= SAME_ANGLE + LENGTH),
                  key=lambda each: (each.diameter, abs(each.angle - angle), each.source))
    for each in same:
        if each.diameter >= diameter - LENGTH:
            return Step("countersink", diameter, each, diameter, each.diameter, angle=angle)
    if same:
        return Step("countersink", diameter, None, diameter, same[-1].diameter, "small", angle=angle)
    return Step("countersink", diameter, None, diameter, None, "none", angle=angle)


def _reach(hole: Hole, thickness: float, bit: Bit) -> float:
    """mm of the bit that go in; right through, its full diameter comes out."""
    return (thickness if hole.depth is None else hole.depth) + bit.tip


def _length(bush: Bush | None) -> float:
    return 0.0 if bush is None else bush.length


def _step(hole: Hole, thickness: float, bit: Bit, bush: Bush | None, fault: Fault | None = None) -> Step:
    needed = _reach(hole, thickness, bit) + _length(bush)
    return Step("bore", hole.diameter, bit, needed, bit.length, fault, bush)


def _too_short(hole: Hole, thickness: float, bit: Bit, bush: Bush | None) -> Step:
    if bush is not None and bit.length >= _reach(hole, thickness, bit) - LENGTH:
        return _step(hole, thickness, bit, bush, "short below bush")
    if hole.depth is None and bush is None:
        halfway = thickness / 2 + bit.tip
        if bit.length >= halfway - LENGTH:
            return _step(hole, thickness, bit, None, "both faces")
        return Step("bore", hole.diameter, bit, halfway, bit.length, "short")
    return _step(hole, thickness, bit, bush, "short")


def _without(kind: StepKind, diameter: float, workshop: Workshop, metal: bool = False) -> Step:
    there = [bit.diameter for bit in workshop.bits if not metal or bit.kind == "twist"]
    nearest = min(there, key=lambda each: (abs(each - diameter), each), default=None)
    return Step(kind, diameter, None, diameter, nearest, "none")
