"""Welding, chord errors, points inside, cropping and tiles, against closed forms and a second library."""

from __future__ import annotations

import math

import cadquery as cq
import numpy as np
import pytest
import trimesh

from deskmodel.errors import BuildFault
from deskmodel.meshes.chords import chord_errors
from deskmodel.meshes.crop import crop
from deskmodel.meshes.inside import InsideTest
from deskmodel.meshes.plain import plain_faces
from deskmodel.meshes.solids import solid_from_mesh, triangles_of
from deskmodel.meshes.tiles import tiles_of
from deskmodel.meshes.weld import is_closed, is_manifold, weld
from deskmodel.solids.meshing import triangulate

BOX = np.array([[x, y, z] for x in (0.0, 2.0) for y in (0.0, 3.0) for z in (0.0, 5.0)])


def mesh_of(shape: cq.Shape, deflection: float = 0.01) -> tuple[np.ndarray, np.ndarray]:
    meshes = triangulate(shape.wrapped, deflection, 0.4)
    surface = weld([m.nodes for m in meshes], [m.triangles for m in meshes])
    return surface.vertices, surface.triangles


def drilled() -> cq.Shape:
    return (cq.Workplane().box(40, 30, 10).faces(">Z").workplane().rarray(9, 9, 4, 3).hole(5)
            .faces(">X").workplane().hole(2, 8).val())


def test_weld_joins_equal_points_and_no_others() -> None:
    square = np.array([[0.0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]])
    two = weld([square, square + np.array([1, 0, 0])], [np.array([[0, 1, 2], [0, 2, 3]])] * 2)
    assert len(two.vertices) == 6
    assert two.faces.tolist() == [0, 0, 1, 1]
    assert not is_closed(two.triangles)
    apart = weld([square, square + np.array([1.001, 0, 0])], [np.array([[0, 1, 2], [0, 2, 3]])] * 2)
    assert len(apart.vertices) == 8


def test_weld_mends_what_a_kernel_tolerance_left_open() -> None:
    vertices, triangles = mesh_of(cq.Solid.makeBox(2, 3, 5))
    rng = np.random.default_rng(1)
    halves = triangles[:6], triangles[6:]
    shaken = [vertices + rng.uniform(-4e-7, 4e-7, vertices.shape) for _ in halves]
    surface = weld(shaken, list(halves))
    assert is_manifold(surface.triangles)
    assert len(surface.vertices) == 8


def test_closed_and_manifold_are_two_things() -> None:
    vertices, triangles = mesh_of(cq.Solid.makeBox(2, 3, 5))
    assert is_manifold(triangles)
    assert not is_closed(triangles[1:])
    assert not is_closed(np.vstack([triangles[1:], triangles[:1, ::-1]]))  # one triangle turned round
    twice = np.vstack([triangles, triangles])
    assert is_closed(twice)
    assert not is_manifold(twice)
    with pytest.raises(BuildFault):
        solid_from_mesh(vertices, triangles[1:])  # its volume would be 0 without a word


@pytest.mark.parametrize(("shape", "proud", "short"), [
    (cq.Solid.makeCylinder(4, 10), False, True), (cq.Solid.makeBox(9, 9, 10).cut(cq.Solid.makeCylinder(4, 10)), True, False),
    (cq.Solid.makeCone(6, 2, 8), False, True), (cq.Workplane().sphere(5).val(), False, True),
    (cq.Solid.makeTorus(10, 2), True, True), (cq.Solid.makeBox(1, 2, 3), False, False)])
def test_chords_stand_out_on_the_right_side(shape: cq.Shape, proud: bool, short: bool) -> None:
    worst = chord_errors(triangulate(shape.wrapped, 0.02, 0.4)).max(axis=0)
    assert (worst[0] > 1e-4) == proud
    assert (worst[1] > 1e-4) == short
    assert worst.max() <= 0.03  # the mesher takes what it is asked for as a hint, so errors are measured


def test_the_chord_of_a_cylinder_is_its_sagitta() -> None:
    found = plain_faces(cq.Solid.makeCylinder(4, 10).wrapped, 0.01, 0.4)
    assert found is not None
    errors = dict(zip([face.kind for face in found[1]], chord_errors(found[1]).tolist(), strict=True))
    n = next(len(face.triangles) for face in found[1] if face.kind == "cylinder") // 2
    assert max(errors["cylinder"]) == pytest.approx(4 * (1 - math.cos(math.pi / n)), rel=1e-2)
    assert errors["plane"] == [0.0, 0.0]


def test_chords_of_a_free_surface_are_measured() -> None:
    spline = (cq.Workplane().moveTo(0, 0).lineTo(20, 0).spline([(22, 8), (15, 14), (6, 12)], includeCurrent=True).close()
              .extrude(5).val())
    meshes = triangulate(spline.wrapped, 0.05, 0.4)
    bent = chord_errors([m for m in meshes if m.kind == "other"])
    assert len(bent)
    assert 1e-3 < np.max(bent) <= 0.05 * 1.3  # with its margin


@pytest.mark.parametrize("shape", [cq.Solid.makeBox(7, 5, 3), cq.Solid.makeCylinder(4, 10), drilled(),
                                   cq.Solid.makeTorus(10, 2)], ids=["box", "cylinder", "drilled", "torus"])
def test_points_inside_against_the_winding_number(shape: cq.Shape) -> None:
    vertices, triangles = mesh_of(shape, 0.05)
    rng = np.random.default_rng(5)
    points = rng.uniform(vertices.min(axis=0) - 1, vertices.max(axis=0) + 1, (400, 3))
    # solid angles of all triangles seen from the point: Van Oosterom and Strackee, 1983
    a, b, c = np.moveaxis(vertices[triangles][None] - points[:, None, None], 2, 0)
    la, lb, lc = (np.linalg.norm(v, axis=-1) for v in (a, b, c))
    dot = lambda p, q: np.einsum("pti,pti->pt", p, q)  # noqa: E731
    angle = 2 * np.arctan2(dot(a, np.cross(b, c)), la * lb * lc + dot(a, b) * lc + dot(b, c) * la + dot(c, a) * lb)
    expected = angle.sum(axis=1) > 2 * math.pi
    assert np.array_equal(InsideTest(vertices, triangles)(points), expected)


def test_rays_through_edges_and_vertices_are_counted_once() -> None:
    vertices, triangles = mesh_of(cq.Solid.makeBox(2, 3, 5))
    inside = InsideTest(vertices, triangles)
    grid = np.array([[x, y, z] for x in (-1, 0.5, 1, 1.5, 3) for y in (-1, 0.75, 1.5, 2.25, 4) for z in (-1, 1.25, 2.5, 6)])
    expected = ((grid > 0) & (grid < [2, 3, 5])).all(axis=1)
    assert np.array_equal(inside(grid), expected)  # the middles lie under diagonals, edges and vertices


@pytest.mark.parametrize("seed", range(30))
def test_what_a_box_holds(seed: int) -> None:
    vertices, triangles = mesh_of(drilled(), 0.05)
    rng = np.random.default_rng(seed)
    middle, half = rng.uniform(vertices.min(axis=0), vertices.max(axis=0)), rng.uniform(0.4, 15, 3)
    low, high = middle - half, middle + half
    corners = vertices[triangles]
    near = (corners.min(axis=1) <= high).all(axis=1) & (corners.max(axis=1) >= low).all(axis=1)
    found = crop(corners[near], low, high, InsideTest(vertices, triangles))
    # the same by the boolean of a library that is sure to close
    block = trimesh.creation.box(bounds=[low, high])
    whole = solid_from_mesh(vertices, triangles) ^ solid_from_mesh(block.vertices, block.faces)
    assert (0.0 if found is None else solid_from_mesh(*found).volume()) == pytest.approx(whole.volume(), abs=1e-6)
    if found is not None:
        assert is_closed(found[1])


def test_a_box_in_a_plane_of_the_shape_is_not_cropped() -> None:
    vertices, triangles = mesh_of(cq.Solid.makeBox(7, 5, 3))
    assert crop(vertices[triangles], np.array([0.0, 1, 1]), np.array([2.0, 2, 2]), InsideTest(vertices, triangles)) is None


def test_tiles_hold_every_triangle_once() -> None:
    x, y = np.meshgrid(np.arange(80.0), np.arange(80.0))
    vertices = np.column_stack([x.ravel(), y.ravel(), np.sin(x.ravel())])
    k = np.arange(6400).reshape(80, 80)
    a, b, c, d = (part.ravel() for part in (k[:-1, :-1], k[:-1, 1:], k[1:, :-1], k[1:, 1:]))
    triangles = np.vstack([np.column_stack([a, b, c]), np.column_stack([b, d, c]), [[0, 79, 6399]]])
    tiles = tiles_of(vertices, triangles)
    assert len(tiles) > 3
    assert sorted(np.concatenate([tile.rows for tile in tiles]).tolist()) == list(range(len(triangles)))
    for tile in tiles:
        inside = vertices[triangles[tile.rows]]
        assert (inside >= tile.low).all()
        assert (inside <= tile.high).all()


def test_the_order_of_a_solid_is_its_own() -> None:
    first, second = mesh_of(cq.Solid.makeBox(2, 3, 5)), mesh_of(cq.Solid.makeCylinder(1, 9))
    one = triangles_of(solid_from_mesh(*first) ^ solid_from_mesh(*second))
    b, a = solid_from_mesh(*second), solid_from_mesh(*first)  # made the other way round
    two = triangles_of(a ^ b)
    assert np.array_equal(one[0], two[0])
    assert np.array_equal(one[1], two[1])
