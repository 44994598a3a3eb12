"""Exact measures against closed forms."""

from __future__ import annotations

import math

import cadquery as cq
import pytest

from deskmodel.errors import BuildFault
from deskmodel.frames import Pose, axis_angle
from deskmodel.solids.brep import faces_of, solids_of
from deskmodel.solids.measure import PointTest, area, bounding_box, common, distance, is_valid, volume
from deskmodel.solids.relief import without_rings
from deskmodel.solids.revolution import axis_of_revolution


def box(x: float, y: float, z: float) -> object:
    return cq.Solid.makeBox(x, y, z).wrapped


def cylinder(r: float, h: float) -> object:
    return cq.Solid.makeCylinder(r, h).wrapped


def test_distance_of_faces_and_shapes() -> None:
    found = distance(box(10, 10, 10), box(5, 5, 5), Pose(origin=(13.0, 14.0, 10.0)))
    assert found.value == pytest.approx(5.0)  # 3, 4, 0
    assert found.point_a == pytest.approx((10, 10, 10))
    assert found.point_b == pytest.approx((13, 14, 10))
    # two cylinders of 4 and 2, axes 20 apart and square to each other: 20 - 4 - 2
    turned = Pose(axis_angle((0, 1, 0), 90).rotation, (-50.0, 20.0, 15.0))
    assert distance(cylinder(4, 30), cylinder(2, 100), turned).value == pytest.approx(14.0)
    nearest = min(distance(f, g, turned).value for f in faces_of(cylinder(4, 30)) for g in faces_of(cylinder(2, 100)))
    assert nearest == pytest.approx(14.0)


def test_volume_area_box_validity() -> None:
    assert volume(cylinder(4, 40)) == pytest.approx(math.pi * 16 * 40, rel=1e-9)
    assert area(cylinder(4, 40)) == pytest.approx(2 * math.pi * 4 * 44, rel=1e-9)
    low, high = bounding_box(cylinder(4, 40))
    assert low == pytest.approx((-4, -4, 0), abs=1e-6)
    assert high == pytest.approx((4, 4, 40), abs=1e-6)
    assert is_valid(box(1, 2, 3))


def test_common() -> None:
    shared = common(box(10, 10, 10), box(10, 10, 10), Pose(origin=(9.95, 0.0, 5.0)))
    assert shared is not None
    assert volume(shared) == pytest.approx(0.05 * 10 * 5, rel=1e-9)
    assert common(box(10, 10, 10), box(10, 10, 10), Pose(origin=(10.0, 0.0, 0.0))) is None  # they touch
    assert common(box(10, 10, 10), box(10, 10, 10), Pose(origin=(11.0, 0.0, 0.0))) is None
    two = common(box(30, 10, 10), cq.Compound.makeCompound([cq.Solid.makeBox(2, 2, 2), cq.Solid.makeBox(
        2, 2, 2, cq.Vector(20, 0, 0))]).wrapped)
    assert two is not None
    assert len(solids_of(two)) == 2
    assert volume(two) == pytest.approx(16)


def test_points_inside() -> None:
    inside = PointTest(cq.Solid.makeBox(40, 40, 40).cut(cq.Solid.makeBox(30, 30, 30, cq.Vector(5, 5, 5))).wrapped)
    assert inside((2.0, 20.0, 20.0))
    assert not inside((20.0, 20.0, 20.0))
    assert not inside((50.0, 20.0, 20.0))


def test_a_relieved_screw() -> None:
    rod = cylinder(2.0, 12.0)
    left = without_rings(rod, [(Pose(), 1.65, 2.0, 2.0, 10.0)])
    gone = math.pi * (2.0**2 - 1.65**2) * 8
    assert volume(left) == pytest.approx(volume(rod) - gone, rel=1e-9)
    # a ring that takes everything away leaves nothing to judge
    with pytest.raises(BuildFault):
        without_rings(rod, [(Pose(), 0.0, 2.0, -1.0, 13.0)])
    with pytest.raises(BuildFault):
        without_rings(rod, [(Pose(), 2.0, 1.0, 0.0, 1.0)])


def test_axes_of_revolution() -> None:
    tilted = cq.Solid.makeCylinder(4, 40, cq.Vector(1, 2, 3), cq.Vector(1, 1, 0))
    found = axis_of_revolution(tilted.wrapped)
    assert found is not None
    point, way = found
    assert abs(way[0]) == pytest.approx(math.sqrt(0.5))
    assert abs(way[2]) < 1e-12
    # the axis passes (1, 2, 3): its point nearest the origin is square to it
    assert sum(p * w for p, w in zip(point, way, strict=True)) == pytest.approx(0, abs=1e-9)
    assert point == pytest.approx((-0.5, 0.5, 3.0))
    tube = cq.Solid.makeCylinder(4, 10).cut(cq.Solid.makeCylinder(1.65, 10))
    assert axis_of_revolution(tube.wrapped) is not None
    assert axis_of_revolution(box(5, 5, 5)) is None
    slotted = cq.Solid.makeCylinder(4, 10).cut(cq.Solid.makeBox(1, 20, 2, cq.Vector(-0.5, -10, 8)))
    assert axis_of_revolution(slotted.wrapped) is None
    aside = cq.Solid.makeCylinder(4, 10).cut(cq.Solid.makeCylinder(1, 10, cq.Vector(1, 0, 0)))
    assert axis_of_revolution(aside.wrapped) is None
    crossed = cq.Solid.makeCylinder(4, 20).cut(cq.Solid.makeCylinder(1, 20, cq.Vector(-10, 0, 10), cq.Vector(1, 0, 0)))
    assert axis_of_revolution(crossed.wrapped) is None
    half = cq.Workplane("XZ").rect(4, 10, centered=False).revolve(180, (0, 0, 0), (0, 1, 0)).val()
    assert axis_of_revolution(half.wrapped) is None
