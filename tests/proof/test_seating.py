"""Three-two-one contact against seats that follow from the drawing, also of jigs and stock that are not square."""

from __future__ import annotations

import numpy as np
import pytest
from manifold3d import Manifold

from tests.proof.facets import Floats, Mesh
from tests.proof.made import facets_of
from tests.proof.seating import Pose, Side, outermost, over, seat, stock, stop_on

BOX = stock(np.zeros(3), np.array([100.0, 22, 60]))
STOPS = [(1, -1), (2, 1), (0, -1)]


def corner(lean: float = 0.0) -> Mesh:
    """Three inner faces that meet at the origin, seen from x, y > 0 and z < 0; the end leans by ``lean`` degrees about z."""
    body = Manifold.cube([70, 40, 70]).translate([-10, -10, -60])
    room = Manifold.cube([200, 200, 200]).translate([0, 0, -200])
    if lean:
        room = room ^ Manifold.cube([400, 400, 400]).translate([0, -200, -300]).rotate([0, 0, lean])
    return facets_of(body - room)


HOME = Pose(np.eye(3), np.array([0.0, 0, 60]))


@pytest.mark.parametrize("seed", range(20))
def test_a_corner_comes_home_from_anywhere(seed: int) -> None:
    mesh = corner()
    rng = np.random.default_rng(seed)
    start = HOME.moved(rng.uniform(-5, 5, 3), rng.uniform(-0.09, 0.09, 3), np.array([20.0, 0, 30]))
    pose = seat(mesh, start, [stop_on(mesh, HOME, BOX[stop]) for stop in STOPS])
    assert pose.of(mesh.vertices) == pytest.approx(HOME.of(mesh.vertices), abs=1e-6)


def test_a_leaning_end_touches_with_its_nearest_point_only() -> None:
    # The face side is pushed first and stays flat; the end, which leans, comes to rest on its one arris.
    mesh = corner(lean=-2.0)
    pose = seat(mesh, HOME.moved(np.array([-2.0, -3, 2]), np.zeros(3), np.zeros(3)),
                [stop_on(mesh, HOME, BOX[stop]) for stop in STOPS])
    assert pose.turn == pytest.approx(np.eye(3), abs=1e-6)
    ends = over(pose.of(mesh.corners.reshape(-1, 3)).reshape(-1, 3, 3)[mesh.normals[:, 0] > 0.9], BOX[0, -1])
    assert ends[:, 0].max() == pytest.approx(0, abs=1e-6)
    assert np.ptp(ends[:, 0]) > 0.5  # 22 wide at 2°


def test_a_wedge_against_the_second_side_turns_nothing() -> None:
    mesh = corner()
    thin = stock(np.array([0, 0, 0.3]), np.array([100, 21.7, 60]))
    pose = seat(mesh, HOME.moved(np.array([1.0, 1, 1]), np.array([0.01, 0, 0]), np.zeros(3)),
                [stop_on(mesh, HOME, thin[stop]) for stop in STOPS])
    assert pose.shift == pytest.approx(HOME.shift, abs=1e-6)


def test_without_a_fence_there_is_no_seat() -> None:
    plate = facets_of(Manifold.cube([5, 40, 70]).translate([-5, -10, -60]))
    with pytest.raises(ValueError, match="no facet"):
        stop_on(plate, HOME, BOX[2, 1])


def test_over_leaves_out_what_hangs_over() -> None:
    side = Side(2, 1, np.array([0.0, 0, 60]), np.array([100.0, 22, 60]))
    facet = np.array([[[-50, 11, 60], [50, 11, 61], [-50, 12, 60.0]]])
    points = over(facet, side)
    assert points[:, 0].min() == pytest.approx(0.2)  # an arris is eased by 0.2
    # heights change evenly over the facet: 100 along for one up
    assert points[:, 2] == pytest.approx(60 + (points[:, 0] + 50) / 100)


def test_the_outermost_points_decide() -> None:
    rng = np.random.default_rng(5)
    points: Floats = rng.normal(size=(200, 3))
    few = outermost(points)
    ways = rng.normal(size=(100, 3))
    assert len(few) < 100
    assert (few @ ways.T).max(axis=0) == pytest.approx((points @ ways.T).max(axis=0))
