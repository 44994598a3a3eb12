"""No closed form: parts in the places made for them, tilted, shifted or twisted a little; the oracle judges them."""

from __future__ import annotations

import random
from collections.abc import Callable

from deskmodel.frames import IDENTITY, Pose, axis_angle
from tests.truth.case import Case
from tests.truth.recipe import Recipe
from tests.truth.rounds import spin
from tests.truth.sweep import placed

__all__ = ["fits_disturbed"]

_HOLE = ((40.0, 0.0, 30.0), (0.0, 1.0, 0.0), 8.0, 16.0)


def _disturb(rng: random.Random) -> Pose:
    """A tilt of up to 1° about any axis, a shift of 1e-4 to 0.4 mm; either may be nothing."""
    tilt = 0.0 if rng.random() < 0.3 else 10 ** rng.uniform(-3, 0)
    turn = axis_angle((rng.gauss(0, 1), rng.gauss(0, 1), rng.gauss(0, 1)), tilt)
    reach = 0.0 if rng.random() < 0.2 else 10 ** rng.uniform(-4, -0.4)
    return Pose(turn.rotation, (rng.uniform(-1, 1) * reach, rng.uniform(-1, 1) * reach, rng.uniform(-1, 1) * reach))


def _dowel_in_rail(rng: random.Random) -> tuple[Recipe, Recipe, Pose]:
    play = rng.choice((-0.01, 0.0, 0.05, 0.2))
    rail = Recipe("drilled", (80.0, 22.0, 60.0, ((*_HOLE[:2], 8.0 + play, 16.0),), rng.choice((0.0, 2.0))))
    return rail, Recipe("dowel", (8.0, 30.0, 0.8)), Pose(axis_angle((1, 0, 0), -90).rotation, (40.0, -14.5, 30.0))


def _insert_in_pilot(rng: random.Random) -> tuple[Recipe, Recipe, Pose]:
    rail = Recipe("drilled", (80.0, 22.0, 60.0, ((*_HOLE[:2], rng.choice((6.0, 6.5, 6.6)), 14.0),)))
    return rail, Recipe("insert", (6.5, 4.0, 10.0)), Pose(axis_angle((1, 0, 0), -90).rotation, (40.0, 1.2, 30.0))


def _screw_in_plate(rng: random.Random) -> tuple[Recipe, Recipe, Pose]:
    plate = Recipe("countersunk_plate", (60.0, 50.0, 6.0, 30.0, 25.0, 4.5, rng.choice((8.96, 9.0, 9.2))))
    return plate, Recipe("countersunk_screw", (4.0, 16.0, 8.96)), Pose(origin=(30.0, 25.0, 6.0))


def _button_in_plate(rng: random.Random) -> tuple[Recipe, Recipe, Pose]:
    plate = Recipe("vent_plate", (60.0, 50.0, 1.5, ((30.0, 25.0, rng.choice((4.0, 4.3, 4.5))),)))
    return plate, Recipe("button_screw", (4.0, 12.0, 7.6, 2.2)), Pose(origin=(30.0, 25.0, 1.5))


def _cover_in_opening(rng: random.Random) -> tuple[Recipe, Recipe, Pose]:
    play = rng.choice((0.05, 0.3, 2.0))
    plate = Recipe("vent_plate", (140.0, 120.0, 1.5, (), ((20.0, 20.0, 110.0 + play, 90.0 + play),)))
    return plate, Recipe("cover", (90.0, 70.0, 1.5, 6.0, 12.0)), Pose(origin=(20 + play / 2, 20 + play / 2, 0.0))


def _ring_on_bar(rng: random.Random) -> tuple[Recipe, Recipe, Pose]:
    return (Recipe("round_bar", (12.0, 60.0)), Recipe("ring", (24.0, rng.choice((12.0, 12.05, 12.4)), 9.0)),
            Pose(origin=(0.0, 0.0, 20.0)))


def _cross_lap(rng: random.Random) -> tuple[Recipe, Recipe, Pose]:
    """Two notched rails, notch in notch."""
    wide = rng.choice((22.0, 22.05, 22.4))
    rail = Recipe("notched_rail", (140.0, 22.0, 60.0, 60.0, wide, 30.0))
    # turned upside down (about x) and across (about z): its notch opens downwards at the first one's notch
    turn = axis_angle((0, 0, 1), 90) @ axis_angle((1, 0, 0), 180)
    at = turn.apply((60.0 + wide / 2, 11.0, 30.0))
    return rail, rail, Pose(turn.rotation, (60 + wide / 2 - at[0], 11.0 - at[1], 30.0 - at[2]))


def _unit_in_box(rng: random.Random) -> tuple[Recipe, Recipe, Pose]:
    play = rng.choice((0.02, 0.2, 1.0))
    return (Recipe("hollow_box", (80.0, 60.0, 40.0, 3.0)), Recipe("block", (74 - play, 54 - play, 34 - play)),
            Pose(origin=(3 + play / 2, 3 + play / 2, 3 + play / 2)))


def _pin_in_vents(rng: random.Random) -> tuple[Recipe, Recipe, Pose]:
    holes = tuple((20.0 + 8 * i, 20.0 + 8 * j, 5.0) for i in range(6) for j in range(4))
    x, y, _ = rng.choice(holes)
    return Recipe("vent_plate", (80.0, 64.0, 1.5, holes)), Recipe("dowel", (5.0, 30.0, 0.5)), Pose(origin=(x, y, -10))


_FITS: tuple[Callable[[random.Random], tuple[Recipe, Recipe, Pose]], ...] = (
    _dowel_in_rail, _insert_in_pilot, _screw_in_plate, _button_in_plate, _cover_in_opening, _ring_on_bar, _cross_lap,
    _unit_in_box, _pin_in_vents)


def fits_disturbed(rng: random.Random, index: int) -> Case:
    fit = _FITS[index % len(_FITS)]
    a, b, pose = fit(rng)
    # disturbed about the place of the fit, in the second part's own frame
    return placed(a, IDENTITY, b, pose @ _disturb(rng) @ spin_if_round(rng, b), None, fit.__name__.strip("_"))


def spin_if_round(rng: random.Random, part: Recipe) -> Pose:
    return spin(rng) if part.kind in ("dowel", "insert", "ring", "countersunk_screw", "button_screw") else IDENTITY
