"""Closed form: parts made of boxes, square to each other.

For two boxes let d[i] be the common length of their intervals on axis i. All d > 0: they share a box of size d, whose
smallest width is min(d). Otherwise they are sqrt(sum max(-d, 0)²) apart. Unions of boxes: the smallest gap and the
deepest shared box of all pairs; pieces that meet could be wider together, so families keep them apart.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from deskmodel.fit.problem import OverlapKind
from deskmodel.frames import IDENTITY, Pose, axis_angle
from tests.truth.case import A, Case, Truth
from tests.truth.recipe import Recipe
from tests.truth.sweep import placed, signed

__all__ = [
    "box_in_hollow",
    "box_on_box",
    "boxes_in_any_order",
    "component_on_rail",
    "cover_on_seat",
    "linked_frames",
    "notch_and_rail",
    "swallowed_box",
    "truth_of_boxes",
]

Box6 = tuple[float, float, float, float, float, float]


def truth_of_boxes(first: Sequence[Box6], second: Sequence[Box6]) -> Truth:
    gap, depth, volume = math.inf, 0.0, 0.0
    for a in first:
        for b in second:
            d = [min(a[i + 3], b[i + 3]) - max(a[i], b[i]) for i in range(3)]
            d = [0.0 if abs(x) < 1e-9 else x for x in d]  # float noise of the coordinates
            if min(d) > 0.0:
                depth = max(depth, min(d))
                volume += math.prod(d)
            gap = min(gap, math.hypot(*(max(-x, 0.0) for x in d)))
    return Truth(depth, gap, volume=volume)


def moved_box(b: Box6, by: tuple[float, float, float]) -> Box6:
    return (b[0] + by[0], b[1] + by[1], b[2] + by[2], b[3] + by[0], b[4] + by[1], b[5] + by[2])


def size(rng: random.Random, low: float = 15.0, high: float = 120.0) -> tuple[float, float, float]:
    return tuple(round(rng.uniform(low, high), 3) for _ in range(3))  # type: ignore[return-value]


def box_on_box(rng: random.Random, index: int) -> Case:
    """Two blocks, face to face, a signed distance s apart on one axis; they face each other over 5 mm at least."""
    s, axis, side = signed(rng, index), rng.randrange(3), rng.choice((-1, 1))
    a = (1400.0, 22.0, 60.0) if rng.random() < 0.2 else size(rng)  # a long rail: float noise and long triangles
    b = size(rng)
    at = [rng.uniform(5 - b[i], a[i] - 5) for i in range(3)]
    at[axis] = a[axis] - s if side > 0 else s - b[axis]
    # shared: s by the common lengths on the other axes; s is the smallest since those are 5 or more
    truth = truth_of_boxes([(0, 0, 0, *a)], [moved_box((0, 0, 0, *b), (at[0], at[1], at[2]))])
    return placed(Recipe("block", a), IDENTITY, Recipe("block", b), Pose(origin=(at[0], at[1], at[2])), truth, f"s={s}")


def boxes_in_any_order(rng: random.Random, index: int) -> Case:
    """Edges and corners towards each other: each axis has its own signed distance."""
    a, b = size(rng), size(rng)
    at = []
    for i in range(3):
        s = signed(rng, rng.randrange(90)) if rng.random() < 0.75 else rng.uniform(1, min(a[i], b[i]))
        at.append(a[i] - s if rng.random() < 0.5 else s - b[i])
    truth = truth_of_boxes([(0, 0, 0, *a)], [moved_box((0, 0, 0, *b), (at[0], at[1], at[2]))])
    return placed(Recipe("block", a), IDENTITY, Recipe("block", b), Pose(origin=(at[0], at[1], at[2])), truth)


def swallowed_box(rng: random.Random, index: int) -> Case:
    """A block, a hollow box or a component wholly inside a block; the nearest wall is 1e-3 mm away or more."""
    outer = size(rng, 60, 120)
    b = tuple(round(rng.uniform(12, 30), 3) for _ in range(3))
    near = rng.choice((0.001, 0.01, 0.1, 1.0, 3.0))
    at = [rng.uniform(near, outer[i] - b[i] - near) for i in range(3)]
    at[rng.randrange(3)] = near
    # nearer than 0.05 to the wall it may count as touching it
    kinds: tuple[OverlapKind, ...] = ("swallowed",) if near > 0.05 else ("swallowed", "overlap")
    if index % 3 == 0:
        # the shared body is the inner block itself: its smallest width is its smallest side
        inner, truth = Recipe("block", b), Truth(min(b), 0.0, kinds=kinds, volume=math.prod(b), swallower=A)
    elif index % 3 == 1:
        wall = rng.choice((1.0, 3.0))
        # all of the hollow box's material: as thick as its wall, in its edges up to 1.27 times that
        room = math.prod(side - 2 * wall for side in b)
        truth = Truth(wall, 0.0, convex=False, kinds=kinds, volume=math.prod(b) - room, swallower=A)
        inner = Recipe("hollow_box", (*b, wall))
    else:
        # two boxes that touch: the larger one's smallest side at least, the whole's smallest side at most
        cut = 0.7 * b[0]
        halves = ((0.0, 0.0, 0.0, cut, b[1], b[2]), (cut, 0.0, 0.0, b[0], 0.5 * b[1], b[2]))
        truth = Truth(min(cut, b[1], b[2]), 0.0, convex=False, hull=min(b), kinds=kinds,
                      volume=cut * b[1] * b[2] + (b[0] - cut) * 0.5 * b[1] * b[2], swallower=A)
        inner = Recipe("component", (halves,))
    return placed(Recipe("block", outer), IDENTITY, inner, Pose(origin=(at[0], at[1], at[2])), truth, f"near={near}")


def box_in_hollow(rng: random.Random, index: int) -> Case:
    """A block in a closed hollow box: nothing shared as long as it keeps off the wall; s is counted into the wall."""
    s, wall = signed(rng, index), rng.choice((1.5, 6.0, 18.0))
    outer = size(rng, 60, 150)
    room = [o - 2 * wall for o in outer]
    b = [max(1.0, round(rng.uniform(0.2, 0.6) * r, 3)) for r in room]
    at = [wall + rng.uniform(0.3, 0.7) * (room[i] - b[i]) for i in range(3)]
    axis = rng.randrange(3)
    at[axis] = wall - s
    walls = _walls((0, 0, 0, *outer), wall)
    truth = truth_of_boxes(walls, [(*at, at[0] + b[0], at[1] + b[1], at[2] + b[2])])  # type: ignore[list-item]
    return placed(Recipe("hollow_box", (*outer, wall)), IDENTITY, Recipe("block", tuple(b)),
                  Pose(origin=(at[0], at[1], at[2])), truth, f"s={s}")


def _walls(o: Box6, w: float) -> list[Box6]:
    x0, y0, z0, x1, y1, z1 = o
    return [(x0, y0, z0, x0 + w, y1, z1), (x1 - w, y0, z0, x1, y1, z1), (x0, y0, z0, x1, y0 + w, z1),
            (x0, y1 - w, z0, x1, y1, z1), (x0, y0, z0, x1, y1, z0 + w), (x0, y0, z1 - w, x1, y1, z1)]


def component_on_rail(rng: random.Random, index: int) -> Case:
    """A component of three boxes that touch each other, one of them s into (or off) the top of a member."""
    s = signed(rng, index)
    body: Box6 = (0, 0, 0, 90, 60, 25)
    foot: Box6 = (30, 20, -8, 50, 40, 0)
    plug: Box6 = (90, 10, 5, 110, 30, 20)
    rail: Box6 = (0, 0, 0, 22, 200, 60)
    by = (rng.uniform(-35, -25), rng.uniform(30, 100), 60 + 8 - s)  # the foot stands on the rail, all else is clear
    truth = truth_of_boxes([rail], [moved_box(b, by) for b in (body, foot, plug)])
    boxes = (body, foot, plug)
    kind = rng.choice(("component", "fused_boxes"))
    return placed(Recipe("block", (22.0, 200.0, 60.0)), IDENTITY, Recipe(kind, (boxes,)), Pose(origin=by), truth, f"s={s}")


def cover_on_seat(rng: random.Random, index: int) -> Case:
    """A cover with its backing on a 10 mm seat of a member: seat distance s."""
    s = signed(rng, index)
    inset = 12.0
    rail: Box6 = (0, 0, 0, 22, 260, 60)
    top: Box6 = (0, 0, 0, 204, 208, 1.5)
    backing: Box6 = (inset, inset, -6, 204 - inset, 208 - inset, 0)
    # the plate lies on x from 12 to 22 of the rail; the backing is 2 mm or more off its side, so the seat decides
    by = (22 - 10.0, rng.uniform(5, 45), 60 - s)
    truth = truth_of_boxes([rail], [moved_box(b, by) for b in (top, backing)])
    return placed(Recipe("block", (22.0, 260.0, 60.0)), IDENTITY, Recipe("cover", (204.0, 208.0, 1.5, 6.0, inset)),
                  Pose(origin=by), truth, f"s={s}")


def notch_and_rail(rng: random.Random, index: int) -> Case:
    """A rail across the notch of another: distance s at one side or at the bottom, the others clear by 0.2 or more."""
    s, wide, deep = signed(rng, index), 22.0, 30.0
    start, where = rng.uniform(40, 100), rng.choice(("side", "bottom"))
    across = wide - rng.uniform(5, 8)
    bottom = 60 - deep
    x = start - s if where == "side" else start + 2.0
    z = bottom - s if where == "bottom" else bottom + rng.uniform(5, 8)
    rail: list[Box6] = [(0, 0, 0, 240, 22, bottom), (0, 0, bottom, start, 22, 60), (start + wide, 0, bottom, 240, 22, 60)]
    other: Box6 = (x, -50, z, x + across, 90, z + 60)
    truth = truth_of_boxes(rail, [other])
    return placed(Recipe("notched_rail", (240.0, 22.0, 60.0, start, wide, deep)), IDENTITY,
                  Recipe("block", (across, 140.0, 60.0)), Pose(origin=(x, -50, z)), truth, f"s={s} {where}")


def linked_frames(rng: random.Random, index: int) -> Case:
    """Two window frames, one through the other like links of a chain; a bar of the one is s off a bar of the other."""
    s = signed(rng, index)
    bars: list[Box6] = [(0, 0, 0, 100, 10, 10), (0, 90, 0, 100, 100, 10), (0, 0, 0, 10, 100, 10), (90, 0, 0, 100, 100, 10)]
    turned = axis_angle((1, 0, 0), 90)  # (x, y, z) -> (x, -z, y): stands in the plane y = 0
    # The second frame's bar (x 0..10, standing) passes through the first one's window, s into its bar x 0..10.
    by = (10 - s, 50.0, -45.0)
    second = [moved_box((b[0], -b[5], b[1], b[3], -b[2], b[4]), by) for b in bars]
    truth = truth_of_boxes(bars, second)
    frame = Recipe("vent_plate", (100.0, 100.0, 10.0, (), ((10.0, 10.0, 90.0, 90.0),)))
    return placed(frame, IDENTITY, frame, Pose(turned.rotation, by), truth, f"s={s}")
