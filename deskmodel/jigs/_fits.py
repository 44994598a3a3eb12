"""Limits and fits of ISO 286-2 as far as bushes, bits and dowels need them: deviations in mm, up to 30 mm of diameter.

F7, H7, g6, m6 and n6 agree with the worked fits that the tests name; h8 of bits and m6 of dowels as classes of these goods
are from memory.
"""

from __future__ import annotations

from typing import Literal

from deskmodel.errors import InputFault

__all__ = ["Class", "deviations", "grade"]

Class = Literal["F7", "H7", "H8", "g6", "h8", "m6", "n6"]

_STEPS = (3.0, 6.0, 10.0, 18.0, 30.0)
"""Diameters over the one before, up to and including this."""

_GRADES: dict[int, tuple[float, ...]] = {6: (6, 8, 9, 11, 13), 7: (10, 12, 15, 18, 21), 8: (14, 18, 22, 27, 33)}
"""Standard tolerances IT of ISO 286-1, µm."""

_LOWER: dict[str, tuple[float, ...]] = {"F": (6, 10, 13, 16, 20), "H": (0, 0, 0, 0, 0), "m": (2, 4, 6, 7, 8),
                                        "n": (4, 8, 10, 12, 15)}
_UPPER: dict[str, tuple[float, ...]] = {"g": (-2, -4, -5, -6, -7), "h": (0, 0, 0, 0, 0)}
"""Fundamental deviations, µm: the limit nearer to the nominal size."""


def grade(diameter: float, number: int) -> float:
    """Width of the tolerance IT6, IT7 or IT8, mm."""
    return _GRADES[number][_step(diameter)] / 1000


def deviations(diameter: float, fit: Class) -> tuple[float, float]:
    """(lower, upper) limit less the nominal diameter, mm."""
    letter, width = fit[0], grade(diameter, int(fit[1:]))
    if letter in _LOWER:
        low = _LOWER[letter][_step(diameter)] / 1000
        return low, low + width
    high = _UPPER[letter][_step(diameter)] / 1000
    return high - width, high


def _step(diameter: float) -> int:
    for i, last in enumerate(_STEPS):
        if 0 < diameter <= last:
            return i
    raise InputFault(f"a diameter of {diameter:g} mm", allowed=f"above 0, up to {_STEPS[-1]:g} mm")
