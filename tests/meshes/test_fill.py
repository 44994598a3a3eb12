"""Filling of flat loops: the area is the loops' own (shoelace), every triangle has a side up, and neighbours share edges."""

from __future__ import annotations

import math

import numpy as np
import pytest

from deskmodel.meshes.fill import filled

Points = np.ndarray


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Points:
    return np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def hole(x: float, y: float, r: float, count: int, turn: float = 0.0) -> Points:
    angle = turn - np.arange(count) * 2 * math.pi / count
    return np.column_stack([x + r * np.cos(angle), y + r * np.sin(angle)])


def area(loop: Points) -> float:
    x, y = loop.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def check(loops: list[Points]) -> int:
    """Fills them and asserts the laws; how many points were added."""
    found = filled(loops)
    assert found is not None
    added, triangles = found
    points = np.concatenate([*loops, added])
    a, b, c = (points[triangles[:, k]] for k in range(3))
    doubled = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    assert doubled.min() > -1e-9
    assert doubled.sum() / 2 == pytest.approx(sum(map(area, loops)), rel=1e-12)
    # every side is met the other way round, but those of the loops, which are met not at all
    sides = {(int(t[k]), int(t[(k + 1) % 3])) for t in triangles for k in range(3)}
    assert len(sides) == 3 * len(triangles)
    rims, at = set(), 0
    for loop in loops:
        rims |= {(at + k, at + (k + 1) % len(loop)) for k in range(len(loop))}
        at += len(loop)
    assert {side for side in sides if side[::-1] not in sides} == rims
    return len(added)


def test_a_field_of_vents_gets_squares() -> None:
    field = [hole(20 + 8 * i, 20 + 8 * j, 2.5, 60) for i in range(20) for j in range(10)]
    assert check([rectangle(0, 0, 200, 120), *field]) == 4 * len(field)


def test_holes_without_room_are_filled_as_they_are() -> None:
    near_edge, near_each_other = hole(5.01, 30, 5, 40), [hole(40, 30, 5, 40), hole(50.1, 30, 5, 40)]
    alone = hole(80, 30, 5, 40)
    assert check([rectangle(0, 0, 100, 60), near_edge, *near_each_other, alone]) == 4


def test_a_square_never_holds_another_hole() -> None:
    # a small hole in the corner that the large one's square would cover, and a slot likewise
    large, small = hole(50, 50, 20, 100), hole(50 + 15.9, 50 + 15.9, 1, 20)
    slot = rectangle(26, 66, 35, 70)[::-1]
    assert check([rectangle(0, 0, 100, 100), large, small, slot]) in (0, 4, 8)


@pytest.mark.parametrize("seed", range(12))
def test_random_plates(seed: int) -> None:
    """Holes of any size that do not touch, some beside each other by 0.02 mm, in an outline with a notch and an arc."""
    random = np.random.default_rng(seed)
    arc = [(300 + 40 * math.sin(t), 60 - 40 * math.cos(t)) for t in np.linspace(0, math.pi, 40)]
    outline = np.array([(0, 0), (120, 0), (120, 15), (140, 15), (140, 0), *arc, (300, 200), (0, 200)], dtype=float)
    taken: list[tuple[float, float, float]] = []
    for _ in range(400):
        r = float(random.choice([0.6, 1.5, 2.5, 6.0, 20.0]))
        x, y = random.uniform([r + 0.02, r + 20.02], [298 - r, 198 - r])
        if all(math.hypot(x - u, y - v) > r + s + 0.02 for u, v, s in taken):
            taken.append((x, y, r))
    loops = [hole(x, y, r, max(8, int(20 * math.sqrt(r))), random.uniform(0, 7)) for x, y, r in taken]
    assert len(loops) > 40
    check([outline, *loops])

