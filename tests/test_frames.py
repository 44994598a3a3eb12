"""Rigid placements against scipy's rotations, and exactness at right angles."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from deskmodel.errors import InputFault
from deskmodel.frames import IDENTITY, Pose, axis_angle, cross, dot, norm, pose_from_axes, unit

number = st.floats(-500, 500, allow_nan=False)
vectors = st.tuples(number, number, number)
directions = vectors.filter(lambda v: norm(v) > 1e-3)
turns = st.builds(axis_angle, directions, st.floats(-720, 720))
poses = st.builds(lambda pose, origin: Pose(pose.rotation, origin), turns, vectors)
SEEDED = settings(derandomize=True, deadline=None, max_examples=60)


@SEEDED
@given(directions, st.floats(-720, 720))
def test_axis_angle_is_scipys(axis: tuple[float, float, float], degrees: float) -> None:
    expected = Rotation.from_rotvec(np.radians(degrees) * np.array(axis) / np.linalg.norm(axis)).as_matrix()
    assert np.abs(np.array(axis_angle(axis, degrees).rotation) - expected).max() < 1e-12


@pytest.mark.parametrize("length", [1, 3, 49, 0.1, 1e-3, 1e200])  # 49 * (1 / 49) is not 1
@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize("quarters", range(-8, 9))
def test_right_angles_are_exact(axis: int, quarters: int, length: float) -> None:
    direction = tuple(length if i == axis else 0.0 for i in range(3))
    entries = {v for row in axis_angle(direction, 90 * quarters).rotation for v in row}
    assert entries <= {0.0, 1.0, -1.0}


@SEEDED
@given(poses, poses, vectors)
def test_composition_and_inverse(a: Pose, b: Pose, p: tuple[float, float, float]) -> None:
    assert np.allclose((a @ b).apply(p), a.apply(b.apply(p)), atol=1e-9)  # definition
    assert np.allclose(a.inverse().apply(a.apply(p)), p, atol=1e-9)
    assert np.allclose((a @ IDENTITY).apply(p), a.apply(p), atol=0)
    assert np.isclose(np.linalg.det(np.array(a.rotation)), 1.0, atol=1e-12)  # a rotation, not a reflection
    assert np.allclose(a.turn(p), np.array(a.apply(p)) - a.origin, atol=1e-9)


@SEEDED
@given(directions, directions, vectors)
def test_frames_from_axes_are_right_handed(z: tuple[float, float, float], other: tuple[float, float, float],
                                           origin: tuple[float, float, float]) -> None:
    x = cross(other, z)
    if norm(x) < 1e-2:
        return
    pose = pose_from_axes(origin, x, z)
    assert np.allclose(cross(pose.axis(0), pose.axis(1)), pose.axis(2), atol=1e-12)
    assert np.allclose(pose.axis(2), unit(z), atol=1e-12)
    assert pose.origin == origin


@SEEDED
@given(directions)
def test_unit_has_length_one(v: tuple[float, float, float]) -> None:
    assert math.isclose(norm(unit(v)), 1.0, abs_tol=1e-15)
    assert dot(unit(v), v) > 0


@pytest.mark.parametrize("bad", [(0, 0, 0), (math.nan, 0, 1), (math.inf, 0, 0)])
def test_what_is_no_direction_is_refused(bad: tuple[float, float, float]) -> None:
    with pytest.raises(InputFault):
        unit(bad)
    with pytest.raises(InputFault):
        axis_angle(bad, 90)


def test_axes_askew_and_turns_that_are_no_number_are_refused() -> None:
    with pytest.raises(InputFault, match="square"):
        pose_from_axes((0, 0, 0), (1, 0, 0), (1, 0, 1))
    with pytest.raises(InputFault):
        axis_angle((0, 0, 1), math.nan)
