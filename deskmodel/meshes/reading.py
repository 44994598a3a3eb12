"""A mesh file as another library reads it: what was written, seen from outside."""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np

from deskmodel.errors import BuildFault
from deskmodel.meshes.settings import DEFLECTION

__all__ = ["CHORD", "ReadMesh", "read_stl_mesh"]

CHORD = DEFLECTION
"""mm. No facet of a mesh is further than this from the surface that it stands for."""


@dataclass(frozen=True, slots=True)
class ReadMesh:
    """``pieces``: bodies that hang together; mm, mm², mm³."""

    watertight: bool
    pieces: int
    volume: float
    area: float
    low: tuple[float, float, float]
    high: tuple[float, float, float]


def read_stl_mesh(data: bytes) -> ReadMesh:
    """By trimesh, corners at one place welded. BuildFault where it reads no mesh."""
    import trimesh
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    mesh = trimesh.load(io.BytesIO(data), file_type="stl", process=True)
    if not isinstance(mesh, trimesh.Trimesh) or not len(mesh.faces):
        raise BuildFault("an STL file that another reader finds no mesh in")
    edges = np.concatenate([mesh.faces[:, [0, 1]], mesh.faces[:, [1, 2]]])
    graph = coo_matrix((np.ones(len(edges), bool), (edges[:, 0], edges[:, 1])), shape=(len(mesh.vertices),) * 2)
    used = np.unique(mesh.faces)
    pieces = len(np.unique(connected_components(graph, directed=False)[1][used]))
    low, high = mesh.bounds
    return ReadMesh(bool(mesh.is_watertight and mesh.is_winding_consistent), pieces, float(mesh.volume), float(mesh.area),
                    tuple(map(float, low)), tuple(map(float, high)))  # type: ignore[arg-type]  # three each
