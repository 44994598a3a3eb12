"""Canonical poses: the same for pairs that differ by a spin, and still the same picture."""

from __future__ import annotations

import numpy as np
import pytest

from deskmodel.fit.spin import Axes, Relative, relative
from deskmodel.frames import Pose, axis_angle

Z = np.array([0.0, 0.0, 1.0])


def axes(has: bool, foot: np.ndarray, way: np.ndarray) -> Axes:
    return Axes(np.array([has]), foot[None], way[None])


def of(base: Pose, other: Pose, first: Axes, second: Axes) -> Relative:
    def split(pose: Pose) -> tuple[np.ndarray, np.ndarray]:
        return np.array([pose.rotation]), np.array([pose.origin])
    return relative(*split(base), *split(other), first, second)


def random_pose(rng: np.random.Generator) -> Pose:
    return Pose(axis_angle(tuple(rng.normal(size=3)), rng.uniform(0, 360)).rotation,  # type: ignore[arg-type]
                tuple(rng.uniform(-50, 50, 3)))  # type: ignore[arg-type]


def spun(pose: Pose, foot: np.ndarray, way: np.ndarray, degrees: float) -> Pose:
    """The body turned about its own axis."""
    about = axis_angle(tuple(way), degrees)  # type: ignore[arg-type]
    offset = foot - np.array(about.turn(tuple(foot)))  # type: ignore[arg-type]
    return pose @ Pose(about.rotation, tuple(offset))  # type: ignore[arg-type]


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("both", [False, True])
def test_spins_do_not_count_and_the_picture_stays(seed: int, both: bool) -> None:
    rng = np.random.default_rng(seed)
    foot_a, foot_b = rng.normal(size=(2, 3)) * 5
    way_a, way_b = rng.normal(size=(2, 3))
    way_a, way_b = way_a / np.linalg.norm(way_a), way_b / np.linalg.norm(way_b)
    base, other = random_pose(rng), random_pose(rng)
    first, second = axes(both, foot_a, way_a), axes(True, foot_b, way_b)
    plain = of(base, other, first, second)
    turned = of(spun(base, foot_a, way_a, rng.uniform(0, 360)) if both else base,
                spun(other, foot_b, way_b, rng.uniform(0, 360)), first, second)
    assert np.abs(plain.keys - turned.keys).max() <= 20  # the last digits of rounding
    # points of the other's axis are where they are, taken back to the desk
    for along in (-3.0, 0.0, 7.0):
        point = foot_b + along * way_b
        there = plain.rotation[0] @ point + plain.origin[0]
        back = plain.back_rotation[0] @ there + plain.back_origin[0]
        assert np.array(base.rotation) @ back + np.array(base.origin) == pytest.approx(
            np.array(other.apply(tuple(point))), abs=1e-5)  # type: ignore[arg-type]
    # and of the base's, which the turn of the picture must not move
    if both:
        point = foot_a + 4.0 * way_a
        assert plain.back_rotation[0] @ point + plain.back_origin[0] == pytest.approx(point, abs=1e-9)
    for made in (plain.rotation[0], plain.back_rotation[0]):
        assert made @ made.T == pytest.approx(np.eye(3), abs=1e-8)
        assert np.linalg.det(made) == pytest.approx(1.0)


@pytest.mark.parametrize("turn", [0.0, 90.0, 33.0])
def test_coaxial_bodies(turn: float) -> None:
    own = axes(True, np.zeros(3), Z)
    at = axis_angle((1, 2, -1), 40)
    keys = [of(at, at @ Pose(axis_angle((0, 0, 1), spin).rotation, (0.0, 0.0, 3.0)), own, own).keys for spin in (0.0, turn)]
    assert np.array_equal(keys[0], keys[1])
    same = of(at, at @ axis_angle((0, 0, 1), turn), own, own)
    assert same.keys[0].tolist() == [10**9, 0, 0, 0, 10**9, 0, 0, 0, 10**9, 0, 0, 0]


def test_without_an_axis_the_pose_is_kept() -> None:
    none = axes(False, np.zeros(3), Z)
    base, other = random_pose(np.random.default_rng(1)), random_pose(np.random.default_rng(2))
    found, true = of(base, other, none, none), base.inverse() @ other
    assert found.rotation[0] == pytest.approx(np.array(true.rotation), abs=1e-9)
    assert found.origin[0] == pytest.approx(np.array(true.origin), abs=1e-6)
    assert np.array_equal(found.back_rotation[0], np.eye(3))
