"""Binary STL against trimesh's reader; the layout (80 bytes, count, 50 bytes a triangle) is the format's own."""

from __future__ import annotations

import io

import numpy as np
import pytest
import trimesh

from deskmodel.errors import BuildFault
from deskmodel.exporters._stl import check_stl, pieces_of, read_stl, stl_bytes


def block(x: float, y: float, z: float) -> tuple[np.ndarray, np.ndarray]:
    mesh = trimesh.creation.box((x, y, z))
    mesh.apply_translation((x / 2, y / 2, z / 2))
    return np.asarray(mesh.vertices, float), np.asarray(mesh.faces, np.int64)


def test_another_reader_finds_a_watertight_body_of_the_same_volume() -> None:
    vertices, triangles = block(180, 178, 6)
    data = stl_bytes("lid backing", "revision abc", vertices, triangles)
    mesh = trimesh.load(io.BytesIO(data), file_type="stl")
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(180 * 178 * 6, rel=1e-6)
    assert mesh.bounds == pytest.approx(np.array([[0, 0, 0], [180, 178, 6]]))
    assert len(data) == 84 + 50 * 12
    check_stl("lid backing", data, 180 * 178 * 6)
    assert stl_bytes("lid backing", "revision abc", vertices, triangles) == data


def test_normals_point_out() -> None:
    sphere = trimesh.creation.icosphere(2, 10.0)
    data = stl_bytes("ball", "r", np.asarray(sphere.vertices), np.asarray(sphere.faces))
    normals = np.frombuffer(data[84:], np.dtype([("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")]))["n"]
    centres = read_stl(data).mean(axis=1)
    cosine = (normals * centres).sum(axis=1) / np.linalg.norm(centres, axis=1)
    assert cosine.min() > 0.99
    check_stl("ball", data, float(sphere.volume))


@pytest.mark.parametrize("name", ["solid", "../x", "line\nbreak", "桌子", "\x1b[31m", "x" * 300, "\ud800"])
def test_the_header_is_plain_and_never_reads_as_text(name: str) -> None:
    data = stl_bytes(name, "UNRELEASED revision abc", *block(1, 2, 3))
    assert data[:31] == b"deskmodel UNRELEASED revision a"
    assert all(32 <= byte < 127 for byte in data[:80])
    check_stl(name, data, 6.0)


def test_what_is_not_closed_is_refused() -> None:
    vertices, triangles = block(1, 2, 3)
    with pytest.raises(BuildFault, match="watertight"):
        check_stl("open", stl_bytes("open", "r", vertices, triangles[:-1]), 6.0)
    with pytest.raises(BuildFault, match="watertight"):
        check_stl("twice", stl_bytes("twice", "r", vertices, np.concatenate([triangles, triangles])), 12.0)
    with pytest.raises(BuildFault, match="instead of"):
        check_stl("inside out", stl_bytes("inside out", "r", vertices, triangles[:, ::-1]), 6.0)
    with pytest.raises(BuildFault, match="instead of"):
        check_stl("small", stl_bytes("small", "r", vertices, triangles), 6.1)
    with pytest.raises(BuildFault, match="length"):
        check_stl("short", stl_bytes("short", "r", vertices, triangles)[:-1], 6.0)
    with pytest.raises(BuildFault, match="empty"):
        check_stl("empty", stl_bytes("empty", "r", vertices, triangles[:0]), 0.0)


def test_a_sliver_that_vanishes_in_single_precision_leaves_no_hole() -> None:
    # a corner at 1000 mm split by 1e-6 mm: the same number in single precision (24 bits: 6e-5 mm at 1000)
    vertices, triangles = block(1000, 10, 10)
    vertices = vertices + 100.0  # near 0 single precision is much finer
    a, b, c = triangles[0]
    split = len(vertices)
    near = vertices[a] * (1 - 1e-12) + vertices[b] * 1e-12
    twin = next(i for i, t in enumerate(triangles) if {a, b} <= set(t) and i != 0)
    third = next(v for v in triangles[twin] if v not in (a, b))
    faces = [t for i, t in enumerate(triangles) if i not in (0, twin)]
    faces += [[a, split, c], [split, b, c], [b, split, third], [split, a, third]]
    data = stl_bytes("s", "r", np.vstack([vertices, near]), np.array(faces, np.int64))
    assert len(read_stl(data)) == 12
    check_stl("s", data, 100_000.0)


def test_pieces_as_another_library_counts_them() -> None:
    vertices, triangles = block(10, 20, 5)
    ball = trimesh.creation.icosphere(subdivisions=3)
    two = np.concatenate([vertices[triangles], np.asarray(ball.vertices)[ball.faces] + 40])
    for corners in (vertices[triangles], two, np.concatenate([two, two + 200])):
        mesh = trimesh.Trimesh(corners.reshape(-1, 3), np.arange(3 * len(corners)).reshape(-1, 3), process=True)
        assert pieces_of(corners) == mesh.body_count
