"""GLB against a reader of its own kind (trimesh) and against the rules of glTF 2.0 (Khronos, sections 3 and 5)."""

from __future__ import annotations

import io
import json
import struct

import numpy as np
import pytest
import trimesh

from deskmodel.errors import BuildFault
from deskmodel.exporters._glb import GlbMaterial, GlbNode, GlbShape, check_glb, glb_bytes, read_glb
from deskmodel.exporters._normals import corner_normals
from deskmodel.frames import Pose, axis_angle

HOSTILE = ["../x", "<script>alert(1)</script>", 'quote " and \' and \\', "=cmd|' /C calc'!A0", "line\nbreak", "桌子 Ø ß 😀",
           "x" * 300]
WOOD = GlbMaterial("ash", (0.82, 0.68, 0.47), 0.0, 0.75)
GLASS = GlbMaterial("glass", (0.5, 0.6, 0.7), 0.0, 0.1, 0.35)


def box(x: float, y: float, z: float) -> GlbShape:
    """A box from the origin, two triangles a face, faces numbered 0 to 5."""
    mesh = trimesh.creation.box((x, y, z))
    mesh.apply_translation((x / 2, y / 2, z / 2))
    faces = np.unique(np.round(mesh.face_normals, 6), axis=0, return_inverse=True)[1].reshape(-1)
    return GlbShape(np.asarray(mesh.vertices, float), np.asarray(mesh.faces, np.int64), faces.astype(np.int64))


def cylinder(radius: float, height: float, sections: int) -> GlbShape:
    """About z from 0: face 0 the side, 1 and 2 the ends."""
    mesh = trimesh.creation.cylinder(radius, height, sections=sections)
    mesh.apply_translation((0, 0, height / 2))
    up = np.round(mesh.face_normals[:, 2], 6)
    return GlbShape(np.asarray(mesh.vertices, float), np.asarray(mesh.faces, np.int64),
                    np.where(up > 0.5, 1, np.where(up < -0.5, 2, 0)).astype(np.int64))


SHAPES = {"rail": box(900, 22, 60), "dowel": cylinder(4, 40, 32)}
NODES = [GlbNode("front", "rail", WOOD, Pose(origin=(0, 0, 1.5))),
         GlbNode("turned", "rail", WOOD, axis_angle((0, 0, 1), 90).moved((22, 22, 1.5))),
         GlbNode("lid", "rail", GLASS, axis_angle((1, 2, 3), 40).moved((10, 20, 30))),
         *(GlbNode(name, "dowel", WOOD, Pose(origin=(30.0 * i, 11, 20))) for i, name in enumerate(HOSTILE))]
EXTRAS = {"desk": "d", "revision": "abc"}


def test_another_reader_finds_every_part_in_metres_y_up() -> None:
    data = glb_bytes("desk <b>", SHAPES, NODES, EXTRAS)
    scene = trimesh.load(io.BytesIO(data), file_type="glb")
    assert {n.name for n in NODES} <= set(scene.graph.nodes)
    for node in NODES:
        matrix, geometry = scene.graph[node.name]
        found = trimesh.transform_points(scene.geometry[geometry].vertices, matrix)
        shape = SHAPES[node.shape]
        points = shape.vertices @ np.array(node.pose.rotation).T + np.array(node.pose.origin)
        # x right, y back, z up (mm) is x right, y up, -z back (m)
        expected = np.stack([points[:, 0], points[:, 2], -points[:, 1]], axis=1) / 1000.0
        assert np.abs(found.min(axis=0) - expected.min(axis=0)).max() < 1e-6
        assert np.abs(found.max(axis=0) - expected.max(axis=0)).max() < 1e-6
        assert scene.geometry[geometry].volume == pytest.approx(
            trimesh.Trimesh(shape.vertices, shape.triangles).volume * 1e-9, rel=1e-5)
    assert len(scene.geometry) == 3  # rail in wood, rail in glass, dowel: equal ones are shared


def test_the_file_keeps_the_rules_of_gltf() -> None:
    data = glb_bytes("d", SHAPES, NODES, EXTRAS)
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    size, = struct.unpack_from("<I", data, 12)
    assert size % 4 == 0
    document = json.loads(data[20:20 + size])
    assert document["asset"]["version"] == "2.0"
    for view in document["bufferViews"]:
        assert view["byteOffset"] % 4 == 0
    for material in document["materials"]:
        pbr = material["pbrMetallicRoughness"]
        assert {"baseColorFactor", "metallicFactor", "roughnessFactor"} == set(pbr)  # metallicFactor's default is 1
        assert all(0 <= c <= 1 for c in pbr["baseColorFactor"])
    assert document["materials"][1]["alphaMode"] == "BLEND"
    # IEC 61966-2-1: half of sRGB's range is 21.4 % of its light
    assert document["materials"][1]["pbrMetallicRoughness"]["baseColorFactor"][0] == pytest.approx(0.2140, abs=1e-4)
    for node in document["nodes"][1:]:
        if "matrix" in node:
            rotation = np.array(node["matrix"]).reshape(4, 4).T[:3, :3]
            assert np.linalg.det(rotation) == pytest.approx(1.0)


def test_normals_are_smooth_on_a_face_and_broken_at_edges() -> None:
    data = glb_bytes("d", SHAPES, NODES, EXTRAS)
    scene = trimesh.load(io.BytesIO(data), file_type="glb", process=False)
    dowel = scene.geometry[scene.graph[HOSTILE[0]][1]]
    normals, points = dowel.vertex_normals, dowel.vertices * 1000
    side = np.abs(normals[:, 2]) < 0.5
    radial = points[side, :2] / np.linalg.norm(points[side, :2], axis=1, keepdims=True)
    # a cylinder's normal at a vertex is radial; by symmetry the mean over its facets is too
    assert np.abs((normals[side, :2] * radial).sum(axis=1) - 1).max() < 1e-6
    assert np.abs(np.abs(normals[~side, 2]) - 1).max() < 1e-6
    rail = scene.geometry[scene.graph["front"][1]]
    assert len(rail.vertices) == 24  # 6 faces of 4 corners each
    assert set(np.round(np.abs(rail.vertex_normals).max(axis=1), 6)) == {1.0}


def test_what_was_written_is_what_is_read() -> None:
    data = glb_bytes("d", SHAPES, NODES, EXTRAS)
    check_glb(data, "d", SHAPES, NODES)
    content = read_glb(data)
    assert [node.name for node in content.nodes] == [node.name for node in NODES]
    assert content.extras == EXTRAS
    assert content.nodes[0].low == pytest.approx((0, 0, 1.5), abs=1e-4)
    assert content.nodes[0].high == pytest.approx((900, 22, 61.5), abs=1e-4)
    assert glb_bytes("d", SHAPES, NODES, EXTRAS) == data


@pytest.mark.parametrize("change", ["name", "place", "missing part"])
def test_a_difference_is_found(change: str) -> None:
    data = glb_bytes("d", SHAPES, NODES, EXTRAS)
    other = list(NODES)
    if change == "name":
        other[0] = GlbNode("other", "rail", WOOD, NODES[0].pose)
    elif change == "place":
        other[1] = GlbNode("turned", "rail", WOOD, NODES[1].pose.moved((0, 0, 0.01)))
    else:
        other.pop()
    with pytest.raises(BuildFault):
        check_glb(data, "d", SHAPES, other)


def test_a_broken_file_is_found() -> None:
    data = bytearray(glb_bytes("d", SHAPES, NODES, EXTRAS))
    for at in (0, 8, len(data) - 3):
        broken = bytearray(data)
        broken[at] ^= 0xFF
        with pytest.raises(BuildFault):
            check_glb(bytes(broken), "d", SHAPES, NODES)
    with pytest.raises(BuildFault):
        read_glb(bytes(data[:-4]))


def test_a_shape_without_triangles_is_refused() -> None:
    empty = GlbShape(np.zeros((0, 3)), np.zeros((0, 3), np.int64), np.zeros(0, np.int64))
    with pytest.raises(BuildFault, match="no triangles"):
        glb_bytes("d", {"e": empty}, [GlbNode("e", "e", WOOD, Pose())], EXTRAS)



def test_the_normal_does_not_depend_on_how_a_face_is_cut() -> None:
    # One corner of a bent face: a square cut along either diagonal, meeting a second square at 90 degrees; weighting
    # by angle gives (0, 1, 1) / sqrt 2 both ways, weighting by area or by triangle would not.
    points = np.array([[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0], [1, 0, -1], [0, 0, -1.0]])
    for square in ([[0, 1, 2], [0, 2, 3]], [[0, 1, 3], [1, 2, 3]]):
        triangles = np.array([*square, [0, 5, 1], [5, 4, 1]], np.int64)
        where, normals, corners = corner_normals(points, triangles, np.zeros(4, np.int64))
        at = corners[triangles == 0][0]
        assert where[at] == pytest.approx((0, 0, 0))
        assert normals[at] == pytest.approx((0, -(0.5**0.5), 0.5**0.5))
