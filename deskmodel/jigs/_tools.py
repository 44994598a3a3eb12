"""Which bush and bit a jig is laid out for, and why there is none.

What stands above the wood of an end jig with fences on both sides, and of one with a hand:

    chuck  -------  2 clear                    -------  2 clear
    fences |     |                             |     |
    web    | [ ] |  gap, bush, gap             | [ ] |  gap, bush
    wood   |#####|                             |#####|
    fences |#####|                             |#####|
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from deskmodel.findings import Severity
from deskmodel.tolerances import LENGTH
from deskmodel.workshop import Bit, BitKind, Bush, HandDrill, Section, Workshop

__all__ = ["CHUCK", "DRILL_BODY", "FENCE", "GUIDE", "LEAST_FENCE", "STEEP", "Refusal", "Tools", "end_tools", "face_tools",
           "gap_of", "seat_diameter", "shoulder_opening"]

CHUCK = 2.0
"""mm that the chuck stays off whatever is highest when the bit is at full depth (common practice)."""

FENCE = 25.0
"""mm that fences of an end jig stand out, where bit and bed allow it."""

LEAST_FENCE = 12.0
"""mm of fence that still hold a jig square on the end of a member (common practice)."""

GUIDE = 2.0
"""Diameters that a bush should guide (common practice, FACTS of drill bushes: length 2 diameters)."""

GAP = 0.5
"""Diameters between wood and bush: chips get out, and the bit does not wander (common practice: 0.5 to 1)."""

SLIDING = 0.1
"""mm more on each side of a seat into which the bush slides (common practice: press 0.05 to 0.15, slide 0.2 to 0.3)."""

STEEP = 1.05
"""Height of cones over their width: a little steeper than 45°, so that none of their facets hangs over by more."""

_LEDGE = 1.2  # mm of shoulder under the rim of a bush; less where its wall is thinner
_KINDS: tuple[BitKind, ...] = ("brad-point", "twist", "Forstner")  # of dowel holes
DRILL_BODY = HandDrill(70, 220, "common practice")  # where the profile states none


@dataclass(frozen=True, slots=True)
class Tools:
    """As of ``Jig``. ``fence``: None where the jig must have a hand; of a face jig always 0."""

    bit: Bit
    bush: Bush
    gap: float
    above: float
    web: float
    fence: float | None


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why there is no jig; as of ``NotMade``."""

    reason: str
    remedy: str
    severity: Severity
    measured: float | None = None
    required: float | None = None
    source: str = "common practice"


def gap_of(diameter: float) -> float:
    return GAP * diameter


def seat_diameter(bush: Bush, allowance: float) -> float:
    """Of the printed seat: the printer's allowance on each side, more where the bush slides."""
    return bush.outside + 2 * (allowance + (SLIDING if bush.seat == "slide" else 0.0))


def shoulder_opening(bush: Bush) -> float:
    """Diameter of the hole in the shoulder that a bush stands on: chips pass, the bush does not."""
    return max(bush.bore + 0.6, bush.outside - 2 * _LEDGE)


def end_tools(axes: Sequence[tuple[float, float]], diameter: float, depth: float, workshop: Workshop) -> Tools | Refusal:
    """For an end jig with bushes at ``axes`` (u, v), holes ``depth`` deep."""
    body = workshop.hand_drill or DRILL_BODY
    # a body as fat as that comes down on the fences before the bit is at depth
    over_fences = min(min(axis) for axis in axes) < body.diameter / 2 + CHUCK
    found: list[tuple[tuple[object, ...], Tools]] = []
    misses: list[tuple[float, Bit]] = []
    for bit, bush in _pairs(diameter, workshop):
        gap = gap_of(diameter)
        above, web = gap + bush.length, 2 * gap + bush.length
        left = bit.length - depth - bit.tip - CHUCK
        fence = min(FENCE, math.floor(2 * (left - web) + LENGTH) / 2) if over_fences else FENCE
        if left < above - LENGTH:
            misses.append((bit.length - left + above, bit))
            continue
        both: float | None = fence if fence >= LEAST_FENCE - LENGTH and left >= web - LENGTH else None
        found.append(((both is None, *_worth(bit, bush, diameter)), Tools(bit, bush, gap, above, web, both)))
    return _best(found) or _refusal(diameter, misses, workshop)


def face_tools(diameter: float, depth: float, workshop: Workshop, allowance: float) -> Tools | Refusal:
    """For a face jig with holes ``depth`` deep: nothing stands above its plate."""
    found: list[tuple[tuple[object, ...], Tools]] = []
    misses: list[tuple[float, Bit]] = []
    for bit, bush in _pairs(diameter, workshop):
        gap = gap_of(diameter)
        cone = STEEP * (seat_diameter(bush, allowance) - shoulder_opening(bush)) / 2
        above = math.ceil(2 * (gap + bush.length + cone + 0.4) - LENGTH) / 2
        left = bit.length - depth - bit.tip - CHUCK
        if left < above - LENGTH:
            misses.append((bit.length - left + above, bit))
            continue
        found.append(((*_worth(bit, bush, diameter),), Tools(bit, bush, above - bush.length, above, above, 0.0)))
    return _best(found) or _refusal(diameter, misses, workshop)


def _pairs(diameter: float, workshop: Workshop) -> list[tuple[Bit, Bush]]:
    return [(bit, bush) for bit in workshop.bits_of(diameter) for bush in workshop.bushes_of(diameter)
            if bush.bore >= bit.diameter - LENGTH]


def _worth(bit: Bit, bush: Bush, diameter: float) -> tuple[object, ...]:
    """What comes first is taken: enough guide, the least play, the longest bush, the bit that starts best, the shortest."""
    return (bush.length < GUIDE * diameter - LENGTH, round(bush.bore - bit.diameter, 6), -bush.length,
            _KINDS.index(bit.kind), bit.length, bush.outside)


def _best(found: list[tuple[tuple[object, ...], Tools]]) -> Tools | None:
    return min(found, key=lambda each: each[0])[1] if found else None


def _refusal(diameter: float, misses: list[tuple[float, Bit]], workshop: Workshop) -> Refusal:
    if not misses:
        return _no_bush(diameter, workshop)
    needed, bit = min(misses, key=lambda each: (each[0] - each[1].length, each[0]))
    severity: Severity = "warn" if {"bit", "bush"} & set(workshop.assumed) else "stop"
    return Refusal(f"the {bit.text} goes {round(bit.length, 2):g} mm in, {needed:.2f} mm are needed through gap and bush "
                   "of the jig",
                   f"get a bit of {needed:.1f} mm usable length, a shorter bush, or drill less deep", severity, bit.length,
                   needed, bit.source)


def _no_bush(diameter: float, workshop: Workshop) -> Refusal:
    sections: tuple[Section, ...] = ("bush",)
    high = diameter + 0.1  # as ``Workshop.bushes_of`` takes them
    near = min((bush.bore for bush in workshop.bushes), key=lambda bore: (abs(bore - diameter), bore), default=None)
    if near is None:
        return Refusal(f"the workshop has no bush at all for Ø {diameter:g}",
                       f"get bushes bored {diameter:g} to {high:g} mm, or mark the holes out and use a guide block",
                       "warn", source=workshop.source)
    severity: Severity = "warn" if set(sections) & set(workshop.assumed) else "stop"
    return Refusal(f"no bush of the workshop guides a bit of {diameter:g} mm; the nearest is bored {near:g}",
                   f"get bushes bored {diameter:g} to {high:g} mm", severity, near, high if near > diameter else diameter,
                   workshop.source)
