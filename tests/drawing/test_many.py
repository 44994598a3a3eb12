"""Many points and rays asked at once: the answers of the solids asked one by one, whatever stands in whatever way."""

from __future__ import annotations

import random
from collections.abc import Sequence

import numpy as np
import pytest

from deskmodel.drawing._many import blocked, holds
from deskmodel.drawing._solids import Solid
from deskmodel.features import Prism, Removal, Revolve
from deskmodel.frames import Pose, axis_angle, unit
from deskmodel.profiles import Profile, circle, obround, polygon, rectangle

UP = (0.0, 0.0, 1.0)
HALF_RING = Profile(((8.0, 0.0, 1.0), (-8.0, 0.0, 0.0), (-5.0, 0.0, -1.0), (5.0, 0.0, 0.0)))
SHAPES: Sequence[Removal] = (
    Prism(rectangle(20.0, 14.0, (-10.0, -7.0)), Pose(), 9.0),
    Prism(rectangle(20.0, 14.0, (-10.0, -7.0), 3.0), Pose(), 9.0),
    Prism(circle(12.0, (1.0, 2.0)), Pose(), 9.0),
    Prism(obround(18.0, 6.0), Pose(), 9.0),
    Prism(polygon([(0.0, 0.0), (12.0, 1.0), (5.0, 4.0), (6.0, 11.0)]), Pose(), 9.0),
    Prism(HALF_RING, Pose(), 9.0),
    Revolve(((0.0, 0.0), (6.0, 0.0), (6.0, 5.0), (0.0, 9.0)), Pose()),  # a blind hole with its drill point
    Revolve(((2.0, 0.0), (7.0, 0.0), (4.0, 3.0), (4.0, 8.0), (2.0, 8.0)), Pose()),  # a ring, countersunk
)
TURNS = (Pose(), axis_angle((1.0, 0.0, 0.0), 90.0), axis_angle((0.0, 1.0, 0.0), 180.0), axis_angle((1.0, 0.0, 0.0), 45.0),
         axis_angle((1.0, 2.0, 3.0), 37.0))


def turned(shape: Removal, pose: Pose) -> Removal:
    return Prism(shape.profile, pose @ shape.pose, shape.depth) if isinstance(shape, Prism) else Revolve(shape.half, pose
                                                                                                        @ shape.pose)


@pytest.mark.parametrize("shape", range(len(SHAPES)))
@pytest.mark.parametrize("turn", range(len(TURNS)))
def test_one_body(shape: int, turn: int) -> None:
    check(Solid([turned(SHAPES[shape], TURNS[turn])]), 400, seed=shape * 10 + turn)


@pytest.mark.parametrize("seed", range(12))
def test_pieces_with_cuts(seed: int) -> None:
    dice = random.Random(seed)

    def some(count: int) -> list[Removal]:
        return [turned(dice.choice(SHAPES), anywhere(dice)) for _ in range(count)]

    check(Solid(some(3), some(dice.randrange(9))), 400, seed)


@pytest.mark.parametrize("seed", range(4))
def test_of_several_solids_any_blocks(seed: int) -> None:
    dice = random.Random(100 + seed)
    solids = [Solid([turned(dice.choice(SHAPES), anywhere(dice))], [turned(dice.choice(SHAPES), anywhere(dice))])
              for _ in range(6)]
    points = cloud(dice, 500)
    expected = [any(solid.blocks(p, UP) for solid in solids) for p in points]
    assert blocked(solids, np.array(points)).tolist() == expected
    assert 0 < sum(expected) < len(expected)


def test_nothing_asked_nothing_there() -> None:
    solid = Solid([SHAPES[0]])
    assert holds(solid, np.zeros((0, 3))).tolist() == []
    assert blocked([], np.zeros((2, 3))).tolist() == [False, False]
    assert holds(solid, np.array([(0.0, 0.0, 4.0), (0.0, 0.0, 40.0)])).tolist() == [True, False]


def check(solid: Solid, count: int, seed: int) -> None:
    points = cloud(random.Random(seed), count)
    asked = np.array(points)
    inside = [solid.holds(p) for p in points]
    assert holds(solid, asked).tolist() == inside
    over = [solid.blocks(p, UP) for p in points]
    assert blocked([solid], asked).tolist() == over
    assert any(over)


def anywhere(dice: random.Random) -> Pose:
    askew = axis_angle(unit((dice.random(), dice.random(), 0.1)), dice.uniform(0, 90))
    turn = dice.choice(TURNS) if dice.random() < 0.6 else askew
    return turn.moved((dice.uniform(-8, 8), dice.uniform(-8, 8), dice.uniform(-8, 8)))


def cloud(dice: random.Random, count: int) -> list[tuple[float, float, float]]:
    """Points all round, many of them below everything."""
    return [(dice.uniform(-12, 12), dice.uniform(-12, 12), dice.choice((dice.uniform(-14, 14), -20.0)))
            for _ in range(count)]
