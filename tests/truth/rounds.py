"""Closed form: cylinders beside, across and behind each other; a cylinder in a hole, on its axis and off it."""

from __future__ import annotations

import math
import random

from deskmodel.frames import IDENTITY, Pose, axis_angle
from tests.truth.case import A, Case, Truth
from tests.truth.recipe import Recipe
from tests.truth.sweep import placed, signed

__all__ = ["bars_across", "bars_beside", "bars_end_to_end", "dowel_at_bottom", "pin_in_hole", "pin_in_vent",
           "pin_off_axis", "pin_swallowed", "pin_through_ring", "sleeve_in_pilot", "two_pins"]


def spin(rng: random.Random) -> Pose:
    """A part of revolution may stand at any angle about its axis."""
    return axis_angle((0, 0, 1), rng.uniform(0, 360))


def bars_beside(rng: random.Random, index: int) -> Case:
    """Axes parallel, r1 + r2 - s apart: a lens whose thickness, s, is its smallest width (it is 2 sqrt(..s) wide)."""
    s, r1, r2 = signed(rng, index), round(rng.uniform(1.5, 15), 3), round(rng.uniform(1.5, 15), 3)
    l1, l2 = round(rng.uniform(20, 60), 3), round(rng.uniform(20, 60), 3)
    phi = rng.uniform(0, 2 * math.pi)
    d = r1 + r2 - s
    pose = Pose(origin=(d * math.cos(phi), d * math.sin(phi), rng.uniform(8 - l2, l1 - 8))) @ spin(rng)
    return placed(Recipe("round_bar", (2 * r1, l1)), spin(rng), Recipe("round_bar", (2 * r2, l2)), pose,
                  Truth(s, max(-s, 0.0)), f"s={s}")


def bars_across(rng: random.Random, index: int) -> Case:
    """Axes cross at t, r1 + r2 - s apart: the common perpendicular gives gap and depth."""
    s, r1, r2 = signed(rng, index), round(rng.uniform(1.5, 15), 3), round(rng.uniform(1.5, 15), 3)
    t = rng.uniform(35, 145)
    along = axis_angle((1, 0, 0), t)
    low = along.apply((0, 0, -40))
    # Shared: symmetric to the common perpendicular, s thick along it and many times wider square to it (s is small).
    pose = Pose(along.rotation, (r1 + r2 - s + low[0], low[1], low[2])) @ spin(rng)
    return placed(Recipe("round_bar", (2 * r1, 80.0)), Pose(origin=(0, 0, -40)) @ spin(rng),
                  Recipe("round_bar", (2 * r2, 80.0)), pose, Truth(s, max(-s, 0.0)), f"s={s} t={t}")


def bars_end_to_end(rng: random.Random, index: int) -> Case:
    """Coaxial, one standing on the other, s into it: a disc of the smaller radius, s thick."""
    s, r1, r2 = signed(rng, index), round(rng.uniform(1.5, 15), 3), round(rng.uniform(1.5, 15), 3)
    if rng.random() < 0.3:
        r2 = r1  # the sides are then parts of one cylinder
    l1, l2 = round(rng.uniform(20, 60), 3), round(rng.uniform(20, 60), 3)
    v = math.pi * min(r1, r2) ** 2 * s if s > 0 else None
    return placed(Recipe("round_bar", (2 * r1, l1)), spin(rng), Recipe("round_bar", (2 * r2, l2)),
                  Pose(origin=(0, 0, l1 - s)) @ spin(rng), Truth(s, max(-s, 0.0), volume=v), f"s={s}")


def _plate(rng: random.Random, radius: float) -> tuple[Recipe, float, float, float]:
    """A plate with one hole of that radius; its thickness and the hole's middle."""
    t, x, y = rng.choice((1.5, 6.0, 22.0)), round(rng.uniform(30, 60), 3), round(rng.uniform(30, 60), 3)
    return Recipe("vent_plate", (100.0, 90.0, t, ((x, y, 2 * radius),))), t, x, y


def pin_in_hole(rng: random.Random, index: int) -> Case:
    """Coaxial: radius of the pin less that of the hole is s."""
    s, R = signed(rng, index), round(rng.choice((rng.uniform(2, 15), rng.uniform(15, 28))), 3)
    r = max(R + s, 0.4)
    s = r - R
    plate, t, x, y = _plate(rng, R)
    # Shared: a sleeve, s thick all round and t high. Gap: the play, R - r.
    v = math.pi * (r * r - R * R) * t if s > 0 else None
    return placed(plate, IDENTITY, Recipe("round_bar", (2 * r, t + 20)), Pose(origin=(x, y, -10)) @ spin(rng),
                  Truth(s, max(-s, 0.0), convex=False, volume=v), f"s={s}")


def pin_off_axis(rng: random.Random, index: int) -> Case:
    """Axes parallel, e apart: r + e - R = s. Shared: a crescent that is s thick in its middle. Gap: R - r - e."""
    s, R = signed(rng, index), round(rng.uniform(2, 15), 3)
    e = rng.choice((0.02, 0.1, 0.4, 1.0))
    r = R + s - e
    if r < 0.4:
        r, e = 0.4, R + s - 0.4
    if e < 0:
        e = 0.0
        r = R + s
    phi = rng.uniform(0, 2 * math.pi)
    plate, t, x, y = _plate(rng, R)
    pose = Pose(origin=(x + e * math.cos(phi), y + e * math.sin(phi), -10)) @ spin(rng)
    return placed(plate, IDENTITY, Recipe("round_bar", (2 * r, t + 20)), pose,
                  Truth(s, max(-s, 0.0), convex=False), f"s={s} e={e}")


def dowel_at_bottom(rng: random.Random, index: int) -> Case:
    """A dowel 8 mm in a face hole of a member, play 0.1 to 0.4 round it, its end s into the flat bottom."""
    s, play = signed(rng, index), rng.uniform(0.1, 0.4)
    if s < 0:
        s = max(s, -play)  # so that the bottom is not farther than the wall
    depth, x = 16.0, round(rng.uniform(30, 90), 3)
    chamfer = rng.choice((0.0, 0.8))
    member = Recipe("drilled", (120.0, 22.0, 60.0, (((x, 0.0, 30.0), (0.0, 1.0, 0.0), 8 + 2 * play, depth),)))
    # z of the dowel along +y of the member: a quarter turn about x, (x, y, z) -> (x, z, -y)
    turn = axis_angle((1, 0, 0), -90)
    length = 40.0
    pose = Pose(turn.rotation, (x, depth + s - length, 30.0)) @ spin(rng)
    part = Recipe("dowel", (8.0, length, chamfer)) if chamfer else Recipe("round_bar", (8.0, length))
    # Shared: a disc s thick (with a chamfered rim, whose cone is steeper than the disc is thick: width s).
    return placed(member, IDENTITY, part, pose, Truth(s, max(-s, 0.0)), f"s={s}")


def sleeve_in_pilot(rng: random.Random, index: int) -> Case:
    """An insert in its through pilot hole in a member, coaxial: outer radius less the hole's is s."""
    s, R = signed(rng, index), rng.choice((3.0, 3.5, 4.25))
    ro = max(R + s, 1.2)
    s = ro - R
    x = round(rng.uniform(30, 90), 3)
    member = Recipe("drilled", (120.0, 22.0, 60.0, (((x, 0.0, 30.0), (0.0, 1.0, 0.0), 2 * R, 22.0 + 2),)))
    turn = axis_angle((1, 0, 0), -90)
    pose = Pose(turn.rotation, (x, 5.0, 30.0)) @ spin(rng)
    v = math.pi * (ro * ro - R * R) * 12.0 if s > 0 else None
    return placed(member, IDENTITY, Recipe("insert", (2 * ro, 2 * ro - 1.8, 12.0)), pose,
                  Truth(s, max(-s, 0.0), convex=False, volume=v), f"s={s}")


def pin_through_ring(rng: random.Random, index: int) -> Case:
    """A bar through a ring, axes parallel, e apart: as a pin in a hole."""
    s, R = signed(rng, index), round(rng.uniform(2, 12), 3)
    e = rng.choice((0.0, 0.0, 0.05, 0.3))
    r = R + s - e
    if r < 0.4:
        r = 0.4
        e = max(R + s - r, 0.0)
        s = r + e - R
    ring = Recipe("ring", (2 * R + 8, 2 * R, 9.0))
    return placed(ring, spin(rng), Recipe("round_bar", (2 * r, 40.0)), Pose(origin=(e, 0, -15)),
                  Truth(s, max(-s, 0.0), convex=False), f"s={s} e={e}")


def pin_in_vent(rng: random.Random, index: int) -> Case:
    """A rod of 4 mm through one of 40 vents of 5 mm, off its axis so that it is s into the web."""
    s = signed(rng, index)
    s = max(s, -0.5)
    e, phi = 0.5 + s, rng.uniform(0, 2 * math.pi)
    holes = tuple((20.0 + 8 * i, 20.0 + 8 * j, 5.0) for i in range(8) for j in range(5))
    x, y, _ = rng.choice(holes)
    pose = Pose(origin=(x + e * math.cos(phi), y + e * math.sin(phi), -12)) @ spin(rng)
    return placed(Recipe("vent_plate", (96.0, 72.0, 1.5, holes)), IDENTITY, Recipe("round_bar", (4.0, 30.0)), pose,
                  Truth(s, max(-s, 0.0), convex=False), f"s={s}")


def pin_swallowed(rng: random.Random, index: int) -> Case:
    """A dowel wholly inside a member without its hole, or inside a thicker bar on the same axis."""
    r = round(rng.uniform(2, 5), 3)
    length = round(rng.uniform(12, 40), 3)
    dowel = Recipe("dowel", (2 * r, length, 0.8))
    # The shared body is the dowel: its smallest width is its diameter (it is longer than that).
    truth = Truth(2 * r, 0.0, kinds=("swallowed",), swallower=A)
    if rng.random() < 0.5:
        bar = Recipe("round_bar", (2 * r + rng.choice((0.2, 1.0, 10.0)), length + 2))
        return placed(bar, IDENTITY, dowel, Pose(origin=(0, 0, 1)) @ spin(rng), truth)
    pose = Pose(axis_angle((1, 0, 0), rng.choice((-90.0, -80.0))).rotation, (40, 4, 30))
    return placed(Recipe("block", (80.0, 60.0, 60.0)), IDENTITY, dowel, pose, truth)


def two_pins(rng: random.Random, index: int) -> Case:
    """Two pins in two holes whose gaps differ by 0.009: the nearer one counts, whichever mesh is coarser."""
    g = rng.choice((0.02, 0.3, 1.0))
    small, large = round(rng.uniform(1.5, 3), 3), round(rng.uniform(10, 18), 3)
    near, far = (small, large) if rng.random() < 0.5 else (large, small)
    holes = ((40.0, 40.0, 2 * near), (100.0, 40.0, 2 * far))
    pins = ((40.0, 40.0, 2 * (near - g), -8.0, 12.0), (100.0, 40.0, 2 * (far - g - 0.009), -8.0, 12.0))
    plate = Recipe("vent_plate", (140.0, 80.0, 6.0, holes))
    return placed(plate, IDENTITY, Recipe("pins", (pins,)), IDENTITY, Truth(0.0, g), f"gap={g}")
