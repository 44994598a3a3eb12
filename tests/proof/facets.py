"""What a mesh says of itself: facets, flat patches, clipped facets. mm, the frame of the file.

A mesh library reads the file, text or binary; nothing else of it is used. Everything here is judged from facets alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np
import trimesh
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FLAT = 2e-4
"""rad between facets of one flat patch: STL holds single precision, 4e-6 mm at 60 mm, on facets a few tenths wide."""


@dataclass(frozen=True, eq=False)
class Mesh:
    """Welded facets. ``vertices`` (n, 3), ``faces`` (m, 3) counter-clockwise seen from outside."""

    vertices: Floats
    faces: Ints

    @cached_property
    def corners(self) -> Floats:
        """(m, 3, 3): the three corners of every facet."""
        return self.vertices[self.faces]

    @cached_property
    def _cross(self) -> Floats:
        a, b, c = self.corners[:, 0], self.corners[:, 1], self.corners[:, 2]
        return np.cross(b - a, c - a)

    @cached_property
    def areas(self) -> Floats:
        return np.linalg.norm(self._cross, axis=1) / 2

    @cached_property
    def normals(self) -> Floats:
        return self._cross / np.maximum(2 * self.areas, 1e-300)[:, None]

    @cached_property
    def volume(self) -> float:
        """By the divergence theorem: positive where the facets look outwards."""
        a, b, c = self.corners[:, 0], self.corners[:, 1], self.corners[:, 2]
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)

    @cached_property
    def neighbours(self) -> tuple[Ints, Ints, Ints]:
        """Pairs of facets with a common edge: first facet, second facet, and the corner of the second facet that lies
        off the edge. Only edges of exactly two facets."""
        edges = np.concatenate([self.faces[:, [0, 1]], self.faces[:, [1, 2]], self.faces[:, [2, 0]]])
        facet = np.tile(np.arange(len(self.faces)), 3)
        off = np.concatenate([self.faces[:, 2], self.faces[:, 0], self.faces[:, 1]])
        order = np.lexsort(np.sort(edges, axis=1).T[::-1])
        ends = np.sort(edges, axis=1)[order]
        same = (ends[:-1] == ends[1:]).all(axis=1)
        at = np.flatnonzero(same & ~np.append(same[1:], False) & ~np.insert(same[:-1], 0, False))
        return facet[order[at]], facet[order[at + 1]], off[order[at + 1]]

    @cached_property
    def closed(self) -> bool:
        """Every edge has two facets that run along it in opposite directions."""
        directed = np.concatenate([self.faces[:, [0, 1]], self.faces[:, [1, 2]], self.faces[:, [2, 0]]])
        key = directed[:, 0] * len(self.vertices) + directed[:, 1]
        back = directed[:, 1] * len(self.vertices) + directed[:, 0]
        return len(np.unique(key)) == len(key) and bool(np.isin(key, back).all())

    @cached_property
    def bodies(self) -> int:
        first, second, _ = self.neighbours
        return len(np.unique(self.groups(first, second)))

    def groups(self, first: Ints, second: Ints) -> Ints:
        """(m,): number of the group of each facet, where ``first`` and ``second`` are facets that belong together."""
        count = len(self.faces)
        graph = coo_matrix((np.ones(len(first)), (first, second)), shape=(count, count))
        return connected_components(graph, directed=False)[1].astype(np.int64)

    @cached_property
    def patches(self) -> list[Patch]:
        """Flat patches, the largest first."""
        first, second, _ = self.neighbours
        flat = np.linalg.norm(self.normals[first] - self.normals[second], axis=1) < FLAT
        labels = self.groups(first[flat], second[flat])
        # slivers along a line have corners but no area: they bound nothing
        sizes = np.bincount(labels, weights=self.areas)
        found = [Patch(self, np.flatnonzero(labels == label)) for label in np.flatnonzero(sizes > 1e-6)]
        return sorted(found, key=lambda patch: -patch.area)


@dataclass(frozen=True, eq=False)
class Patch:
    """Facets of one plane that hang together. ``facets``: their numbers."""

    mesh: Mesh
    facets: Ints

    @cached_property
    def area(self) -> float:
        return float(self.mesh.areas[self.facets].sum())

    @cached_property
    def normal(self) -> Floats:
        total = (self.mesh.normals[self.facets] * self.mesh.areas[self.facets, None]).sum(axis=0)
        return total / np.linalg.norm(total)

    @cached_property
    def points(self) -> Floats:
        return self.mesh.vertices[np.unique(self.mesh.faces[self.facets])]

    @cached_property
    def rim(self) -> float:
        """How long the edges are that it does not share with itself. Twice its area over that is how wide a strip is."""
        faces = self.mesh.faces[self.facets]
        edges = np.sort(np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]), axis=1)
        ends, times = np.unique(edges, axis=0, return_counts=True)
        a, b = self.mesh.vertices[ends[times == 1]].transpose(1, 0, 2)
        return float(np.linalg.norm(b - a, axis=1).sum())

    @cached_property
    def middle(self) -> Floats:
        weights = self.mesh.areas[self.facets] / self.area
        return np.asarray((self.mesh.corners[self.facets].mean(axis=1) * weights[:, None]).sum(axis=0))


def read_mesh(path: Path) -> Mesh:
    """The facets of an STL file, welded where corners agree to 1e-5 mm. ValueError unless closed."""
    read = trimesh.load(path, file_type="stl", process=False)
    loose = np.asarray(read.vertices, dtype=float)[np.asarray(read.faces)].reshape(-1, 3)
    _, kept, which = np.unique(np.round(loose / 1e-5).astype(np.int64), axis=0, return_index=True, return_inverse=True)
    faces = which.reshape(-1, 3).astype(np.int64)
    thin = (faces[:, 0] == faces[:, 1]) | (faces[:, 1] == faces[:, 2]) | (faces[:, 2] == faces[:, 0])
    mesh = Mesh(loose[kept], faces[~thin])
    if not mesh.closed:
        raise ValueError(f"{path.name}: the facets do not close")
    return mesh


def write_mesh(path: Path, mesh: Mesh, text: bool = False) -> None:
    """An STL file of ``mesh``, binary unless ``text``: how a test plants a fault in a jig."""
    made = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)
    path.write_bytes(made.export(file_type="stl_ascii").encode() if text else made.export(file_type="stl"))


def clip(polygon: Floats, normal: Floats, offset: float) -> Floats:
    """The part of a flat convex polygon (n, d) where ``normal`` · p <= ``offset``; (0, d) where nothing is left."""
    height = polygon @ normal - offset
    if (height <= 0).all():
        return polygon
    if (height > 0).all():
        return polygon[:0]
    after, then = np.roll(polygon, -1, axis=0), np.roll(height, -1)
    crossing = height * then < 0
    cut = polygon + (after - polygon) * (height / np.where(crossing, height - then, 1))[:, None]
    both = np.stack([polygon, cut], axis=1)
    return np.asarray(both[np.stack([height <= 0, crossing], axis=1)])
