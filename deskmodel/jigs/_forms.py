"""How large a jig comes out: the lengths that its body and its size follow from. mm, seat frame."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from deskmodel.jigs._types import Hand
from deskmodel.tolerances import LENGTH

__all__ = ["CORNER", "RAIL", "SIGHT", "EndForm", "FaceForm", "end_form", "face_form"]

CORNER = 1.2
"""mm that the grooves in inner corners are deep, so that fuzz and glue do not hold the jig off."""

SIGHT = 6.0
"""mm of sight edge that must be seen beside the mark (common practice)."""

SPAN = 90.0
"""mm along the member over which a face jig's lip registers, where the bed allows it."""

RAIL = 3.0
"""mm of contact that is left beside the hollow round a bush."""

_SHOULDER = 0.5
"""mm by which the hollow is wider than the seat: else the seat would run on through it, and nothing would say where the bush
ends and what the stop on the bit bears on."""

_CHIPS = 1.5  # mm round the bit that chips need at least
_FENCE = 6.0  # thickness of fences and lips, at least two walls


@dataclass(frozen=True, slots=True)
class EndForm:
    """``thick``: fences; ``reach_u``, ``reach_v``: how far web and fences go; ``relief``: radius of the hollow round each
    bush on both sides of the web; ``size``: as printed."""

    thick: float
    reach_u: float
    reach_v: float
    relief: float
    low: float
    high: float
    size: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class FaceForm:
    """``thick``: the lip; ``left``, ``right``: sides of the stem (u); ``low``, ``high``: ends of the bar across; ``bar``:
    how far it comes down the face, ``reach``: how far the stem does; ``slot``: half the width of the way out for chips;
    ``notches``: (u from, u to, v from, v to) where the stem is wider than its sight edges; ``seen``: mm of sight edge."""

    thick: float
    left: float
    right: float
    low: float
    high: float
    bar: float
    reach: float
    slot: float
    notches: tuple[tuple[float, float, float, float], ...]
    seen: float
    size: tuple[float, float, float]


def end_form(axes: Sequence[tuple[float, float]], seat: float, diameter: float, web: float, fences: tuple[float, float],
             section: tuple[float, float], wall: float) -> EndForm:
    """``seat``: its diameter; ``fences``: on the wood's side of the web at w < 0, on the other one; ``section``: the widest
    and the highest that it caps."""
    r = seat / 2
    us, vs = [u for u, _ in axes], [v for _, v in axes]
    thick = _up(max(_FENCE, 2 * wall, r + wall - min(us), r + wall - min(vs)))
    reach_u = _reach(max(us) + r * math.sqrt(2) + wall, section[0])
    reach_v = _reach(max(vs) + r + wall, section[1])
    # rails are left on all sides of the hollows, or the jig would rock on the end of the member
    apart = min((abs(a - b) for i, a in enumerate(vs) for b in vs[:i] if abs(a - b) > LENGTH), default=math.inf)
    beside = min(min(us), min(vs), max(section[1], max(vs) + r + wall) - max(vs))
    relief = max(diameter / 2 + _CHIPS, r + _SHOULDER, min(1.25 * diameter, beside - RAIL, (apart - RAIL) / 2))
    low, high = -fences[0], web + fences[1]
    return EndForm(thick, reach_u, reach_v, relief, low, high, (reach_v + thick, high - low, reach_u + thick))


def face_form(axes: Sequence[tuple[float, float]], seat: float, opening: float, diameter: float, above: float,
              far_sight: float, hand: Hand | None, breadth: float, lip_depth: float, wall: float, bed: float) -> FaceForm:
    """``breadth`` of the drilled face from the lip on; ``bed``: the longest side of the printer's."""
    r = seat / 2
    us, vs = [u for u, _ in axes], [v for _, v in axes]
    left, right = min(0.0, min(us) - r - wall), max(far_sight, max(us) + r + wall)
    sights = [0.0] if hand else [0.0, far_sight]
    if hand == "L":
        left = min(us) - r - wall if min(us) - r - wall < 0 else 0.0
    elif hand == "R":
        right = max(us) + r + wall if max(us) + r + wall > 0 else 0.0
    thick = _up(max(_FENCE, 2 * wall))
    bar = max(wall, min(14.0, breadth / 4))
    reach = _up(max(max(vs) + r + wall, min(breadth, bar + 20.0)))
    span = max(right - left + 40.0, min(SPAN, bed), min(right - left + 60.0, bed))
    middle = (left + right) / 2
    free = [min(u - left, right - u) for u in us]
    slot = max(opening / 2 + 0.8, min(0.8 * diameter, min(free) - wall))
    notches: list[tuple[float, float, float, float]] = []
    visible = min(reach, breadth)
    seen = visible - bar - 2.0
    sides = {"L": [left], "R": [right], None: [left, right]}[hand]
    for sight, side in zip(sights, sides, strict=True):
        if abs(side - sight) > LENGTH:
            lower, upper = _gap(vs, r + wall, bar + 2.0, visible)
            notches.append((min(side, sight), max(side, sight), lower, upper))
            seen = min(seen, upper - lower)
    return FaceForm(thick, left, right, middle - span / 2, middle + span / 2, bar, reach, slot, tuple(notches), seen,
                    (span, reach + thick, above + lip_depth))


def _gap(vs: Sequence[float], zone: float, start: float, stop: float) -> tuple[float, float]:
    """The longest stretch between ``start`` and ``stop`` away from all bushes; (start, start) where there is none."""
    best, at = (start, start), start
    for low, high in [*sorted((v - zone, v + zone) for v in vs), (stop, math.inf)]:
        if min(low, stop) - at > best[1] - best[0] + LENGTH:
            best = (at, min(low, stop))
        at = max(at, high)
    return best


def _reach(needed: float, stock: float) -> float:
    """Over the whole section, but no further than the jig has a use for on a broad board."""
    return _up(max(needed, min(stock, needed + 20.0)))


def _up(value: float) -> float:
    return math.ceil(2 * value - LENGTH) / 2
