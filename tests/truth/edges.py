"""Closed form: blocks turned against each other, so that an edge or a corner meets a face, or two edges cross."""

from __future__ import annotations

import math
import random

from deskmodel.frames import IDENTITY, Pose, axis_angle
from tests.truth.boxes import size
from tests.truth.case import Case, Truth, random_motion
from tests.truth.recipe import Recipe
from tests.truth.sweep import placed, signed

__all__ = ["bevel_on_bevel", "corner_on_face", "edge_across_edge", "edge_on_face", "wedge_on_face"]

SLAB = (220.0, 160.0, 20.0)  # its top face, z = 20, is met at (110, 80) or so


def on_top(pose: Pose, lowest: tuple[float, float, float], s: float) -> Pose:
    """The pose moved so that its point ``lowest`` (desk frame) comes to the slab's middle, s below its top."""
    return pose.moved((110 - lowest[0], 80 - lowest[1], 20 - s - lowest[2]))


def edge_on_face(rng: random.Random, index: int) -> Case:
    """A block turned by t about x, its lowest edge s into the slab."""
    s, t = signed(rng, index), rng.uniform(12, 78)
    b = size(rng, 15, 60)
    pose = on_top(axis_angle((1, 0, 0), t), (b[0] / 2, 0, 0), s)
    # Shared: a prism over a right triangle whose hypotenuse lies in the slab's top, s above the right angle. The
    # smallest width of a triangle is its altitude on the longest side: s. Legs s/sin t and s/cos t give the volume.
    r = math.radians(t)
    v = 0.5 * s * s * (math.tan(r) + 1 / math.tan(r)) * b[0] if s > 0 else None
    return placed(Recipe("block", SLAB), IDENTITY, Recipe("block", b), pose, Truth(s, max(-s, 0.0), volume=v),
                  f"s={s} t={t}")


def corner_on_face(rng: random.Random, index: int) -> Case:
    """A block in a random attitude, its lowest corner s into the slab."""
    s, b = signed(rng, index), size(rng, 15, 60)
    while True:
        turn = Pose(random_motion(rng).rotation)
        n = turn.rotation[2]  # the desk's z in the block's frame
        if min(abs(c) for c in n) > 0.15:
            break
    lowest = turn.apply(tuple(0.0 if n[i] > 0 else b[i] for i in range(3)))  # type: ignore[arg-type]
    # Shared: a tetrahedron with three square edges of s/|n[i]|. Its altitude on the face in the slab's top is s; the
    # other altitudes are those edges, the distances of opposite edges 1/sqrt(1/p² + 1/q²): all longer than s.
    v = s**3 / (6 * abs(n[0] * n[1] * n[2])) if s > 0 else None
    return placed(Recipe("block", SLAB), IDENTITY, Recipe("block", b), on_top(turn, lowest, s),
                  Truth(s, max(-s, 0.0), volume=v), f"s={s}")


def edge_across_edge(rng: random.Random, index: int) -> Case:
    """Two blocks on edge (45°), their edges crossing at right angles, s deep."""
    s = signed(rng, index)
    a, b = size(rng, 20, 60), size(rng, 20, 60)
    # A: upper edge on the x axis: z <= -|y|. B: lower edge on y at z = -s: z >= -s + |x|.
    pose_a = axis_angle((1, 0, 0), 45)
    top = pose_a.apply((a[0] / 2, a[1], a[2]))
    # The corner line (y = width, z = height) of A is turned up; for it to be at y = 0 after 45° both must be equal.
    a = (a[0], a[1], a[1])
    top = pose_a.apply((a[0] / 2, a[1], a[1]))
    pose_a = pose_a.moved((-top[0], -top[1], -top[2]))
    b = (b[0], b[1], b[0])
    pose_b = axis_angle((0, 1, 0), 45)
    low = min((pose_b.apply((x, b[1] / 2, z)) for x in (0.0, b[0]) for z in (0.0, b[2])), key=lambda p: p[2])
    pose_b = pose_b.moved((-low[0], -low[1], -s - low[2]))
    # Shared: |x| + |y| <= s at the height between: a tetrahedron with two crossing edges of 2 s, s apart. Width s
    # (along z); its four altitudes are s sqrt 2, the other pairs of edges s sqrt 2 apart. Volume 2 s · 2 s · s / 6.
    v = 2 * s**3 / 3 if s > 0 else None
    return placed(Recipe("block", a), pose_a, Recipe("block", b), pose_b, Truth(s, max(-s, 0.0), volume=v), f"s={s}")


def wedge_on_face(rng: random.Random, index: int) -> Case:
    """A sharp lath, half angle 12 to 60°, its edge pressed into the slab: the overlap's width is s."""
    s, half = signed(rng, index), math.radians(rng.uniform(12, 60))
    length, height = round(rng.uniform(30, 100), 3), 20.0
    # Pressed in by p, the shared triangle has height p and base 2 p tan(half); its altitudes are p and 2 p sin(half).
    # The smallest of them shall be s.
    p = s / min(1.0, 2 * math.sin(half)) if s > 0 else s
    pose = Pose(origin=(60.0, 80.0, 20 - p))
    v = p * p * math.tan(half) * length if s > 0 else None
    return placed(Recipe("block", SLAB), IDENTITY, Recipe("wedge", (length, height, height * math.tan(half))), pose,
                  Truth(s, max(-s, 0.0), volume=v), f"s={s} half angle={math.degrees(half)}")


def bevel_on_bevel(rng: random.Random, index: int) -> Case:
    """Two rails with the same bevel, bevel face on bevel face, s along its normal."""
    s = signed(rng, index)
    setback, drop = round(rng.uniform(6, 16), 3), round(rng.uniform(6, 30), 3)
    length = round(rng.uniform(80, 200), 3)
    rail = Recipe("bevelled_rail", (length, 22.0, 60.0, setback, drop))
    middle = (length / 2, 22 - setback / 2, 60 - drop / 2)  # of the bevel face
    reach = math.hypot(setback, drop)
    normal = (0.0, drop / reach, setback / reach)
    # Half a turn about the line through ``middle`` along x puts the other rail's bevel face on this one.
    turned = axis_angle((1, 0, 0), 180)
    m = turned.apply(middle)
    along = rng.uniform(-0.4, 0.4) * length
    pose = turned.moved((middle[0] - m[0] + along, middle[1] - m[1] - s * normal[1], middle[2] - m[2] - s * normal[2]))
    # Shared: a layer of thickness s between the faces; both edges of a bevel face are obtuse, so the layer reaches over
    # the whole face (5 mm and more) and s is its smallest width.
    return placed(rail, IDENTITY, rail, pose, Truth(s, max(-s, 0.0)), f"s={s}")
