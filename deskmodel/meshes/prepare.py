"""From a B-rep to a prepared shape: mesh, weld, measure the chords, sink the core, place the probes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.meshes.chords import MeshedFace, chord_errors
from deskmodel.meshes.core import core_vertices
from deskmodel.meshes.plain import plain_faces
from deskmodel.meshes.prepared import PreparedShape
from deskmodel.meshes.settings import ANGLE, DEFLECTION, DELTA, MAX_TRIANGLES
from deskmodel.meshes.vectors import boxes_of, cross, doubled_areas, normals_of
from deskmodel.meshes.weld import Surface, is_closed, joined, weld

__all__ = ["prepare"]

_Face = TypeVar("_Face")
_FINER = (1.0, 6.0, 36.0)
_TRIES = 24  # triangles from which a probe is looked for


def prepare(key: str, brep: Any) -> PreparedShape:
    """``brep``: one solid or a compound of solids that don't overlap. Raises BuildFault where no closed mesh of it
    can be made. A solid so thin that its core finds no room in it is meshed more finely, its core less deep."""
    for finer in _FINER[:-1]:
        with suppress(_TooThinFault):
            return _prepare(key, brep, finer)
    return _prepare(key, brep, _FINER[-1])


class _TooThinFault(BuildFault):
    """There is no room for the core."""


def _prepare(key: str, brep: Any, finer: float) -> PreparedShape:
    from deskmodel.solids.revolution import axis_of_revolution

    delta = DELTA / finer
    closed = _closed_surfaces(brep, DEFLECTION / finer)
    surfaces, chords = closed.surfaces, closed.chords
    vertex_starts = np.cumsum([0, *(len(s.vertices) for s in surfaces)])
    triangle_starts = np.cumsum([0, *(len(s.triangles) for s in surfaces)])
    vertices = np.concatenate([s.vertices for s in surfaces])
    triangles = np.concatenate([s.triangles + v for s, v in zip(surfaces, vertex_starts[:-1], strict=True)])
    faces = np.concatenate([s.faces + f for s, f in zip(surfaces, closed.first_faces, strict=True)])
    face_starts = np.searchsorted(faces, np.arange(len(chords) + 1))
    proud, short = chords.T
    core, trusted = core_vertices(vertices, triangles, (delta + proud)[faces])
    step = np.linalg.norm(core - vertices, axis=1)[triangles].max(axis=1)
    steps = np.zeros(len(chords))
    np.maximum.at(steps, faces, step)
    arrays = {
        "vertices": vertices, "triangles": triangles.astype(np.int32), "core": core,
        "probes": _probes(vertices, triangles, triangle_starts, delta), "face_starts": face_starts,
        "vertex_starts": vertex_starts, "triangle_starts": triangle_starts,
        "depth": delta + proud + short, "reach": steps + short + _rims(chords * closed.slants[:, None], triangles, faces),
        "chords": chords, "box": _box(vertices, triangles, (short * closed.slants)[faces]),
    }
    shape = PreparedShape(key, arrays, axis_of_revolution(brep), bool(trusted.all()), closed.volume)
    if not shape.inside_core(shape.probes).all():
        raise _TooThinFault("no point inside the core of a solid was found: the solid is too thin")
    return shape


@dataclass(frozen=True, slots=True, eq=False)
class _Closed:
    """``surfaces``: one a solid, faces numbered from 0 in each; ``first_faces``: the number of that face over all.
    ``chords`` (f, 2): errors of all faces; ``slants`` (f,): by how much more an arc on the face's rim may miss its chord
    (on a cone the error is taken square to the slope). ``volume``: mm³ enclosed by all."""

    surfaces: list[Surface]
    first_faces: list[int]
    chords: NDArray[np.float64]
    slants: NDArray[np.float64]
    volume: float


def _closed_surfaces(brep: Any, deflection: float) -> _Closed:
    """Three ways to mesh are tried one after the other. A mesh counts when it closes and holds the volume that the kernel
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
    for meshes, surfaces in _meshes(brep, counts, deflection):
        chords = chord_errors(meshes)
        if not np.isfinite(chords).all():
            why = "its mesh cannot be compared with its surfaces"
            continue
        at, total = 0, 0.0
        for surface, count, wanted in zip(surfaces, counts, exact, strict=True):
            if not len(surface.triangles) or not is_closed(surface.triangles):
                why = "its mesh does not close"
                break
            worst = chords[at : at + count].max(axis=1)[surface.faces]
            at += count
            areas, held = _areas_and_volume(surface)
            total += held
            if abs(held - wanted) > float(areas @ worst) + 1e-6 * wanted:
                why = f"its mesh holds {abs(held - wanted):.4g} mm³ more or less than the solid"
                break
        else:
            slants = np.array([1 / np.cos(mesh.surface[7]) if mesh.kind == "cone" else 1.0 for mesh in meshes])
            return _Closed(surfaces, [0, *np.cumsum(counts)[:-1].tolist()], chords, slants, total)
    raise BuildFault(f"the shape cannot be measured: {why}")


def _meshes(brep: Any, counts: list[int], wanted: float) -> Iterator[tuple[Sequence[MeshedFace], list[Surface]]]:
    """Meshes of the faces and the surface of each solid (faces numbered from 0 in each), by the quickest way first.
    ``counts``: faces of each solid; ``wanted``: deflection, mm."""
    from deskmodel.solids.meshing import Algorithm, triangulate

    plain = plain_faces(brep, wanted, ANGLE)
    if plain is not None and sum(len(mesh.triangles) for mesh in plain[1]) <= MAX_TRIANGLES:
        points, faces = plain
        yield faces, [joined(points, [mesh.order[mesh.triangles] for mesh in part]) for part in _parts(faces, counts)]
    algorithms: tuple[Algorithm, ...] = ("delabella", "watson")
    for algorithm in algorithms:
        deflection, angle = wanted, ANGLE
        meshes = triangulate(brep, deflection, angle, algorithm)
        while sum(len(mesh.triangles) for mesh in meshes) > MAX_TRIANGLES and deflection < 1.0:
            deflection, angle = deflection * 4, min(angle * 2, 0.8)
            meshes = triangulate(brep, deflection, angle, algorithm)
        yield meshes, [weld([mesh.nodes for mesh in part], [mesh.triangles for mesh in part])
                       for part in _parts(meshes, counts)]


def _parts(faces: Sequence[_Face], counts: list[int]) -> list[Sequence[_Face]]:
    """The faces of each solid."""
    ends = np.cumsum(counts).tolist()
    return [faces[end - count : end] for end, count in zip(ends, counts, strict=True)]


def _areas_and_volume(surface: Surface) -> tuple[NDArray[np.float64], float]:
    """Area of each triangle (m,) mm² and the volume enclosed, mm³."""
    corners = surface.vertices[surface.triangles] - surface.vertices.mean(axis=0)
    normals = normals_of(corners)
    return doubled_areas(normals) / 2.0, float(np.einsum("ij,ij->", corners[:, 0], normals) / 6.0)


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
    lows, highs = boxes_of(corners)
    low = (lows - short[:, None]).min(axis=0)
    high = (highs + short[:, None]).max(axis=0)
    return np.array([low, high])


def _probes(vertices: NDArray[np.float64], triangles: NDArray[np.int64], starts: NDArray[np.int64],
            delta: float) -> NDArray[np.float64]:
    """A point of each solid well away from its surface and at no round fraction of anything: from one of the largest
    triangles inward, 0.382 of the way to the other side, then brought off the walls in two directions across."""
    probes = np.empty((len(starts) - 1, 3))
    for i in range(len(probes)):
        corners = vertices[triangles[starts[i] : starts[i + 1]]]
        normals = normals_of(corners)
        size = doubled_areas(normals)
        enough = 0.15 * float(np.ptp(corners.reshape(-1, 3), axis=0).min())
        best, where = 5.0 * delta, None
        for t in np.argsort(size)[::-1][:_TRIES]:
            inward = -normals[t] / size[t]
            across = corners[t, 1] - corners[t, 0]
            across /= np.linalg.norm(across)
            point, room = np.array([0.41, 0.34, 0.25]) @ corners[t] + 1e-4 * inward, np.inf
            for way, share in ((inward, 0.382), (across, 0.459), (cross(inward, across), 0.471)):
                walls = _walls(corners, point, way)
                if walls is None:
                    room = 0.0
                    break
                point = point + way * (walls[0] + share * (walls[1] - walls[0]))
                room = min(room, share * (walls[1] - walls[0]))
            if room > best:
                best, where = room, point
                if best >= enough:
                    break
        if where is None:
            raise _TooThinFault("no point inside a solid was found: it is thinner than its core is deep")
        probes[i] = where
    return probes


def _walls(corners: NDArray[np.float64], point: NDArray[np.float64], way: NDArray[np.float64]) -> tuple[float, float] | None:
    """Along the line through an inner point, the nearest triangles behind (negative) and before it (Möller and Trumbore,
    1997). None where the line leaves the solid by an even number of walls on a side: it met an edge, or the point is out."""
    e1, e2 = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    p = cross(way, e2)
    det = np.einsum("ij,ij->i", e1, p)
    open_ = np.abs(det) > 1e-12
    inverse = 1.0 / np.where(open_, det, 1.0)
    s = point - corners[:, 0]
    u = np.einsum("ij,ij->i", s, p) * inverse
    near = np.flatnonzero(open_ & (u >= 0) & (u <= 1))
    q = cross(s[near], e1[near])
    v = (q @ way) * inverse[near]
    t = np.einsum("ij,ij->i", e2[near], q) * inverse[near]
    t = t[(v >= 0) & (u[near] + v <= 1)]
    before, behind = t[t > 0.0], t[t < 0.0]
    if len(before) % 2 == 0 or len(behind) % 2 == 0:
        return None
    return float(behind.max()), float(before.min())
