"""Boxes: the sweep against all pairs, and bounds that are never wrong on the unsafe side."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deskmodel.fit.broad import SHALLOW, TOUCH, box_gap, may_overlap, sweep
from deskmodel.fit.placed import place
from deskmodel.fit.problem import Body, Role
from deskmodel.fit.roles import Roles
from deskmodel.frames import IDENTITY, Pose, axis_angle
from tests.fit.shapes import box


@pytest.mark.parametrize("seed", range(20))
def test_the_sweep_finds_what_all_pairs_find(seed: int) -> None:
    rng = np.random.default_rng(seed)
    low = np.round(rng.uniform(0, 30, (60, 3)), rng.integers(0, 3))  # coarse: many boxes just touch
    high = low + np.round(rng.uniform(0, 8, (60, 3)), 1)
    i, j = np.triu_indices(60, 1)
    near = ((low[i] <= high[j] + TOUCH) & (low[j] <= high[i] + TOUCH)).all(axis=1)
    found = sweep(low, high)
    assert np.array_equal(np.column_stack(found), np.column_stack([i[near], j[near]]))


def test_nothing_and_one() -> None:
    for n in (0, 1):
        assert [len(side) for side in sweep(np.zeros((n, 3)), np.ones((n, 3)))] == [0, 0]


@pytest.mark.parametrize("seed", range(20))
def test_the_gap_of_boxes_is_never_more_than_the_true_one(seed: int) -> None:
    """Against points sampled in both boxes: no two of them may be nearer than the gap said."""
    rng = np.random.default_rng(seed)
    poses = [Pose(axis_angle(tuple(rng.normal(size=3)), rng.uniform(0, 360)).rotation,  # type: ignore[arg-type]
                  tuple(rng.uniform(-20, 20, 3))) for _ in range(2)]  # type: ignore[arg-type]
    sizes = rng.uniform(1, 20, (2, 3))
    placed = place(poses, np.stack([np.zeros((2, 3)), sizes], axis=1))
    gap = float(box_gap(placed, np.array([0]), np.array([1]))[0])
    clouds = [rng.uniform(0, 1, (300, 3)) * size @ np.array(pose.rotation).T + np.array(pose.origin)
              for pose, size in zip(poses, sizes, strict=True)]
    nearest = np.linalg.norm(clouds[0][:, None] - clouds[1][None], axis=2).min()
    assert gap <= nearest + 1e-9


def test_boards_that_touch_need_no_mesh() -> None:
    for depth, looked_at in ((0.0, False), (SHALLOW * 0.9, False), (SHALLOW * 1.1, True), (0.01, True)):
        poses = [IDENTITY, Pose(origin=(20.0 - depth, 0.0, 0.0))]
        for turn in (IDENTITY, axis_angle((1, 2, 3), 40)):
            placed = place([turn @ pose for pose in poses], np.array([[[0, 0, 0], [20, 20, 20]]] * 2, dtype=float))
            assert bool(may_overlap(placed, np.array([0]), np.array([1]))[0]) == looked_at


@settings(max_examples=60)
@given(st.lists(st.tuples(st.sampled_from(["part", "keep-out", "plug"]), st.sampled_from([None, "radio", "lamp"])),
                max_size=12))
def test_pairs_to_judge_are_counted_as_they_are_judged(kinds: list[tuple[Role, str | None]]) -> None:
    bodies = [Body(str(k), box(1, 1, 1), IDENTITY, role, owner) for k, (role, owner) in enumerate(kinds)]
    roles = Roles(bodies)
    i, j = np.triu_indices(len(bodies), 1)
    assert roles.pairs() == int(roles.judged(i, j).sum())
