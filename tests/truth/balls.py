"""Closed form: round feet and sealing rings on faces, in holes, in countersinks and on bars (spheres and tori)."""

from __future__ import annotations

import math
import random

from deskmodel.frames import IDENTITY, Pose
from tests.truth.case import Case, Truth, random_motion
from tests.truth.edges import SLAB
from tests.truth.recipe import Recipe
from tests.truth.rounds import spin
from tests.truth.sweep import placed, signed

__all__ = ["ball_in_countersink", "ball_in_hole", "ball_on_ball", "ball_on_face", "ring_on_bar", "ring_on_face"]


def _turned(rng: random.Random, origin: tuple[float, float, float]) -> Pose:
    return Pose(random_motion(rng).rotation, origin)


def ball_on_face(rng: random.Random, index: int) -> Case:
    """Shared: a cap s high and much wider; V = pi s² (3 r - s) / 3."""
    s, r = signed(rng, index), round(rng.uniform(2, 30), 3)
    v = math.pi * s * s * (3 * r - s) / 3 if s > 0 else None
    return placed(Recipe("block", SLAB), IDENTITY, Recipe("ball", (2 * r,)), _turned(rng, (110.0, 80.0, 20 + r - s)),
                  Truth(s, max(-s, 0.0), volume=v), f"s={s}")


def ball_on_ball(rng: random.Random, index: int) -> Case:
    """Middles r1 + r2 - s apart: a lens s thick."""
    s, r1, r2 = signed(rng, index), round(rng.uniform(2, 20), 3), round(rng.uniform(2, 20), 3)
    # direction of the second one's middle: any
    x, y, z = random_motion(rng).rotation[0]
    d = r1 + r2 - s
    return placed(Recipe("ball", (2 * r1,)), _turned(rng, (0.0, 0.0, 0.0)), Recipe("ball", (2 * r2,)),
                  _turned(rng, (d * x, d * y, d * z)), Truth(s, max(-s, 0.0)), f"s={s}")


def ball_in_hole(rng: random.Random, index: int) -> Case:
    """On the hole's axis, halfway through the plate: a ring, lens-shaped in section and s = r - R thick."""
    s, R = signed(rng, index), round(rng.uniform(2, 15), 3)
    r = max(R + s, 0.5)
    s = r - R
    plate = Recipe("vent_plate", (100.0, 90.0, 22.0, ((50.0, 45.0, 2 * R),)))
    return placed(plate, IDENTITY, Recipe("ball", (2 * r,)), _turned(rng, (50.0, 45.0, 11.0)),
                  Truth(s, max(-s, 0.0), convex=False), f"s={s}")


def ball_in_countersink(rng: random.Random, index: int) -> Case:
    """Middle on the cone's axis, h over its apex: h sin 45° - r from the surface, touching at r cos 45° = r / sqrt 2
    from the axis; that lies on the cone, between the bore's 2.25 and the mouth's 4.48."""
    s, r = signed(rng, index), round(rng.uniform(3.8, 5.2), 3)
    s = max(s, -0.3)
    plate = Recipe("countersunk_plate", (60.0, 50.0, 8.0, 30.0, 25.0, 4.5, 8.96))
    h = (r - s) * math.sqrt(2.0)
    # apex 4.48 below the top at z = 8. Gaps up to 0.3 still end on the cone; its rims are farther.
    return placed(plate, IDENTITY, Recipe("ball", (2 * r,)), _turned(rng, (30.0, 25.0, 8 - 4.48 + h)),
                  Truth(s, max(-s, 0.0), convex=False), f"s={s}")


def ring_on_face(rng: random.Random, index: int) -> Case:
    """A sealing ring flat on a slab: a ring-shaped segment s thick."""
    s, inner, cord = signed(rng, index), round(rng.uniform(5, 40), 3), round(rng.uniform(1.5, 5), 3)
    return placed(Recipe("block", SLAB), IDENTITY, Recipe("cord_ring", (inner, cord)),
                  Pose(origin=(110.0, 80.0, 20 + cord / 2 - s)) @ spin(rng), Truth(s, max(-s, 0.0), convex=False), f"s={s}")


def ring_on_bar(rng: random.Random, index: int) -> Case:
    """A sealing ring round a bar on its axis: the bar's radius less the ring's inner one is s."""
    s, r, cord = signed(rng, index), round(rng.uniform(4, 15), 3), round(rng.uniform(1.5, 5), 3)
    return placed(Recipe("round_bar", (2 * r, 40.0)), spin(rng), Recipe("cord_ring", (2 * (r - s), cord)),
                  Pose(origin=(0.0, 0.0, 20.0)) @ spin(rng), Truth(s, max(-s, 0.0), convex=False), f"s={s}")
