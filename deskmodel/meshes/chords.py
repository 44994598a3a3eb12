"""How far the triangles of a face really are from its surface, on either side.

On a cylinder, cone, sphere or torus the distance of a point from the surface is known in closed form; it is taken at
the middles of the sides and at the centre of each triangle, where a chord is farthest from its arc. On other surfaces
the mesher's own parameters say where the surface is at those four places, and a margin is added.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from deskmodel.meshes.vectors import normals_of

__all__ = ["MeshedFace", "chord_errors"]

_MARGIN = 1.25  # on sampled surfaces: four places a triangle do not catch the very worst
_ROOM = 60_000  # triangles looked at in one go
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


def chord_errors(faces: Sequence[MeshedFace]) -> NDArray[np.float64]:
    """``(proud, short)`` of each face (f, 2), mm: how far triangles stand outside the material (in a bore), and how far
    material stands outside the triangles (on a pin). Infinite where nothing can be said."""
    errors = np.zeros((len(faces), 2))
    batches: dict[str, list[int]] = {}
    for number, face in enumerate(faces):
        if not len(face.triangles):
            continue
        if face.kind == "plane":
            origin, axis = np.array(face.surface[:3]), np.array(face.surface[3:6])
            off = float(np.abs((face.nodes - origin) @ axis).max())
            errors[number] = off if off > _FLOOR else 0.0
        elif face.kind == "other" and face.samples is None:
            errors[number] = np.inf
        else:
            batches.setdefault(face.kind, []).append(number)
    for kind, numbers in batches.items():
        for some in _portions(faces, numbers):
            errors[some] = _errors(kind, [faces[number] for number in some])
    return errors


def _portions(faces: Sequence[MeshedFace], numbers: list[int]) -> Iterator[list[int]]:
    """The faces in groups of not too many triangles."""
    some: list[int] = []
    room = _ROOM
    for number in numbers:
        some.append(number)
        room -= len(faces[number].triangles)
        if room <= 0:
            yield some
            some, room = [], _ROOM
    if some:
        yield some


def _errors(kind: str, faces: list[MeshedFace]) -> NDArray[np.float64]:
    """As ``chord_errors``, of faces of one kind, none empty."""
    counts = np.array([len(face.triangles) for face in faces])
    corners = np.concatenate([face.nodes[face.triangles] for face in faces])
    places = np.concatenate([(corners + corners[:, (1, 2, 0)]) / 2, corners.mean(axis=1, keepdims=True)], axis=1)
    normals = normals_of(corners)
    lengths = np.linalg.norm(normals, axis=1)
    normals /= np.maximum(lengths, 1e-300)[:, None]
    if kind == "other":
        samples = np.concatenate([face.samples for face in faces if face.samples is not None])
        beyond = np.einsum("tki,ti->tk", samples - places, normals) * _MARGIN
    else:
        numbers = np.repeat(np.array([face.surface for face in faces]), counts, axis=0)
        beyond = _beyond(kind, numbers, places, normals)
    beyond[lengths <= 1e-12] = 0.0  # a triangle without area has no side
    starts = np.cumsum(counts) - counts
    proud = np.maximum(-np.minimum.reduceat(beyond.min(axis=1), starts), 0.0)
    short = np.maximum(np.maximum.reduceat(beyond.max(axis=1), starts), 0.0)
    return np.column_stack([proud, short]) + _FLOOR


def _beyond(kind: str, numbers: NDArray[np.float64], places: NDArray[np.float64],
            normals: NDArray[np.float64]) -> NDArray[np.float64]:
    """Signed distance (t, k) from each place to the analytic surface, positive along the outward normal; ``numbers``
    (t, n) describe the surface of each triangle."""
    origin, axis, rest = numbers[:, None, :3], numbers[:, None, 3:6], numbers[:, None, 6:]
    offset = places - origin
    along = np.einsum("tki,tki->tk", offset, np.broadcast_to(axis, offset.shape))
    across = offset - along[..., None] * axis
    rho = np.sqrt(np.einsum("tki,tki->tk", across, across))
    radial = across / np.maximum(rho, 1e-12)[..., None]
    if kind == "cylinder":
        gap, out = rest[..., 0] - rho, radial
    elif kind == "cone":
        radius, half = rest[..., 0], rest[..., 1]
        gap = (radius + along * np.tan(half) - rho) * np.cos(half)
        out = radial * np.cos(half)[..., None] - axis * np.sin(half)[..., None]
    elif kind == "sphere":
        distance = np.linalg.norm(offset, axis=-1)
        gap, out = rest[..., 0] - distance, offset / np.maximum(distance, 1e-12)[..., None]
    else:  # torus
        major, minor = rest[..., 0], rest[..., 1]
        tube = (rho - major)[..., None] * radial + along[..., None] * axis
        distance = np.linalg.norm(tube, axis=-1)
        gap, out = minor - distance, tube / np.maximum(distance, 1e-12)[..., None]
    signed: NDArray[np.float64] = gap * np.sign(np.einsum("tki,ti->tk", out, normals))
    return signed
