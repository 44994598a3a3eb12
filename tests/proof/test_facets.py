"""Cylinders fitted to facets, facets clipped, holes read from solids: against numbers that are known beforehand."""

from __future__ import annotations

from pathlib import Path

import cadquery as cq
import numpy as np
import pytest
from manifold3d import CrossSection, Manifold

from tests.proof.cylinders import seats
from tests.proof.facets import Floats, Mesh, clip, read_mesh, write_mesh
from tests.proof.made import facets_of, member
from tests.proof.members import read_member, rounds
from tests.proof.tools import Bit, nearest_behind


def block(bore: Manifold) -> Mesh:
    return facets_of(Manifold.cube([40, 40, 20], True) - bore)


def turned(mesh: Mesh, degrees: float) -> Mesh:
    a = np.radians(degrees)
    r = np.array([[1, 0, 0], [0, np.cos(a), -np.sin(a)], [0, np.sin(a), np.cos(a)]])
    return Mesh(mesh.vertices @ r.T, mesh.faces)


@pytest.mark.parametrize("steps", [16, 31, 64, 180])
@pytest.mark.parametrize("text", [False, True])
def test_a_bore(tmp_path: Path, steps: int, text: bool) -> None:
    mesh = block(Manifold.cylinder(30, 6.1, 6.1, steps, True).translate([3, -2, 0]))
    write_mesh(tmp_path / "block.stl", mesh, text)
    (seat,) = seats(read_mesh(tmp_path / "block.stl"))
    # all corners lie on the cylinder: its radius is that of the circle round the polygon, its bound one sagitta
    assert seat.radius == pytest.approx(6.1, abs=1e-5)
    assert seat.bound == pytest.approx(6.1 * (1 - np.cos(np.pi / steps)), abs=1e-4)
    assert seat.length == pytest.approx(20, abs=1e-5)
    assert np.cross(seat.axis, [0, 0, 1]) == pytest.approx(np.zeros(3), abs=1e-6)
    assert seat.point[:2] == pytest.approx([3, -2], abs=1e-5)


@pytest.mark.parametrize("degrees", [0.0, 0.3, 12.0, 90.0])
def test_an_axis_in_any_direction(degrees: float) -> None:
    mesh = turned(block(Manifold.cylinder(30, 4, 4, 48, True)), degrees)
    (seat,) = seats(mesh)
    a = np.radians(degrees)
    assert np.cross(seat.axis, [0, -np.sin(a), np.cos(a)]) == pytest.approx(np.zeros(3), abs=1e-9)


def test_a_bore_under_a_roof() -> None:
    leg = 6.1 / np.sqrt(2)
    drop = CrossSection.circle(6.1, 40) + CrossSection([[(leg, leg), (0, 2 * leg), (-leg, leg)]])
    (seat,) = seats(block(Manifold.extrude(drop, 30).translate([1, 0, -15])))
    assert seat.radius == pytest.approx(6.1, abs=1e-9)
    assert seat.point == pytest.approx([1, 0, 0], abs=1e-9)


def test_a_bore_cut_askew_is_within_a_sagitta() -> None:
    # a cut across facets leaves corners on chords, inside the circle
    tilted = Manifold.cylinder(60, 6, 6, 24, True).rotate([9, 0, 0])
    (seat,) = seats(block(tilted))
    assert seat.residual <= seat.bound
    assert 6 - seat.bound <= seat.radius <= 6 + 1e-9
    assert np.degrees(np.arccos(abs(seat.axis[2]))) == pytest.approx(9, abs=0.02)


@pytest.mark.parametrize("other", [
    Manifold.cube([12, 12, 30], True), Manifold.cylinder(30, 6, 5, 48, True), Manifold.sphere(9, 48),
    Manifold.cylinder(4, 6, 6, 48, True).translate([0, 0, 11])], ids=["square", "cone", "ball", "shallow"])
def test_what_holds_no_bush_is_no_seat(other: Manifold) -> None:
    assert seats(block(other)) == []


def test_a_boss_is_no_seat() -> None:
    assert seats(facets_of(Manifold.cube([40, 40, 5], True) + Manifold.cylinder(20, 6, 6, 48))) == []


def test_a_body_with_a_hole_in_its_skin_is_refused(tmp_path: Path) -> None:
    mesh = block(Manifold.cylinder(30, 4, 4, 12, True))
    write_mesh(tmp_path / "open.stl", Mesh(mesh.vertices, mesh.faces[1:]))
    with pytest.raises(ValueError, match="do not close"):
        read_mesh(tmp_path / "open.stl")


def test_volume_and_bodies() -> None:
    two = Manifold.cube([1, 2, 3]) + Manifold.cube([1, 1, 1]).translate([5, 0, 0])
    mesh = facets_of(two)
    assert (mesh.bodies, mesh.closed) == (2, True)
    assert mesh.volume == pytest.approx(7, rel=1e-12)


@pytest.mark.parametrize(("limit", "area"), [(2.0, 1.0), (1.0, 1.0), (0.25, 0.25), (0.0, 0.0), (-1.0, 0.0)])
def test_clip(limit: float, area: float) -> None:
    square = np.array([[0, 0, 5], [1, 0, 5], [1, 1, 5], [0, 1, 5.0]])
    assert flat_area(clip(square, np.array([1.0, 0, 0]), limit)) == pytest.approx(area, abs=1e-12)


def flat_area(polygon: Floats) -> float:
    after = np.roll(polygon, -1, axis=0)
    return abs(float((polygon[:, 0] * after[:, 1] - polygon[:, 1] * after[:, 0]).sum())) / 2


def test_holes_of_a_member(tmp_path: Path) -> None:
    member(tmp_path / "rail.step", (200, 22, 60), [("datum end", 11, 15, 26), ("far end", 10, 45, 20),
                                                   ("face side", 80, 15, 16), ("back side", 120, 45, 12)])
    found = read_member(tmp_path / "rail.step")
    assert found.size == pytest.approx([200, 22, 60])
    holes = {hole.side: hole for hole in found.holes}
    assert len(found.holes) == len(holes) == 4
    expected = {"datum end": ((0, 11, 45), (1, 0, 0), 26), "far end": ((200, 10, 15), (-1, 0, 0), 20),
                "face side": ((80, 0, 45), (0, 1, 0), 16), "back side": ((120, 22, 15), (0, -1, 0), 12)}
    for side, (entry, way, depth) in expected.items():
        assert holes[side].entry == pytest.approx(entry, abs=1e-9)
        assert holes[side].way == pytest.approx(way, abs=1e-9)
        assert (holes[side].radius, holes[side].depth) == pytest.approx((4, depth))


def test_a_peg_is_no_hole() -> None:
    peg = cq.Workplane().box(40, 40, 10).faces(">Z").workplane().circle(6).extrude(20)
    hole = cq.Workplane().box(40, 40, 10).faces(">Z").workplane().hole(12)
    assert rounds(peg.val().wrapped) == []
    assert [(r.radius, r.high - r.low) for r in rounds(hole.val().wrapped)] == [(6, 10)]


def test_the_tip_of_a_drill() -> None:
    assert Bit(8, 75, 118).tip == pytest.approx(4 / np.tan(np.radians(59)))  # 2.403


def test_room_behind_a_point() -> None:
    # a wall 11 beside the axis, from 5 below the point to 7 above it
    wall = np.array([[[11, -50, -5], [11, 50, -5], [11, 50, 7]], [[11, -50, -5], [11, 50, 7], [11, -50, 7.0]]])
    up = np.array([0, 0, 1.0])
    assert nearest_behind(wall, np.zeros(3), up) == pytest.approx(11)
    assert nearest_behind(wall, np.array([0, 0, 7.5]), up) == np.inf
    floor = np.array([[[-9, -9, 3], [9, -9, 3], [0, 20, 3.0]]])
    assert nearest_behind(floor, np.zeros(3), up) == 0


@pytest.mark.parametrize(("sides", "wide"), [((40, 40), 20), ((40, 2), 40 * 2 * 2 / 84)])
def test_how_wide_a_strip_is(sides: tuple[float, float], wide: float) -> None:
    # twice the area over the length of the rim: half its side for a square, about its breadth for a long strip
    mesh = facets_of(Manifold.cube([*sides, 20], True))
    strip = next(patch for patch in mesh.patches if patch.normal[2] < -0.9)
    assert strip.rim == pytest.approx(2 * sum(sides))
    assert 2 * strip.area / strip.rim == pytest.approx(wide)
