"""Closed form: cones in countersinks, button heads on plates, and surfaces with two nearly equal minima."""

from __future__ import annotations

import math
import random

from deskmodel.frames import IDENTITY, Pose
from tests.truth.case import A, Case, Truth
from tests.truth.recipe import Recipe
from tests.truth.rounds import spin
from tests.truth.sweep import placed, signed

__all__ = ["bosses_and_lands", "button_on_plate", "screw_in_countersink", "screw_off_axis", "screw_swallowed"]

ROOT2 = math.sqrt(2.0)
# ISO 10642 M4 and M5: theoretical sharp head diameter 8.96 and 11.20; ISO 273 medium holes 4.5 and 5.5.
SCREWS = ((4.0, 8.96, 4.5), (5.0, 11.2, 5.5))


def _countersunk(rng: random.Random, clearance: float, e: float) -> tuple[Recipe, Recipe, Pose, float, float]:
    """Plate, screw and pose for cones whose radii differ by ``clearance`` at each height, axes ``e`` apart.

    Half angles are 45°, so a screw raised by z has z more radial clearance; part of it comes from a larger sink.
    """
    d, head, bore = rng.choice(SCREWS)
    raised = rng.choice((0.0, clearance, 0.5 * clearance))
    mouth = head + 2 * (clearance - raised)
    t = rng.choice((6.0, 8.0))
    plate = Recipe("countersunk_plate", (60.0, 50.0, t, 30.0, 25.0, bore, mouth))
    screw = Recipe("countersunk_screw", (d, 20.0, head))
    phi = rng.uniform(0, 2 * math.pi)
    pose = Pose(origin=(30 + e * math.cos(phi), 25 + e * math.sin(phi), t + raised)) @ spin(rng)
    return plate, screw, pose, (bore - d) / 2, raised


def screw_in_countersink(rng: random.Random, index: int) -> Case:
    """On the axis: the cones are parallel, clearance / sqrt 2 apart; the shank has 0.25 play."""
    s = max(signed(rng, index), -0.17)
    plate, screw, pose, play, raised = _countersunk(rng, -s * ROOT2, 0.0)
    # Shared (s > 0): a conical sleeve whose wall, measured square to it, is s. Gap: the smaller of cone and shank.
    return placed(plate, IDENTITY, screw, pose, Truth(s, min(max(-s, 0.0), play), convex=False),
                  f"s={s} raised={raised}")


def screw_off_axis(rng: random.Random, index: int) -> Case:
    """Axes e apart: on the near side the cones' radii differ by clearance - e; the shank keeps off by play - e."""
    s, e = max(signed(rng, index), -0.1), rng.choice((0.01, 0.05, 0.08))
    plate, screw, pose, play, raised = _countersunk(rng, e - s * ROOT2, e)
    return placed(plate, IDENTITY, screw, pose, Truth(s, min(max(-s, 0.0), play - e), convex=False),
                  f"s={s} e={e} raised={raised}")


def button_on_plate(rng: random.Random, index: int) -> Case:
    """ISO 7380-1 button head (M4: 7.6 wide, 2.2 high) s into the top of a plate with a 4.5 hole: a flat ring."""
    s = max(signed(rng, index), -0.24)
    t = rng.choice((1.5, 3.0))
    plate = Recipe("vent_plate", (60.0, 50.0, t, ((30.0, 25.0, 4.5),)))
    e, phi = rng.choice((0.0, 0.0, 0.2)), rng.uniform(0, 2 * math.pi)
    pose = Pose(origin=(30 + e * math.cos(phi), 25 + e * math.sin(phi), t - s)) @ spin(rng)
    # Shared: the head's underside less the hole, a ring s thick and at least 1.3 wide. Play of the shank 0.25 - e.
    gap = min(max(-s, 0.0), 0.25 - e)
    return placed(plate, IDENTITY, Recipe("button_screw", (4.0, 12.0, 7.6, 2.2)), pose, Truth(s, gap, convex=False),
                  f"s={s} e={e}")


def screw_swallowed(rng: random.Random, index: int) -> Case:
    """A countersunk screw sunk wholly into a block without a hole, its top 0.2 or more below the surface."""
    d, head, _ = rng.choice(SCREWS)
    sunk = rng.choice((0.2, 1.0, 5.0))
    pose = Pose(origin=(30, 25, 60 - sunk)) @ spin(rng)
    # Shared: the whole screw. Its width is that of its convex hull; at least the shank's diameter, at most the head's.
    return placed(Recipe("block", (60.0, 50.0, 60.0)), IDENTITY, Recipe("countersunk_screw", (d, 20.0, head)), pose,
                  Truth(d, 0.0, convex=False, hull=head, kinds=("swallowed",), swallower=A))


def bosses_and_lands(rng: random.Random, index: int) -> Case:
    """A plate with round bosses and square lands under a slab: the two kinds differ by 0.009 in height.

    Signed distance s of the higher kind; where both are in, each shares its own piece.
    """
    s = signed(rng, index)
    high, low = 8.0, 8.0 - 0.009
    boss, land = (high, low) if rng.random() < 0.5 else (low, high)
    t = 3.0
    bosses = ((20.0, 20.0, 12.0, boss), (100.0, 20.0, 12.0, boss))
    lands = ((50.0, 40.0, t - 1, 62.0, 52.0, t + land),)
    slab = Recipe("block", (140.0, 90.0, 10.0))
    v = None
    if s > 0:
        disc, square = 2 * math.pi * 36.0, 144.0
        v = disc * max(s - (high - boss), 0.0) + square * max(s - (high - land), 0.0)
    # Each piece is a disc or square 12 wide and s, or s - 0.009, thick.
    return placed(Recipe("boss_plate", (120.0, 70.0, t, bosses, lands)), IDENTITY, slab,
                  Pose(origin=(-10, -10, t + high - s)), Truth(s, max(-s, 0.0), volume=v), f"s={s} boss={boss}")
