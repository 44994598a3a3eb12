"""From a B-rep to a prepared shape: mesh, weld, measure the chords, sink the core, place the probes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.meshes.chords import MeshedFace, chord_errors
from deskmodel.meshes.core import core_vertices
from deskmodel.meshes.inside import InsideTest
from deskmodel.meshes.plain import plain_faces
from deskmodel.meshes.prepared import PreparedShape
from deskmodel.meshes.settings import ANGLE, DEFLECTION, DELTA, MAX_TRIANGLES
from deskmodel.meshes.vectors import cross, normals_of
from deskmodel.meshes.weld import Surface, is_closed, weld

__all__ = ["prepare"]


def prepare(key: str, brep: Any) -> PreparedShape:
    """``brep``: one solid or a compound of solids that don't overlap. Raises BuildFault where no closed mesh of it
    can be made."""
    from deskmodel.solids.revolution import axis_of_revolution

    surfaces, chords, slants = _closed_surfaces(brep)
    vertex_starts = np.cumsum([0, *(len(s.vertices) for s in surfaces)])
    triangle_starts = np.cumsum([0, *(len(s.triangles) for s in surfaces)])
    vertices = np.concatenate([s.vertices for s in surfaces])
    triangles = np.concatenate([s.triangles + v for s, v in zip(surfaces, vertex_starts[:-1], strict=True)])
    faces = np.concatenate([s.faces for s in surfaces])
    face_starts = np.searchsorted(faces, np.arange(len(chords) + 1))
    proud, short = chords.T
    core, trusted = core_vertices(vertices, triangles, (DELTA + proud)[faces])
    step = np.linalg.norm(core - vertices, axis=1)[triangles].max(axis=1)
    steps = np.zeros(len(chords))
    np.maximum.at(steps, faces, step)
    arrays = {
        "vertices": vertices, "triangles": triangles.astype(np.int32), "core": core,
        "probes": _probes(vertices, triangles, triangle_starts, core), "face_starts": face_starts,
        "vertex_starts": vertex_starts, "triangle_starts": triangle_starts,
        "depth": DELTA + proud + short, "reach": steps + short + _rims(chords * slants[:, None], triangles, faces),
        "chords": chords, "box": _box(vertices, triangles, (short * slants)[faces]),
    }
    return PreparedShape(key, arrays, axis_of_revolution(brep), bool(trusted.all()), _volume(vertices, triangles))


def _closed_surfaces(brep: Any) -> tuple[list[Surface], NDArray[np.float64], NDArray[np.float64]]:
    """A closed surface per solid, faces numbered over all of them, the chord errors (f, 2), and by how much more an arc
    on the rim of each face may miss its chord (f,): on a cone the error is taken square to the slope.

    Three ways to mesh are tried one after the other. A mesh counts when it closes and holds the volume that the kernel
    says, to within what its chords can hide: a face that was skipped or filled wrongly would show in one or the other.
    """
    from deskmodel.solids.brep import faces_of, solids_of
    from deskmodel.solids.measure import volume

    solids = solids_of(brep)
    counts = [len(faces_of(solid)) for solid in solids]
    if not counts:
        raise BuildFault("the shape holds no solid")
    exact = [volume(solid) for solid in solids]
    if min(exact) <= 0.0:
        raise BuildFault("a solid is inside out or empty")
    why = "cannot be meshed"
    for meshes in _meshes(brep):
        chords = np.array([chord_errors(mesh) for mesh in meshes]).reshape(-1, 2)
        surfaces: list[Surface] = []
        at = 0
        for count, wanted in zip(counts, exact, strict=True):
            part = meshes[at : at + count]
            surface = weld([mesh.nodes for mesh in part], [mesh.triangles for mesh in part])
            if not len(surface.triangles) or not is_closed(surface.triangles):
                why = "its mesh does not close"
                break
            worst = chords[at : at + count].max(axis=1)[surface.faces]
            missing = abs(_volume(surface.vertices, surface.triangles) - wanted)
            if missing > float(_areas(surface) @ worst) + 1e-6 * wanted:
                why = f"its mesh holds {missing:.4g} mm³ more or less than the solid"
                break
            surfaces.append(Surface(surface.vertices, surface.triangles, surface.faces + at))
            at += count
        else:
            return surfaces, chords, np.array([1 / np.cos(mesh.surface[7]) if mesh.kind == "cone" else 1.0
                                               for mesh in meshes])
    raise BuildFault(f"the shape cannot be measured: {why}")


def _meshes(brep: Any) -> Iterator[Sequence[MeshedFace]]:
    """Meshes of the faces, by the quickest way first."""
    from deskmodel.solids.meshing import Algorithm, triangulate

    plain = plain_faces(brep, DEFLECTION, ANGLE)
    if plain is not None and sum(len(mesh.triangles) for mesh in plain) <= MAX_TRIANGLES:
        yield plain
    algorithms: tuple[Algorithm, ...] = ("delabella", "watson")
    for algorithm in algorithms:
        deflection, angle = DEFLECTION, ANGLE
        meshes = triangulate(brep, deflection, angle, algorithm)
        while sum(len(mesh.triangles) for mesh in meshes) > MAX_TRIANGLES and deflection < 1.0:
            deflection, angle = deflection * 4, min(angle * 2, 0.8)
            meshes = triangulate(brep, deflection, angle, algorithm)
        yield meshes


def _areas(surface: Surface) -> NDArray[np.float64]:
    corners = surface.vertices[surface.triangles]
    doubled = normals_of(corners)
    found: NDArray[np.float64] = np.linalg.norm(doubled, axis=1) / 2.0
    return found


def _volume(vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> float:
    corners = vertices[triangles] - vertices.mean(axis=0)
    return float(np.einsum("ij,ij->", corners[:, 0], cross(corners[:, 1], corners[:, 2])) / 6.0)


def _rims(chords: NDArray[np.float64], triangles: NDArray[np.int64], faces: NDArray[np.int64]) -> NDArray[np.float64]:
    """Per face, the worst chord error among the faces it shares vertices with: a flat face whose rim is an arc misses
    a sliver along it, or has one too much."""
    worst = chords.max(axis=1)
    at_vertex = np.zeros(int(triangles.max()) + 1)
    np.maximum.at(at_vertex, triangles.ravel(), np.repeat(worst[faces], 3))
    rim = np.zeros(len(chords))
    np.maximum.at(rim, faces, at_vertex[triangles].max(axis=1))
    return rim


def _box(vertices: NDArray[np.float64], triangles: NDArray[np.int64],
         short: NDArray[np.float64]) -> NDArray[np.float64]:
    corners = vertices[triangles]
    low = (corners.min(axis=1) - short[:, None]).min(axis=0)
    high = (corners.max(axis=1) + short[:, None]).max(axis=0)
    return np.array([low, high])


def _probes(vertices: NDArray[np.float64], triangles: NDArray[np.int64], starts: NDArray[np.int64],
            core: NDArray[np.float64]) -> NDArray[np.float64]:
    """A point of each solid far from its surface, at no round fraction of anything: on the inward normals of the largest
    triangles, 0.382 of the way to the other side."""
    inside = InsideTest(core, triangles)
    probes = np.empty((len(starts) - 1, 3))
    for i in range(len(probes)):
        corners = vertices[triangles[starts[i] : starts[i + 1]]]
        normals = normals_of(corners)
        size = np.linalg.norm(normals, axis=1)
        best = (0.0, None)
        enough = 0.5 * float((corners.max(axis=(0, 1)) - corners.min(axis=(0, 1))).min())
        for t in np.argsort(size)[::-1][:12]:
            if best[0] >= enough:
                break
            inward = -normals[t] / size[t]
            start = np.array([0.41, 0.34, 0.25]) @ corners[t]
            length = _first_wall(corners, start, inward)
            if length > best[0]:
                point = start + inward * length * 0.382
                if inside(point[None])[0]:
                    best = (length, point)
        if best[1] is None:
            raise BuildFault("no point inside a solid was found: it is thinner than the core is deep")
        probes[i] = best[1]
    return probes


def _first_wall(corners: NDArray[np.float64], start: NDArray[np.float64], way: NDArray[np.float64]) -> float:
    """Distance along a ray from a surface point to the next triangle (Möller and Trumbore, 1997)."""
    e1, e2 = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    p = cross(way, e2)
    det = np.einsum("ij,ij->i", e1, p)
    open_ = np.abs(det) > 1e-12
    inverse = 1.0 / np.where(open_, det, 1.0)
    s = start - corners[:, 0]
    u = np.einsum("ij,ij->i", s, p) * inverse
    q = cross(s, e1)
    v = (q @ way) * inverse
    t = np.einsum("ij,ij->i", e2, q) * inverse
    hit = open_ & (u >= 0) & (v >= 0) & (u + v <= 1) & (t > 1e-6)
    return float(t[hit].min()) if hit.any() else 0.0
