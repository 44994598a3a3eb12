"""No closed form: all kinds against all kinds, brought to within a chosen signed distance; the oracle judges them.

The approach uses the kernel's distance only to place the pair where it is hard to judge. Whatever place results, what
is true of it is measured afterwards.
"""

from __future__ import annotations

import math
import random

import numpy as np

from deskmodel.frames import IDENTITY, Pose, Vec, axis_angle, dot, scale, sub
from tests.oracle.distance import KernelFailure, distance
from tests.oracle.occ import box_of, moved
from tests.truth.case import Case, random_motion
from tests.truth.recipe import Recipe, oracle_shape
from tests.truth.sweep import placed, signed

__all__ = ["POOL", "kinds_meet"]

_VENTS = tuple((15.0 + 9 * i, 15.0 + 9 * j, 5.0) for i in range(8) for j in range(4))

POOL: tuple[Recipe, ...] = (
    Recipe("drilled", (160.0, 22.0, 60.0, (((40.0, 0.0, 15.0), (0.0, 1.0, 0.0), 8.0, 16.0),
                                           ((40.0, 0.0, 45.0), (0.0, 1.0, 0.0), 8.0, 16.0),
                                           ((110.0, 11.0, 60.0), (0.0, 0.0, -1.0), 5.6, 14.0)), 2.0)),
    Recipe("drilled", (120.0, 22.0, 60.0, (((0.0, 11.0, 15.0), (1.0, 0.0, 0.0), 8.0, 26.0),
                                           ((0.0, 11.0, 45.0), (1.0, 0.0, 0.0), 8.0, 26.0)), 2.0)),
    Recipe("vent_plate", (110.0, 80.0, 1.5, _VENTS, ((20.0, 55.0, 50.0, 70.0),))),
    Recipe("countersunk_plate", (60.0, 50.0, 6.0, 30.0, 25.0, 4.5, 8.96)),
    Recipe("dowel", (8.0, 40.0, 0.8)),
    Recipe("dowel", (6.0, 30.0, 0.5)),
    Recipe("countersunk_screw", (4.0, 12.0, 8.96)),
    Recipe("button_screw", (4.0, 12.0, 7.6, 2.2)),
    Recipe("insert", (6.5, 4.0, 10.0)),
    Recipe("component", (((0.0, 0.0, 0.0, 70.0, 45.0, 20.0), (70.0, 10.0, 4.0, 82.0, 22.0, 14.0),
                          (10.0, 10.0, -5.0, 16.0, 16.0, 0.0)),)),
    Recipe("fused_boxes", (((0.0, 0.0, 0.0, 60.0, 40.0, 15.0), (40.0, 10.0, 10.0, 80.0, 30.0, 30.0)),)),
    Recipe("cover", (90.0, 70.0, 1.5, 6.0, 12.0)),
    Recipe("bevelled_rail", (140.0, 22.0, 60.0, 11.0, 19.0)),
    Recipe("notched_rail", (140.0, 22.0, 60.0, 50.0, 22.0, 30.0)),
    Recipe("hollow_box", (80.0, 60.0, 40.0, 1.5)),
    Recipe("ring", (40.0, 24.0, 8.0)),
    Recipe("boss_plate", (80.0, 60.0, 3.0, ((15.0, 15.0, 10.0, 5.0), (60.0, 40.0, 8.0, 5.0)), ())),
    Recipe("wedge", (60.0, 20.0, 6.0)),
    Recipe("ball", (18.0,)),
    Recipe("cord_ring", (16.0, 3.0)),
    Recipe("leaf", (((0.0, 0.0), (40.0, -6.0), (70.0, 12.0), (55.0, 40.0), (18.0, 36.0)), 6.0)),
)


def kinds_meet(rng: random.Random, index: int) -> Case:
    """Two kinds of the pool, by index so that all pairs of kinds come up; in any attitude, or nearly square."""
    pairs = [(i, j) for i in range(len(POOL)) for j in range(i, len(POOL))]
    i, j = pairs[index % len(pairs)]
    a, b = POOL[i], POOL[j]
    s = signed(rng, rng.randrange(90))
    if rng.random() < 0.6:
        turn = Pose(random_motion(rng).rotation)
    else:
        turn = axis_angle(rng.choice(((1, 0, 0), (0, 1, 0), (0, 0, 1))), 90.0 * rng.randrange(4))
        turn = axis_angle(_direction(rng), 10 ** rng.uniform(-3, 0.3)) @ turn  # a few thousandths to 2 degrees off
    return placed(a, IDENTITY, b, bring_near(a, b, turn, _direction(rng), s), None, f"aimed at s={s}")


def _direction(rng: random.Random) -> Vec:
    v = np.array([rng.gauss(0, 1) for _ in range(3)])
    x, y, z = v / np.linalg.norm(v)
    return (float(x), float(y), float(z))


def _middle(recipe: Recipe) -> tuple[Vec, float]:
    low, high = box_of(oracle_shape(recipe))
    middle = scale((low[0] + high[0], low[1] + high[1], low[2] + high[2]), 0.5)
    return middle, math.dist(low, high) / 2


def bring_near(a: Recipe, b: Recipe, turn: Pose, towards: Vec, s: float) -> Pose:
    """Pose of b: from outside, along -``towards``, by Newton's rule until the gap is small, then s along the normal."""
    (ma, ra), (mb, rb) = _middle(a), _middle(b)
    far = ra + rb + 5.0
    pose = Pose(turn.rotation, sub((ma[0] + far * towards[0], ma[1] + far * towards[1], ma[2] + far * towards[2]),
                                   turn.turn(mb)))
    first, second = oracle_shape(a), oracle_shape(b)
    normal, gap = towards, 0.0
    for _ in range(6):
        try:
            now = distance(first, moved(second, pose))
        except KernelFailure:
            break
        if now.value < 1e-9:  # overshot: nearest normal stays, one step back
            pose = pose.moved(scale(normal, 0.5))
            continue
        gap, normal = now.value, scale(sub(now.point_b, now.point_a), 1.0 / now.value)
        closing = dot(normal, towards)
        if gap < 0.5 or closing < 0.05:
            break
        pose = pose.moved(scale(towards, -min(gap / closing, far) + 0.2))
    else:
        return pose
    return pose.moved(scale(normal, -(gap + s)))
