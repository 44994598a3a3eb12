"""A mesh in one order: the same for every order it may come in."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from deskmodel.meshes.ordered import ordered


@pytest.mark.parametrize("seed", range(8))
def test_any_order_in_the_same_order_out(seed: int) -> None:
    mesh = trimesh.creation.icosphere(subdivisions=2, radius=30.0)
    chance = np.random.default_rng(seed)
    faces = chance.integers(0, 9, len(mesh.faces))
    wanted = ordered(np.asarray(mesh.vertices), np.asarray(mesh.faces, dtype=np.int64), faces)
    shuffled = chance.permutation(len(mesh.vertices))
    place = np.argsort(shuffled)
    turned = np.take_along_axis(place[mesh.faces], (chance.integers(0, 3, len(mesh.faces))[:, None] + np.arange(3)) % 3, 1)
    rows = chance.permutation(len(turned))
    noise = chance.uniform(-1e-9, 1e-9, mesh.vertices.shape)
    names = chance.permutation(9)  # the faces are numbered otherwise
    got = ordered((mesh.vertices + noise)[shuffled], turned[rows], names[faces][rows])
    assert np.abs(got[0] - wanted[0]).max() < 1e-8
    assert (got[1] == wanted[1]).all()
    assert (got[2] == wanted[2]).all()


def test_nothing_but_the_order_changes() -> None:
    mesh = trimesh.creation.box((10, 20, 30))
    points, triangles, faces = ordered(np.asarray(mesh.vertices), np.asarray(mesh.faces, dtype=np.int64),
                                       np.repeat(np.arange(6), 2)[::-1].copy())
    again = trimesh.Trimesh(points, triangles, process=False)
    assert again.is_watertight
    assert again.volume == pytest.approx(6000.0)
    assert sorted(map(tuple, points)) == sorted(map(tuple, mesh.vertices))
    assert (np.diff(faces) >= 0).all()
    assert faces[0] == 0
    assert len(np.unique(faces)) == 6
