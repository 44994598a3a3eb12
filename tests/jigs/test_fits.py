"""Fits by a second way: the formulas that the tables of ISO 286 were rounded from, for every step and every class in use.

ISO 286-1 (annex, formulas from memory): i = 0.45 cbrt(D) + 0.001 D µm, D the geometric mean of the step in mm; IT6, IT7, IT8
= 10, 16, 25 i; fundamental deviations in µm: F 5.5 D^0.41, g -2.5 D^0.34, m IT7 - IT6, n 5 D^0.34. The tables are rounded to
whole micrometres, some steps by an older rule: they keep within 1.3 µm of the formulas, but up to 3 mm, where they depart
from them (IT7 is 10 instead of 8.6) and no dowel or bush is.
"""

from __future__ import annotations

import math

import pytest

from deskmodel.jigs._fits import deviations, grade

STEPS = [(3.0, 6.0), (6.0, 10.0), (10.0, 18.0), (18.0, 30.0)]
ROUNDED = 1.3e-3
TIMES_I = {6: 10, 7: 16, 8: 25}


def unit(mean: float) -> float:
    return (0.45 * math.cbrt(mean) + 0.001 * mean) / 1000


@pytest.mark.parametrize("number", TIMES_I)
@pytest.mark.parametrize(("low", "high"), STEPS)
def test_grades(low: float, high: float, number: int) -> None:
    expected = TIMES_I[number] * unit(math.sqrt(low * high))
    for diameter in (low + 1e-6, (low + high) / 2, high):  # over the one bound, up to and including the other
        assert grade(diameter, number) == pytest.approx(expected, abs=ROUNDED)


@pytest.mark.parametrize(("low", "high"), STEPS)
def test_deviations(low: float, high: float) -> None:
    mean = math.sqrt(low * high)
    six, seven = (TIMES_I[number] * unit(mean) for number in (6, 7))
    nearer = {"F7": 5.5 * mean**0.41 / 1000, "H7": 0.0, "H8": 0.0, "m6": seven - six, "n6": 5 * mean**0.34 / 1000}
    for fit, expected in nearer.items():
        bottom, top = deviations(high, fit)  # type: ignore[arg-type]
        assert bottom == pytest.approx(expected, abs=ROUNDED)
        assert top - bottom == pytest.approx(grade(high, int(fit[1:])), abs=1e-12)
    for fit, expected in {"g6": -2.5 * mean**0.34 / 1000, "h8": 0.0}.items():
        bottom, top = deviations(high, fit)  # type: ignore[arg-type]
        assert top == pytest.approx(expected, abs=ROUNDED)
        assert top - bottom == pytest.approx(grade(high, int(fit[1:])), abs=1e-12)
