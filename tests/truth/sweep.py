"""The numbers every family is swept through. Positive: penetration; negative: gap; mm."""

from __future__ import annotations

import random

from deskmodel.frames import IDENTITY, Pose
from tests.truth.case import Case, Truth
from tests.truth.recipe import Recipe

__all__ = ["DEPTHS", "GAPS", "SWEEP", "placed", "signed"]

DEPTHS = (1e-6, 1e-4, 0.001, 0.003, 0.005, 0.007, 0.009, 0.0099, 0.01, 0.0101, 0.011, 0.012, 0.015, 0.02, 0.03, 0.05)
GAPS = (1e-6, 1e-5, 1e-4, 0.001, 0.005, 0.01, 0.02, 0.05, 0.2, 1.0, 4.0)
SWEEP = (*DEPTHS, 0.0, 0.01, 0.0, *(-g for g in GAPS))


def signed(rng: random.Random, index: int) -> float:
    """The index-th number of the sweep; every third one a random number between them."""
    if index % 3 == 2:
        return rng.choice((rng.uniform(0.01, 0.05), -10 ** rng.uniform(-6, 0.5)))
    return SWEEP[(index * 2 // 3) % len(SWEEP)]


def placed(a: Recipe, pose_a: Pose, b: Recipe, pose_b: Pose = IDENTITY, truth: Truth | None = None,
           note: str = "") -> Case:
    return Case("", 0, a, pose_a, b, pose_b, truth, note=note)
