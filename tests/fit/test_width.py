"""Thickness of pieces against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from deskmodel.fit.width import thickness
from deskmodel.meshes.inside import InsideTest


def of(mesh: trimesh.Trimesh) -> float:
    width, point, rim = thickness(np.asarray(mesh.vertices), np.asarray(mesh.faces, dtype=np.int64))
    assert rim.min(axis=0) == pytest.approx(mesh.bounds[0])
    assert rim.max(axis=0) == pytest.approx(mesh.bounds[1])
    assert InsideTest(np.asarray(mesh.vertices), np.asarray(mesh.faces))(point[None])[0]
    return width


TURNED = trimesh.transformations.rotation_matrix(0.7, [1, 2, 3])


@pytest.mark.parametrize("size", [(1, 1, 1), (600, 300, 0.01), (5, 6, 7), (100, 0.05, 0.05)])
@pytest.mark.parametrize("turn", [np.eye(4), TURNED])
def test_blocks(size: tuple[float, float, float], turn: np.ndarray) -> None:
    assert of(trimesh.creation.box(extents=size, transform=turn)) == pytest.approx(min(size), rel=1e-3)


def test_a_tetrahedron() -> None:
    # regular, edge a: the smallest width lies between two opposite edges, a / sqrt 2; its height is larger
    corners = np.array([[1.0, 1, 1], [1, -1, -1], [-1, 1, -1], [-1, -1, 1]])
    assert of(trimesh.convex.convex_hull(corners)) == pytest.approx(2.0)  # a = 2 sqrt 2


def test_a_wedge() -> None:
    # right triangle with legs 3 and 4: its smallest width is the height on the hypotenuse, 12 / 5
    prism = np.array([[0.0, 0, 0], [3, 0, 0], [0, 4, 0], [0, 0, 9], [3, 0, 9], [0, 4, 9]])
    assert of(trimesh.convex.convex_hull(prism)) == pytest.approx(2.4)


@pytest.mark.parametrize("wall", [0.01, 0.05, 0.5])
def test_a_sleeve_is_as_thick_as_its_wall(wall: float) -> None:
    sleeve = trimesh.creation.annulus(4.0, 4.0 + wall, 16, sections=120)
    flat = 4.0 * (1 - math.cos(math.pi / 120))  # what the facets take off
    assert of(sleeve) == pytest.approx(wall, abs=flat + 0.005 * wall)


@pytest.mark.parametrize("shift", [0.05, 0.3, 1.0])
def test_a_crescent_is_as_thick_as_the_shift(shift: float) -> None:
    disc = trimesh.creation.cylinder(4.0, 10, sections=160)
    moved = trimesh.creation.cylinder(4.0, 12, sections=160)
    moved.apply_translation([shift, 0, 0])
    crescent = trimesh.boolean.difference([disc, moved], engine="manifold")
    assert of(crescent) == pytest.approx(shift, rel=0.02, abs=0.002)


def test_an_angle_of_two_slabs() -> None:
    angle = trimesh.boolean.union([trimesh.creation.box(bounds=[[0, 0, 0], [20, 20, 0.05]]),
                                   trimesh.creation.box(bounds=[[0, 0, 0], [0.05, 20, 20]])], engine="manifold")
    # the ball in the corner touches both outer faces and the inner edge: diameter (2 - ...) just above the wall
    assert 0.05 <= of(angle) * (1 + 1e-4) <= 0.05 * 2 / (1 + math.sqrt(0.5)) + 1e-3


def test_a_small_thick_place_on_a_thin_shell_is_found() -> None:
    shell = trimesh.creation.annulus(4.0, 4.004, 12, sections=90)
    ring = trimesh.creation.annulus(3.99, 4.2, 0.05, sections=90)
    ring.apply_translation([0, 0, 6.0])
    both = trimesh.boolean.union([shell, ring], engine="manifold")
    assert of(both) == pytest.approx(0.05, abs=0.01)
