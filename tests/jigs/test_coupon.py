"""The print-calibration coupon measured on its mesh, by another library than the one that built it."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import trimesh

from deskmodel.jigs.coupon import calibration_coupon, teardrop
from deskmodel.meshes.store import ShapeStore
from deskmodel.part import Bodies
from deskmodel.profiles import Profile
from deskmodel.solids.part_shape import removed_shape
from deskmodel.workshop import Bush, Printer

BUSHES = [Bush(8.02, 12, 16, "press", "test"), Bush(12.025, 18, 25, "slide", "test"), Bush(3, 4, 6, "press", "test")]
PRINTERS = [Printer((220, 220, 250), 0.4, 0.1, 3, "test"), Printer((180, 180, 180), 0.8, 0.0, 1.0, "test")]
CASES = [(BUSHES[0], PRINTERS[0]), (BUSHES[1], PRINTERS[0]), (BUSHES[2], PRINTERS[1])]


@pytest.fixture(scope="module", params=range(len(CASES)))
def made(request: pytest.FixtureRequest) -> tuple[object, trimesh.Trimesh, Bush, Printer]:
    bush, printer = CASES[request.param]
    coupon = calibration_coupon(bush, printer)
    shape = ShapeStore().prepared(removed_shape(Bodies(coupon.body.added), coupon.body.removed, "coupon"))
    return coupon, trimesh.Trimesh(shape.vertices, shape.triangles, process=False), bush, printer


def crossings(mesh: trimesh.Trimesh, y: float, z: float) -> np.ndarray:
    """x of every place where the line at (y, z) along x passes through the surface."""
    a, b, c = (mesh.triangles[:, i] for i in range(3))

    def side(p: np.ndarray, q: np.ndarray) -> np.ndarray:
        return (q[:, 1] - p[:, 1]) * (z - p[:, 2]) - (q[:, 2] - p[:, 2]) * (y - p[:, 1])

    weights = np.stack([side(b, c), side(c, a), side(a, b)], axis=1)
    hit = (weights > 0).all(axis=1) | (weights < 0).all(axis=1)
    shares = weights[hit] / weights[hit].sum(axis=1, keepdims=True)
    return np.sort((shares * mesh.triangles[hit][:, :, 0]).sum(axis=1))


def test_one_closed_body_as_large_as_it_says(made: tuple) -> None:
    coupon, mesh, _, printer = made
    assert mesh.is_watertight
    assert mesh.body_count == 1
    assert mesh.volume > 0
    assert mesh.bounds[0] == pytest.approx((0, 0, 0), abs=1e-6)
    assert mesh.bounds[1] == pytest.approx(coupon.body.size, abs=1e-6)
    for side in coupon.body.size[:2]:
        assert side % 10 == pytest.approx(0, abs=1e-9)  # lengths that are found on a rule
        assert side <= min(printer.bed[:2])


def test_seats_are_as_wide_as_the_table_says(made: tuple) -> None:
    """The corners of the mesh round each seat lie on its circle: standing ones in the underside, lying ones in the back."""
    coupon, mesh, bush, printer = made
    extra = 0.1 if bush.seat == "slide" else 0.0  # more room where the bush slides
    below = mesh.vertices[np.abs(mesh.vertices[:, 2]) < 1e-6][:, :2]
    behind = mesh.vertices[np.abs(mesh.vertices[:, 1] - coupon.body.size[1]) < 1e-6][:, [0, 2]]
    for seat in coupon.seats:
        assert seat.diameter == pytest.approx(bush.outside + 2 * (seat.allowance + extra))
        away = np.linalg.norm(below - (seat.x, coupon.standing), axis=1)
        rim = away[away < seat.diameter / 2 + 0.9]
        assert len(rim) > 20
        assert rim == pytest.approx(np.full(len(rim), seat.diameter / 2), abs=1e-6)
        away = behind - (seat.x, coupon.lying)
        rim = np.linalg.norm(away, axis=1)
        round_ = (rim < seat.diameter / 2 + 0.9) & (away[:, 1] < 0)
        assert round_.sum() > 10
        assert rim[round_] == pytest.approx(np.full(round_.sum(), seat.diameter / 2), abs=1e-6)
        apex = away[(np.abs(away[:, 0]) < 1e-6) & (away[:, 1] > 0) & (away[:, 1] < seat.diameter)]
        assert apex[:, 1].max() == pytest.approx(seat.diameter / math.sqrt(2))  # roofs of 45°
    steps = [b.allowance - a.allowance for a, b in itertools.pairwise(coupon.seats)]
    assert steps == pytest.approx([0.05] * 4)
    assert any(seat.allowance == pytest.approx(printer.seat) for seat in coupon.seats)


def test_slits_and_fins(made: tuple) -> None:
    """Rays through them: what is open is as wide as the slit, what is met as thick as the fin."""
    coupon, mesh, _, printer = made
    for y, z, wanted, solid in ((4.0, coupon.deep / 2, coupon.slits, False), (6.0, coupon.deep + 4.0, coupon.fins, True)):
        xs = crossings(mesh, y + 0.0123, z + 0.0171)
        edges = xs if solid else xs[1:-1]  # without the two sides of the body
        assert len(edges) == 2 * len(wanted)
        for (width, middle), low, high in zip(wanted, edges[::2], edges[1::2], strict=True):
            assert high - low == pytest.approx(width, abs=1e-3)
            assert (high + low) / 2 == pytest.approx(middle, abs=1e-3)
    assert coupon.fins[-1][0] >= printer.wall


def test_it_prints_without_support(made: tuple) -> None:
    """Nothing that looks down does so more steeply than 45°, but for what lies on the bed and the roofs' own facets."""
    _, mesh, _, _ = made
    down = mesh.face_normals[:, 2] < -math.sin(math.radians(45)) - 1e-3
    assert np.abs(mesh.triangles_center[down][:, 2]).max() < 1e-6


def test_a_wall_is_left_between_seats(made: tuple) -> None:
    coupon, _, _, printer = made
    wall = max(printer.wall, 2.0)
    for a, b in itertools.pairwise(coupon.seats):
        assert b.x - a.x - (a.diameter + b.diameter) / 2 >= wall - 1e-9
    widest = coupon.seats[-1].diameter / 2
    assert coupon.seats[0].x - coupon.seats[0].diameter / 2 >= wall - 1e-9
    assert coupon.body.size[0] - coupon.seats[-1].x - widest >= wall - 1e-9
    assert coupon.body.size[2] - coupon.lying - math.sqrt(2) * widest >= wall - 1e-9


def test_teardrop_holds_its_circle() -> None:
    drop = teardrop(5.0)
    assert isinstance(drop, Profile)
    # three quarters of a disc, and the square on its corner: 3/4 π r² + r²
    assert drop.area == pytest.approx(0.75 * math.pi * 25 + 25)
    assert drop.bounds == pytest.approx((-5, -5, 5, 5 * math.sqrt(2)))
