"""B-reps as bytes: the same geometry comes back, in the same order, however it was meshed in between."""

from __future__ import annotations

import cadquery as cq
import pytest

from deskmodel.errors import BuildFault
from deskmodel.frames import Pose, axis_angle
from deskmodel.solids.brep import content_hash, faces_of, from_bytes, moved, solids_of, to_bytes
from deskmodel.solids.measure import area, bounding_box, volume
from deskmodel.solids.meshing import triangulate


def plate() -> cq.Shape:
    return cq.Workplane().box(40, 30, 3).faces(">Z").workplane().pushPoints([(-10, 0), (10, 0)]).hole(5).val()


def test_bytes_and_back() -> None:
    shape = plate().wrapped
    again = from_bytes(to_bytes(shape))
    assert volume(again) == pytest.approx(volume(shape), rel=1e-12)
    assert [area(face) for face in faces_of(again)] == pytest.approx([area(face) for face in faces_of(shape)], rel=1e-12)
    assert len(solids_of(again)) == 1


def test_triangles_do_not_count() -> None:
    shape = plate().wrapped
    before = content_hash(shape)
    triangulate(shape, 0.1, 0.4)
    cq.Shape(shape).tessellate(0.5)
    assert content_hash(shape) == before
    assert content_hash(plate().wrapped) == before
    assert content_hash(cq.Workplane().box(40, 30, 3.001).val().wrapped) != before


def test_rubbish_is_a_build_fault() -> None:
    with pytest.raises(BuildFault):
        from_bytes(b"no shape at all")
    with pytest.raises(BuildFault):
        from_bytes(to_bytes(plate().wrapped)[:200])


def test_moved() -> None:
    # box 40 x 30 x 3 about the origin, turned 90 degrees about z, moved by (100, 0, 0): 30 along x, 40 along y
    there = moved(plate().wrapped, Pose(axis_angle((0, 0, 1), 90).rotation, (100.0, 0.0, 0.0)))
    low, high = bounding_box(there)
    assert low == pytest.approx((85, -20, -1.5), abs=1e-6)
    assert high == pytest.approx((115, 20, 1.5), abs=1e-6)
