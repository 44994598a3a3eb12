"""Bend formulas against published examples and tables."""

from __future__ import annotations

import math

import pytest

from deskmodel import Flange, Plate, flat_pattern, rectangle
from deskmodel.bends import (
    K_FACTORS,
    bend_allowance,
    bend_deduction,
    flat_length,
    k_by_din_6935,
    outside_setback,
)


def test_published_example_in_inches() -> None:
    # a published worked example: A 90°, R = t = 0.125 in, K 0.44 -> bend allowance 0.2827 in
    assert bend_allowance(90, 0.125, 0.125, 0.44) == pytest.approx(0.2827, abs=5e-5)
    # 2 (0.125 + 0.125) - 0.2827
    assert bend_deduction(90, 0.125, 0.125, 0.44) == pytest.approx(0.2173, abs=5e-5)


@pytest.mark.parametrize(("radius", "thickness", "k", "allowance", "deduction"), [
    # computed by hand: pi/2 (R + K t), 2 (R + t) - that
    (2, 2, 0.44, 4.524, 3.476), (1.5, 1.5, 0.42, 3.346, 2.654), (1, 1, 0.44, 2.262, 1.738)])
def test_square_bends(radius: float, thickness: float, k: float, allowance: float, deduction: float) -> None:
    assert bend_allowance(90, radius, thickness, k) == pytest.approx(allowance, abs=5e-4)
    assert outside_setback(90, radius, thickness) == radius + thickness
    assert bend_deduction(90, radius, thickness, k) == pytest.approx(deduction, abs=5e-4)


def test_flat_of_an_angle() -> None:
    # legs 25 and 40 outside, R = t = 2, K 0.44: 25 + 40 - 3.476 = 61.524
    assert flat_length(25, 40, 90, 2, 2, 0.44) == pytest.approx(61.524, abs=5e-4)
    angle = Plate("angle", rectangle(100, 25), 2, "steel", flanges=(Flange("back", 40, radius=2, k=0.44),))
    assert flat_pattern(angle).outline.bounds == pytest.approx((0, 0, 100, 61.524), abs=5e-4)


@pytest.mark.parametrize(("radius", "thickness", "v"), [(1, 1, -1.919), (2, 2, -3.837), (3, 2, -4.128), (10, 2, -6.722)])
def test_din_6935(radius: float, thickness: float, v: float) -> None:
    """DIN 6935, correction v at 90° (from memory): pi/2 (R + k t / 2) - 2 (R + t), k = 0.65 + 0.5 lg(R/t), 1 at most."""
    assert -bend_deduction(90, radius, thickness, k_by_din_6935(radius, thickness)) == pytest.approx(v, abs=1e-3)


@pytest.mark.parametrize(("k", "half_turn", "per_t"), [(0.35, 1.57, 0.55), (0.41, 1.57, 0.64), (0.45, 1.57, 0.71)])
def test_handbook_forms_at_90_degrees(k: float, half_turn: float, per_t: float) -> None:
    """Machinery's Handbook, soft / half-hard / hard: allowance 1.57 R + 0.55 t / 0.64 t / 0.71 t (from memory)."""
    for radius, thickness in ((1, 1), (2, 1.5), (6, 3)):
        assert bend_allowance(90, radius, thickness, k) == pytest.approx(half_turn * radius + per_t * thickness, rel=5e-3)


@pytest.mark.parametrize(("material", "low", "high"), [
    # Machinery's Handbook 26, K factors by sheet thickness and radius: lowest and highest of the metal's rows
    ("aluminium", 0.391, 0.407), ("steel", 0.420, 0.467), ("stainless steel", 0.438, 0.483),
    ("brass", 0.35, 0.35)])  # soft: from memory
def test_default_k_lies_in_the_tables(material: str, low: float, high: float) -> None:
    k, source = K_FACTORS[material]
    assert low <= k <= high
    assert "Handbook" in source


@pytest.mark.parametrize("angle", [1, 30, 89.999, 90, 90.001, 135, 170])
def test_setback_is_the_tangent_from_the_outer_corner(angle: float) -> None:
    # both tangents to the outer circle, radius R + t, from the corner: sector and chord say the same
    r = 1.5 + 2
    setback = outside_setback(angle, 1.5, 2)
    assert math.degrees(2 * math.atan2(setback, r)) == pytest.approx(angle, rel=1e-12)
