"""Closed meshes as solids that can be intersected (manifold3d), status checked each time.

A manifold in an error state has volume 0 and raises nothing; here it raises BuildFault.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault

__all__ = ["checked", "solid_from_mesh", "triangles_of"]


def solid_from_mesh(vertices: NDArray[np.float64], triangles: NDArray[Any]) -> Any:
    """A ``manifold3d.Manifold`` in 64 bits."""
    from manifold3d import Manifold, Mesh64

    # copies: what comes from the disk cache is read-only, and the binding takes no such array
    mesh = Mesh64(vert_properties=np.array(vertices, dtype=np.float64, order="C"),
                  tri_verts=np.array(triangles, dtype=np.uint64, order="C"))
    return checked(Manifold(mesh))


def checked(solid: Any) -> Any:
    from manifold3d import Error

    status = solid.status()
    if status != Error.NoError:
        raise BuildFault(f"a mesh is no solid: {status.name}")
    return solid


def triangles_of(solid: Any) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Vertices (n, 3) and triangles (m, 3) of a solid, in an order that depends on nothing but where they are: the
    library's own follows what was made before, and a sum taken in another order differs in its last digits."""
    mesh = checked(solid).to_mesh64()
    vertices = np.array(mesh.vert_properties, dtype=np.float64)[:, :3]
    order = np.lexsort(vertices.T)
    number = np.empty(len(order), dtype=np.int64)
    number[order] = np.arange(len(order))
    triangles = number[np.array(mesh.tri_verts, dtype=np.int64)]
    turn = (triangles.argmin(axis=1)[:, None] + np.arange(3)) % 3
    triangles = np.take_along_axis(triangles, turn, axis=1)
    return np.ascontiguousarray(vertices[order]), triangles[np.lexsort(triangles.T)]
