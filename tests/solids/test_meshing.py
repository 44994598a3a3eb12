"""Meshes of faces against closed forms; and the faces that the quick mesher leaves out."""

from __future__ import annotations

import math

import cadquery as cq
import numpy as np
import pytest

from deskmodel.errors import BuildFault
from deskmodel.meshes.weld import is_closed, is_manifold, weld
from deskmodel.solids.measure import volume
from deskmodel.solids.meshing import Algorithm, triangulate
from deskmodel.solids.outlines import outlines

SPLINE = (cq.Workplane().moveTo(0, 0).lineTo(20, 0).spline([(22, 8), (15, 14), (6, 12)], includeCurrent=True).close()
          .extrude(5).val().wrapped)

SHAPES = {
    "box": cq.Workplane().box(10, 20, 30).val().wrapped,
    "drilled": cq.Workplane().box(40, 30, 10).faces(">Z").workplane().hole(8).val().wrapped,
    "countersunk": cq.Workplane().box(40, 30, 10).faces(">Z").workplane().cskHole(4.5, 9, 90).val().wrapped,
    "turned": cq.Solid.makeTorus(10, 2).fuse(cq.Solid.makeCylinder(9, 4)).wrapped,
    "ball": cq.Workplane().sphere(5).val().wrapped,
    "rounded": cq.Workplane().box(20, 20, 10).edges().fillet(2).val().wrapped,
    "spline": SPLINE,
    "text": cq.Workplane().box(30, 20, 4).faces(">Z").workplane().text("ab", 9, -1).val().wrapped,
}


def enclosed(vertices: np.ndarray, triangles: np.ndarray) -> float:
    corners = vertices[triangles]
    return float(np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6)  # divergence theorem


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("algorithm", ["delabella", "watson"])
def test_every_face_is_meshed_and_the_whole_closes(name: str, algorithm: Algorithm) -> None:
    shape = SHAPES[name]
    meshes = triangulate(shape, 0.01, 0.4, algorithm)
    assert all(len(mesh.triangles) for mesh in meshes)
    surface = weld([mesh.nodes for mesh in meshes], [mesh.triangles for mesh in meshes])
    assert is_closed(surface.triangles)
    assert is_manifold(surface.triangles)
    assert enclosed(surface.vertices, surface.triangles) == pytest.approx(volume(shape), rel=5e-3)


def test_a_flat_shape_is_exact() -> None:
    meshes = triangulate(SHAPES["box"], 0.01, 0.4)
    surface = weld([mesh.nodes for mesh in meshes], [mesh.triangles for mesh in meshes])
    assert len(surface.vertices) == 8
    assert len(surface.triangles) == 12
    assert enclosed(surface.vertices, surface.triangles) == pytest.approx(6000, rel=1e-12)


def test_surfaces_are_described() -> None:
    kinds = {mesh.kind: mesh.surface for mesh in triangulate(SHAPES["countersunk"], 0.01, 0.4)}
    assert set(kinds) == {"plane", "cylinder", "cone"}
    assert kinds["cylinder"][6] == pytest.approx(2.25)
    assert abs(kinds["cone"][7]) == pytest.approx(math.radians(45))


def test_no_solid_is_a_build_fault() -> None:
    with pytest.raises(BuildFault):
        triangulate(cq.Workplane().rect(5, 5).val().wrapped, 0.01, 0.4)


def test_plain_shapes_have_outlines_and_others_none() -> None:
    for name in ("box", "drilled", "countersunk"):
        assert outlines(SHAPES[name], 0.01, 0.4) is not None
    for name in ("turned", "ball", "rounded", "spline", "text"):
        assert outlines(SHAPES[name], 0.01, 0.4) is None


def test_circles_are_divided_as_finely_as_asked() -> None:
    found = outlines(cq.Solid.makeCylinder(10, 5).wrapped, 0.02, 0.4)
    assert found is not None
    points, faces = found
    rim = next(face for face in faces if face.kind == "plane").loops[0]
    # sagitta of n chords of a circle: r (1 - cos(pi / n)); asked for at most half of 0.02
    assert 10 * (1 - math.cos(math.pi / len(rim))) <= 0.01
    assert 10 * (1 - math.cos(math.pi / (len(rim) - 1))) > 0.01
    assert np.hypot(*points[rim][:, :2].T) == pytest.approx(10, abs=1e-9)
