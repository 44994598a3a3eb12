"""Shapes of the page: what is packed is read again, what is made coarser stays closed and as near as it says."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.features import Hole, VentField
from deskmodel.fit import FitEngine
from deskmodel.meshes.ordered import ordered
from deskmodel.page import read_blob, shape_blob
from deskmodel.page.coarser import MANY_DROP, coarser
from deskmodel.page.shape_blob import ROUNDING
from deskmodel.part import Member, Plate
from deskmodel.profiles import rectangle
from deskmodel.solids.part_shape import shape_of

Mesh = tuple[NDArray[np.float64], NDArray[np.int64], NDArray[np.int64]]


@cache
def bored() -> Mesh:
    """A rail of 200 × 22 × 60 with a bore of 20 and a blind hole of 8 with a drill's point."""
    rail = Member("rail", (22, 60), 200, "ash", (Hole("face side", (60, 30), 20), Hole("face edge", (140, 11), 8, 25, 118)))
    return meshed(rail)


@cache
def vented() -> Mesh:
    return meshed(Plate("plate", rectangle(200, 120), 1.5, "steel", (VentField((20, 20), 18, 9),)))


def meshed(part: Member | Plate) -> Mesh:
    prepared = FitEngine().store.prepared(shape_of(part))
    faces = np.repeat(np.arange(prepared.faces), np.diff(prepared.face_starts))
    return prepared.vertices, prepared.triangles.astype(np.int64), faces


def volume(points: NDArray[np.float64], triangles: NDArray[np.int64]) -> float:
    corners = points[triangles]
    return float((corners[:, 0] * np.cross(corners[:, 1], corners[:, 2])).sum() / 6)


@pytest.mark.parametrize("mesh", [bored, vented])
def test_what_is_packed_is_read_again(mesh: object) -> None:
    points, triangles, faces = mesh()  # type: ignore[operator]
    data = shape_blob(points, triangles, faces, 0.004)
    assert data == shape_blob(points.copy(), triangles.copy(), faces.copy(), 0.004)
    read = read_blob(data)
    assert np.abs(read.vertices[read.triangles] - points[triangles]).max() <= ROUNDING + 1e-12
    assert read.faces.tolist() == np.bincount(faces).tolist()
    assert read.chord == pytest.approx(0.004)
    assert volume(read.vertices, read.triangles) == pytest.approx(volume(points, triangles), rel=1e-4)
    assert len(data) < 0.2 * (points.nbytes + triangles.nbytes)


def test_edges_are_drawn_where_faces_meet_at_an_angle() -> None:
    points, triangles, faces = bored()
    read = read_blob(shape_blob(points, triangles, faces, 0.0))
    ends = read.vertices[read.edges]
    length = np.linalg.norm(ends[:, 0] - ends[:, 1], axis=1).sum()
    # twelve edges of the rail, both rims of the bore, the rim of the blind hole and where its point begins; no seam
    expected = 4 * (200 + 22 + 60) + 2 * math.pi * 20 + 2 * math.pi * 8
    assert length == pytest.approx(expected, rel=1e-3)


@given(st.lists(st.tuples(*[st.floats(-1e4, 1e4)] * 3), min_size=3, max_size=40), st.data())
def test_any_triangles(points: list[tuple[float, float, float]], data: st.DataObject) -> None:
    triangles = np.array(data.draw(st.lists(st.tuples(*[st.integers(0, len(points) - 1)] * 3), min_size=1, max_size=30)))
    faces = np.array(sorted(data.draw(st.integers(0, 3)) for _ in triangles))
    read = read_blob(shape_blob(np.array(points), triangles, faces, 0.01))
    assert np.abs(read.vertices[read.triangles] - np.array(points)[triangles]).max() <= ROUNDING + 1e-9
    assert read.faces.sum() == len(triangles)


@pytest.mark.parametrize("damage", [lambda b: b[:20], lambda b: b[:-3], lambda b: b"DMS2" + b[4:], lambda b: b"",
                                    lambda b: b[:8] + b"\xff\0\0\0" + b[12:], lambda b: b[:28] + bytes(40)])
def test_a_damaged_block_is_refused(damage: object) -> None:
    data = shape_blob(*bored(), 0.0)
    with pytest.raises(BuildFault):
        read_blob(damage(data))  # type: ignore[operator]


def test_the_farthest_places_come_back() -> None:
    """A step from one end to the other takes all 32 bits."""
    points, triangles, faces = bored()
    far = points * (4.999e5 / np.abs(points).max()) * np.where(np.arange(len(points)) % 2, 1.0, -1.0)[:, None]
    read = read_blob(shape_blob(far, triangles, faces, 0.0))
    assert np.abs(read.vertices - far).max() <= ROUNDING + 1e-9


def test_nothing_and_nonsense_are_refused() -> None:
    points, triangles, faces = bored()
    with pytest.raises(BuildFault, match="without triangles"):
        shape_blob(points, triangles[:0], faces[:0], 0.0)
    with pytest.raises(BuildFault, match="500 m"):
        shape_blob(points * 1e9, triangles, faces, 0.0)
    with pytest.raises(BuildFault, match="order"):
        shape_blob(points, triangles, faces[::-1], 0.0)


@pytest.mark.parametrize("mesh", [bored, vented])
def test_a_coarser_mesh_is_closed_smaller_and_near(mesh: object) -> None:
    points, triangles, faces = mesh()  # type: ignore[operator]
    fewer, left, moved = coarser(points, triangles, faces)
    assert len(fewer) < 0.7 * len(triangles)
    assert len(left) == len(fewer)
    assert 0 < moved <= 4 * MANY_DROP
    after = trimesh.Trimesh(points, fewer, process=False)
    assert after.is_watertight  # another library's judgement
    assert after.is_winding_consistent
    # every corner that went lies no further from what is left than it says, and the box stays
    gone = np.setdiff1d(np.unique(triangles), np.unique(fewer))
    assert len(gone)
    _, off, _ = trimesh.proximity.closest_point_naive(after, points[gone[:: max(1, len(gone) // 60)]])
    assert off.max() <= moved + 1e-9
    assert np.allclose(after.bounds, [points.min(axis=0), points.max(axis=0)], atol=1e-9)
    # a regular k-gon in a circle has the area r² k sin(2π/k) / 2: holes of 5 with 14 corners are 3.3 % smaller, and 162 of
    # them in a plate of 1.5 leave 0.5 % more of it; everything else changes by less
    assert after.volume == pytest.approx(volume(points, triangles), rel=6e-3)


def test_it_does_not_matter_how_points_are_numbered() -> None:
    points, triangles, faces = vented()
    order = np.random.default_rng(7).permutation(len(points))
    number = np.argsort(order)
    fewer, _, _ = coarser(points[order], number[triangles], faces)
    assert len(fewer) < 0.7 * len(triangles)
    assert trimesh.Trimesh(points[order], fewer, process=False).is_watertight


def test_meshes_are_made_coarser_as_the_session_hands_them_over() -> None:
    points, triangles, faces = ordered(*vented())
    assert len(coarser(points, triangles, faces)[0]) < 0.6 * len(triangles)


def test_what_has_no_curves_is_left_as_it_is() -> None:
    points, triangles, faces = meshed(Member("rail", (22, 60), 200, "ash"))
    fewer, _, moved = coarser(points, triangles, faces)
    assert moved == 0.0
    assert (fewer == triangles).all()
