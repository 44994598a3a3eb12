"""Prepared shapes: the core lies inside and shallow, the probe deep, the box about it all; on disk and back."""

from __future__ import annotations

import math
from pathlib import Path

import cadquery as cq
import numpy as np
import pytest

from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault
from deskmodel.meshes import PreparedShape, ShapeStore
from deskmodel.meshes.core import core_vertices
from deskmodel.meshes.prepare import prepare
from deskmodel.meshes.settings import DELTA
from deskmodel.solids.brep import faces_of
from deskmodel.solids.measure import PointTest, bounding_box, distance, volume
from tests.fit.shapes import Made, box, plate, screw, tube


def pointed() -> cq.Shape:
    """A member with a blind hole that ends in the drill's point: a tip where the core must step aside."""
    drill = cq.Solid.makeCylinder(4, 16, cq.Vector(0, 0, 30), cq.Vector(0, 0, -1)).fuse(
        cq.Solid.makeCone(4, 0, 2.4, cq.Vector(0, 0, 14), cq.Vector(0, 0, -1)))
    return cq.Workplane().box(30, 22, 60).cut(drill).val()


SHAPES = {
    "box": cq.Solid.makeBox(10, 20, 30), "rod": cq.Solid.makeCylinder(4, 40), "tube": tube(4.0, 1.65, 9).make(),
    "screw": screw().make(), "plate": plate(5, 4, 2.5).make(), "pointed": pointed(),
    "wedge": cq.Workplane().polyline([(0, 0), (30, 0), (30, 4)]).close().extrude(10).val(),
    "rounded": cq.Workplane().box(20, 15, 10).edges().fillet(2).val(),
    "countersunk": cq.Workplane().box(30, 30, 10).faces(">Z").workplane().cskHole(4.5, 9, 90).val(),
    "stepped": cq.Workplane().box(20, 20, 20).cut(cq.Solid.makeBox(10, 10, 10)).val(),
    "hollow": cq.Solid.makeBox(40, 40, 40).cut(cq.Solid.makeBox(30, 30, 30, cq.Vector(5, 5, 5))),
    "tip": cq.Solid.makeCone(3, 0, 9), "ball": cq.Workplane().sphere(6).val(),
    "spline": cq.Workplane().moveTo(0, 0).lineTo(20, 0).spline([(22, 8), (15, 14), (6, 12)], includeCurrent=True).close()
    .extrude(5).val(),
}


@pytest.fixture(scope="module", params=SHAPES)
def case(request: pytest.FixtureRequest) -> tuple[cq.Shape, PreparedShape]:
    shape = SHAPES[request.param]
    return shape, prepare(request.param, shape.wrapped)


def test_the_core_lies_inside_and_shallow(case: tuple[cq.Shape, PreparedShape]) -> None:
    """Sampled on core triangles, against the kernel: inside the solid, no deeper below the surface than said."""
    shape, prepared = case
    assert prepared.trusted
    rng = np.random.default_rng(2)
    rows = rng.integers(len(prepared.triangles), size=150)
    weights = rng.dirichlet((1, 1, 1), size=150)
    points = np.einsum("kij,ki->kj", prepared.core[prepared.triangles[rows]], weights)
    inside = PointTest(shape.wrapped, 1e-9)
    faces = faces_of(shape.wrapped)
    for row, point in zip(rows, points, strict=True):
        assert inside(tuple(point))  # type: ignore[arg-type]
        face = prepared.face_of(int(row))
        vertex = cq.Vertex.makeVertex(*point).wrapped
        depth = distance(vertex, faces[face]).value
        assert depth >= 0.9 * DELTA
        assert depth <= prepared.depth[face] * 1.02 + 1e-6 or depth <= prepared.reach[face]


def test_every_point_of_a_face_is_within_reach_of_its_core(case: tuple[cq.Shape, PreparedShape]) -> None:
    shape, prepared = case
    from deskmodel.fit.width import _Nearest  # nearest point of a surface, tested against brute force below

    for number, face in list(enumerate(shape.Faces()))[:12]:
        mine = prepared.triangles[prepared.face_starts[number] : prepared.face_starts[number + 1]]
        used, local = np.unique(mine, return_inverse=True)
        nearest = _Nearest(prepared.core[used], local.reshape(-1, 3).astype(np.int64))
        for edge in face.Edges():
            if edge.geomType() != "OTHER" and edge.Length() > 0:
                for part in (0.0, 0.123, 0.37, 0.5, 0.81):
                    point = np.array(edge.positionAt(part).toTuple())
                    assert nearest(point)[0] <= prepared.reach[number] + 1e-6


def test_box_volume_and_probe(case: tuple[cq.Shape, PreparedShape]) -> None:
    shape, prepared = case
    low, high = bounding_box(shape.wrapped)
    assert (prepared.box[0] <= np.array(low) + 1e-6).all()
    assert (prepared.box[1] >= np.array(high) - 1e-6).all()
    assert (prepared.box[0] >= np.array(low) - 0.01).all()
    assert (prepared.box[1] <= np.array(high) + 0.01).all()
    assert prepared.volume == pytest.approx(volume(shape.wrapped), rel=3e-3)
    assert prepared.mesh.is_watertight
    assert prepared.mesh.volume == pytest.approx(prepared.volume, rel=1e-9)
    assert PointTest(shape.wrapped)(tuple(prepared.probes[0]))
    assert distance(cq.Vertex.makeVertex(*prepared.probes[0]).wrapped, shape.Shells()[0].wrapped).value > 0.1


def test_to_bytes_and_back(case: tuple[cq.Shape, PreparedShape]) -> None:
    _, prepared = case
    again = PreparedShape.from_bytes(prepared.to_bytes())
    assert again.key == prepared.key
    assert again.axis == prepared.axis
    assert np.array_equal(again.core, prepared.core)
    assert again.trusted == prepared.trusted
    assert again.to_bytes() == prepared.to_bytes()


def test_planes_are_decided_below_a_hundredth() -> None:
    flat = prepare("box", SHAPES["box"].wrapped)
    pin, bore = prepare("rod", SHAPES["rod"].wrapped), prepare("plate", SHAPES["plate"].wrapped)
    assert 2 * flat.max_depth == pytest.approx(2 * DELTA)
    assert pin.max_depth + bore.max_depth < 0.0098  # so no pin in a bore ever needs the kernel for its verdict


def test_a_corner_steps_in_along_its_three_planes() -> None:
    vertices = np.array([[x, y, z] for x in (0.0, 1) for y in (0.0, 1) for z in (0.0, 1)])
    import trimesh

    hull = trimesh.convex.convex_hull(vertices)
    core, trusted = core_vertices(np.asarray(hull.vertices), np.asarray(hull.faces), np.full(12, 0.01))
    assert trusted.all()
    assert np.abs(core - 0.5).max(axis=0) == pytest.approx(0.49, abs=1e-4)


def test_axes() -> None:
    assert prepare("rod", SHAPES["rod"].wrapped).axis is not None
    assert prepare("plate", SHAPES["plate"].wrapped).axis is None


def test_solids_of_a_compound_are_apart() -> None:
    two = cq.Compound.makeCompound([cq.Solid.makeBox(10, 10, 10), cq.Solid.makeBox(10, 10, 10, cq.Vector(10, 0, 0))])
    prepared = prepare("two", two.wrapped)
    assert prepared.solids == 2
    assert len(prepared.vertices) == 16  # the face they share is there twice
    assert [prepared.manifold(k).volume() for k in range(2)] == pytest.approx([1000, 1000])
    assert math.isclose(prepared.volume, 2000)


def test_store_in_memory_and_on_disk(tmp_path: Path) -> None:
    store = ShapeStore(DiskCache(tmp_path))
    first = store.prepared(box(10, 20, 30))
    assert store.prepared(box(10, 20, 30)) is first
    later = ShapeStore(DiskCache(tmp_path))
    again = later.prepared(box(10, 20, 30))
    assert (later.built, later.loaded) == (0, 1)
    assert np.array_equal(again.core, first.core)
    assert volume(later.brep(box(10, 20, 30))) == pytest.approx(6000)
    assert len(later.faces(box(10, 20, 30))) == 6


def test_a_damaged_entry_is_made_again(tmp_path: Path) -> None:
    cache = DiskCache(tmp_path)
    ShapeStore(cache).prepared(box(10, 20, 30))
    cache.put("shape:box 10 20 30", b"whole, but no shape")
    cache.put("brep:box 10 20 30", b"nor this")
    store = ShapeStore(cache)
    assert store.prepared(box(10, 20, 30)).volume == pytest.approx(6000)
    assert (store.built, store.loaded) == (1, 0)


def test_a_failure_is_remembered_with_its_reason() -> None:
    calls = []

    def fail() -> cq.Shape:
        calls.append(1)
        raise RuntimeError("kernel says no")
    store = ShapeStore(DiskCache(None))
    for _ in range(3):
        with pytest.raises(BuildFault, match="kernel says no"):
            store.prepared(Made("bad", fail))
    assert len(calls) == 1
