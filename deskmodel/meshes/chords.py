"""How far the triangles of a face really are from its surface, on either side.

On a cylinder, cone, sphere or torus the distance of a point from the surface is known in closed form; it is taken at
the middles of the sides and at the centre of each triangle, where a chord is farthest from its arc. On other surfaces
the mesher's own parameters say where the surface is at those four places, and a margin is added.
"""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from deskmodel.meshes.vectors import normals_of

__all__ = ["MeshedFace", "chord_errors"]

_MARGIN = 1.25  # on sampled surfaces: four places a triangle do not catch the very worst
_FLOOR = 1e-6  # mm: kernel curves lie on their surfaces no better than that


class MeshedFace(Protocol):
    """What this module needs of a meshed face; see ``deskmodel.solids.meshing.FaceMesh``."""

    @property
    def nodes(self) -> NDArray[np.float64]: ...
    @property
    def triangles(self) -> NDArray[np.int64]: ...
    @property
    def kind(self) -> str: ...
    @property
    def surface(self) -> tuple[float, ...]: ...
    @property
    def samples(self) -> NDArray[np.float64] | None: ...


def chord_errors(face: MeshedFace) -> tuple[float, float]:
    """``(proud, short)``: how far triangles stand outside the material (in a bore), and how far material stands
    outside the triangles (on a pin), mm. Infinite where nothing can be said."""
    if not len(face.triangles):
        return 0.0, 0.0
    if face.kind == "plane":
        origin, axis = np.array(face.surface[:3]), np.array(face.surface[3:6])
        off = float(np.abs((face.nodes - origin) @ axis).max())
        return (off, off) if off > _FLOOR else (0.0, 0.0)
    corners = face.nodes[face.triangles]
    places = np.concatenate([(corners + corners[:, (1, 2, 0)]) / 2, corners.mean(axis=1, keepdims=True)], axis=1)
    normals = normals_of(corners)
    lengths = np.linalg.norm(normals, axis=1)
    flat = lengths > 1e-12  # a triangle without area has no side
    normals = normals[flat] / lengths[flat, None]
    if face.kind == "other":
        if face.samples is None:
            return float("inf"), float("inf")
        beyond = np.einsum("tki,ti->tk", face.samples[flat] - places[flat], normals) * _MARGIN
    else:
        beyond = _beyond(face, places[flat], normals)
    if not beyond.size:
        return 0.0, 0.0
    return float(max(-beyond.min(), 0.0)) + _FLOOR, float(max(beyond.max(), 0.0)) + _FLOOR


def _beyond(face: MeshedFace, places: NDArray[np.float64], normals: NDArray[np.float64]) -> NDArray[np.float64]:
    """Signed distance (t, k) from each place to the analytic surface, positive along the outward normal."""
    origin, axis = np.array(face.surface[:3]), np.array(face.surface[3:6])
    rest = face.surface[6:]
    offset = places - origin
    along = offset @ axis
    across = offset - along[..., None] * axis
    rho = np.linalg.norm(across, axis=-1)
    radial = across / np.maximum(rho, 1e-12)[..., None]
    if face.kind == "cylinder":
        gap, out = rest[0] - rho, radial
    elif face.kind == "cone":
        radius, half = rest
        gap = (radius + along * np.tan(half) - rho) * np.cos(half)
        out = radial * np.cos(half) - axis * np.sin(half)
    elif face.kind == "sphere":
        distance = np.linalg.norm(offset, axis=-1)
        gap, out = rest[0] - distance, offset / np.maximum(distance, 1e-12)[..., None]
    else:  # torus
        major, minor = rest
        tube = (rho - major)[..., None] * radial + along[..., None] * axis
        distance = np.linalg.norm(tube, axis=-1)
        gap, out = minor - distance, tube / np.maximum(distance, 1e-12)[..., None]
    signed: NDArray[np.float64] = gap * np.sign(np.einsum("tki,ti->tk", out, normals))
    return signed
