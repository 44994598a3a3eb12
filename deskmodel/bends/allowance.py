"""What a bend does to lengths: allowance, setback, deduction; and the K factor, where the neutral fibre runs.

The neutral fibre keeps its length; it lies K · t from the inside of the bend. mm and degrees.

1. Bend allowance, setback and deduction: standard sheet-metal formulas, as in Machinery's Handbook and NAVEDTRA 14119.
2. K factors: Machinery's Handbook 26, tables for 90° bends.
3. DIN 6935:1975, bending of flat steel (from memory).
"""

from __future__ import annotations

import math

from deskmodel._numbers import told
from deskmodel.errors import InputFault

__all__ = ["K_FACTORS", "bend_allowance", "bend_deduction", "flat_length", "k_by_din_6935", "k_of", "outside_setback",
           "turn_of"]

K_FACTORS: dict[str, tuple[float, str]] = {
    "aluminium": (0.40, "Machinery's Handbook 26, aluminium: 0.391 to 0.407 for 0.8 to 3.2 mm, radius 0.8 to 4.8 mm"),
    "steel": (0.45, "Machinery's Handbook 26, cold rolled steel: 0.420 to 0.467 for 1.2 to 2.4 mm"),
    "stainless steel": (0.45, "Machinery's Handbook 26, stainless steel: 0.438 to 0.483 for 0.7 to 2 mm"),
    "brass": (0.35, "Machinery's Handbook, soft brass at 90°: 0.55 t + 1.57 R (from memory)"),
}
"""Default K by material, with its source. The bending shop's own figure goes before it: ``Flange(k=…)``."""


def turn_of(angle: float) -> tuple[float, float]:
    """(cosine, sine), exact at 90°: a box with square flanges keeps square frames."""
    return (0.0, 1.0) if angle == 90 else (math.cos(math.radians(angle)), math.sin(math.radians(angle)))


def bend_allowance(angle: float, radius: float, thickness: float, k: float) -> float:
    """Length of the neutral fibre in the bend. ``angle``: by how much the sheet is turned from flat; ``radius`` inside."""
    return math.radians(angle) * (radius + k * thickness)


def outside_setback(angle: float, radius: float, thickness: float) -> float:
    """From the outer corner, where the outer faces would meet, to where the bend begins."""
    return (radius + thickness) * (1.0 if angle == 90 else math.tan(math.radians(angle) / 2))


def bend_deduction(angle: float, radius: float, thickness: float, k: float) -> float:
    """By how much the flat is shorter than both outside lengths together."""
    return 2 * outside_setback(angle, radius, thickness) - bend_allowance(angle, radius, thickness, k)


def flat_length(first: float, second: float, angle: float, radius: float, thickness: float, k: float) -> float:
    """Length in the flat of two legs of these outside lengths, each measured to the outer corner."""
    return first + second - bend_deduction(angle, radius, thickness, k)


def k_by_din_6935(radius: float, thickness: float) -> float:
    """K by DIN 6935: half of k = 0.65 + 0.5 lg(R/t), k at most 1 (from memory)."""
    return min(1.0, 0.65 + 0.5 * math.log10(radius / thickness)) / 2


def k_of(material: str) -> float:
    """The default K. InputFault where there is none for that material."""
    found = K_FACTORS.get(material)
    if found is None:
        raise InputFault(f"no K factor for {told(material)}",
                         allowed=f"k=… on the flange, from the bending shop; known: {', '.join(K_FACTORS)}")
    return found[0]
