"""How exact: fits and bushes against published tables, the arithmetic against published stacks, the causes by hand."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from deskmodel.errors import InputFault
from deskmodel.jigs import Jig, SlopShare, jig_plan, jig_slop, likely, slop_text, worst
from deskmodel.jigs._fits import deviations, grade
from deskmodel.jigs._tools import Refusal, end_tools, face_tools, seat_diameter
from deskmodel.jigs.slop import MARK, PRINTED, SEATING, bit_play, lean
from deskmodel.workshop import Bush, default_workshop
from tests.jigs.desks import desk

# ISO 286-2, µm: (clearance least, most) of worked fits, as a general-purpose package for press fits computes them
FITS = {("H7", "g6", 8): (5, 29), ("H7", "m6", 8): (-15, 9), ("H7", "n6", 8): (-19, 5), ("H7", "g6", 6): (4, 24),
        ("H7", "m6", 6): (-12, 8), ("H7", "n6", 12): (-23, 6), ("H7", "n6", 16): (-23, 6), ("H7", "g6", 25): (7, 41)}
# DIN 179, press-fit bushes: bore, outside, lengths (from memory); bores F7: ISO 286-2 (from memory), µm
BUSHES = {6: (10, (10, 16, 20)), 8: (12, (10, 16, 20)), 10: (15, (12, 20, 25)), 12: (18, (12, 20, 25))}
F7 = {6: (10, 22), 8: (13, 28), 10: (13, 28), 12: (16, 34)}


@pytest.mark.parametrize(("hole", "shaft", "diameter"), FITS)
def test_fits_of_iso_286(hole: str, shaft: str, diameter: float) -> None:
    (hole_low, hole_high), (low, high) = deviations(diameter, hole), deviations(diameter, shaft)  # type: ignore[arg-type]
    assert (1000 * (hole_low - high), 1000 * (hole_high - low)) == pytest.approx(FITS[hole, shaft, diameter])


@pytest.mark.parametrize("diameter", F7)
def test_bores_of_drill_bushes(diameter: float) -> None:
    low, high = deviations(diameter, "F7")
    assert (1000 * low, 1000 * high) == pytest.approx(F7[diameter])
    bush, = default_workshop().bushes_of(diameter)
    assert low <= bush.bore - diameter <= high  # the bushes that are assumed lie in that field
    assert bush.outside == BUSHES[diameter][0]
    assert bush.length in BUSHES[diameter][1]
    assert bush.length >= 2 * diameter


def test_grades_and_their_bounds() -> None:
    # ISO 286-1: over 3 up to 6, over 6 up to 10 and so on; IT8 of 8 mm is 22 µm, h8 of a bit of 8: 0 to -22
    assert grade(8, 8) == pytest.approx(0.022)
    assert deviations(8, "h8") == pytest.approx((-0.022, 0))
    assert grade(6, 7) == pytest.approx(0.012)
    assert grade(6.001, 7) == pytest.approx(0.015)
    for wrong in (0.0, -8.0, 30.1):
        with pytest.raises(InputFault):
            grade(wrong, 8)


def shares(*amounts: float) -> list[SlopShare]:
    return [SlopShare("x", amount, "y") for amount in amounts]


def test_published_stacks() -> None:
    # ten of ±0.1: worst 1.0, root of the sum of squares 0.3162
    assert worst(shares(*[0.1] * 10)) == pytest.approx(1.0)
    assert likely(shares(*[0.1] * 10)) == pytest.approx(0.3162, abs=5e-5)
    # Chase and Fortini, shaft and bearing in a housing, inches: worst case 0.0245, root of the sum of squares 0.01108
    housing = shares(0.0015, 0.008, 0.0025, 0.002, 0.006, 0.002, 0.0025)
    assert worst(housing) == pytest.approx(0.0245)
    assert likely(housing) == pytest.approx(0.01108, abs=5e-6)


def test_the_likely_figure_is_three_deviations_of_normal_causes() -> None:
    """A simulation of the same stack: each cause normal with a third of its share."""
    rng = random.Random(1)
    stack = shares(0.0015, 0.008, 0.0025, 0.002, 0.006, 0.002, 0.0025)
    sums = [sum(rng.gauss(0, each.amount / 3) for each in stack) for _ in range(40_000)]
    assert 3 * math.sqrt(sum(v * v for v in sums) / len(sums)) == pytest.approx(likely(stack), rel=0.02)


@pytest.fixture(scope="module")
def jigs() -> tuple[Jig, Jig]:
    end, face = jig_plan(desk("22")).jigs
    return end, face


def test_the_shares_by_hand(jigs: tuple[Jig, Jig]) -> None:
    end, face = jigs
    # bore 8.02, thinnest bit 8 - 0.022, guide 16; gap 4 of the end jig, 6 of the face jig with its shoulder
    assert bit_play(end) == pytest.approx(0.042)
    assert lean(end) == pytest.approx(0.042 / 16)
    slop = jig_slop(end, face, (26, 16))
    leans = (0.042 / 16 * (4 + 13), 0.042 / 16 * (6 + 8))
    one_way = [PRINTED, SEATING, 0.0, 0.021, leans[0], PRINTED, SEATING, 0.0, 0.021, leans[1]]
    assert [share.amount for share in slop.across] == pytest.approx(one_way)
    assert worst(slop.along) == pytest.approx(sum(one_way) + MARK)
    assert worst(slop.pair) == pytest.approx(2 * PRINTED + 4 * 0.021 + 2 * sum(leans))
    assert all(share.source for share in (*slop.across, *slop.along, *slop.pair, slop.thickness))


def test_whether_dowels_enter(jigs: tuple[Jig, Jig]) -> None:
    """With the common reference by the likely figure, not at worst; drilled from opposite faces they do not."""
    slop = jig_slop(*jigs, (26, 16))
    assert slop.enters
    assert worst(slop.pair) / 2 > slop.allowed
    assert not slop.enters_without
    loose = replace(jigs[0], bush=replace(jigs[0].bush, bore=8.2))
    assert not jig_slop(loose, jigs[1], (26, 16)).enters
    told = " ".join(slop_text(slop))
    assert "they enter by the likely figure" in told
    assert "may not enter" in told
    assert f"±{likely(slop.across):.2f} mm likely" in told


def test_more_play_and_less_guide_are_worse(jigs: tuple[Jig, Jig]) -> None:
    end, face = jigs
    base = likely(jig_slop(end, face, (26, 16)).pair)
    for bush in (replace(end.bush, bore=8.05), replace(end.bush, length=12.0)):
        assert likely(jig_slop(replace(end, bush=bush), face, (26, 16)).pair) > base
    assert likely(jig_slop(end, face, (40, 16)).pair) > base  # deeper: it leans further


def test_seats() -> None:
    """The printer's allowance on each side; a bush that slides has more, and then plays in its seat."""
    press, slide = (Bush(8.02, 12, 16, seat, "test") for seat in ("press", "slide"))  # type: ignore[arg-type]
    assert seat_diameter(press, 0.12) == pytest.approx(12.24)
    assert seat_diameter(slide, 0.12) > 12.24


def test_tools_that_are_chosen() -> None:
    """The bush with the least play that guides enough, and the bit that starts best; what is short is said in numbers."""
    workshop = default_workshop()
    others = Bush(8.06, 12, 20, "press", "test"), Bush(8.0, 12, 12, "press", "test")
    more = replace(workshop, bushes=(*workshop.bushes, *others))
    tools = end_tools([(11, 15)], 8, 26, more)
    assert not isinstance(tools, Refusal)
    assert (tools.bush.bore, tools.bit.kind) == (8.02, "brad-point")
    short = face_tools(8, 60, workshop, 0.1)
    assert isinstance(short, Refusal)
    # 75 of bit: 60 deep, 2.403 of tip, gap 4, bush 16, shoulder 2 and 2 below the chuck
    assert (short.measured, short.required) == pytest.approx((75, 60 + 2.4034 + 22 + 2), abs=1e-3)
