"""The room that two bodies share, as a mesh to look at. Measuring it is another's work (``fit.overlap``)."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deskmodel.cache.arrays import pack, unpack
from deskmodel.errors import BuildFault
from deskmodel.fit.asked import Asked
from deskmodel.fit.overlap import exact_pieces, mesh_pieces
from deskmodel.fit.placed import matrix_of
from deskmodel.fit.problem import BodyShape, FitProblem
from deskmodel.frames import Pose
from deskmodel.meshes.store import ShapeStore

__all__ = ["SharedRoom", "shared_rooms"]


@dataclass(frozen=True, eq=False, slots=True)
class SharedRoom:
    """``vertices`` (n, 3) mm and ``triangles`` (m, 3), closed, in the frame of a body that stands at ``pose``."""

    vertices: NDArray[np.float64]
    triangles: NDArray[np.int64]
    pose: Pose


def shared_rooms(store: ShapeStore, problem: FitProblem,
                 pairs: Iterable[tuple[str, str]]) -> dict[frozenset[str], SharedRoom]:
    """What each pair shares beyond its designed contacts. A pair whose common room cannot be made, or that has none, is not
    in the answer: what is shown of a finding changes nothing of it. Kept in the cache on disk."""
    found: dict[frozenset[str], SharedRoom] = {}
    asked = Asked(problem)
    for pair in pairs:
        if frozenset(pair) in found or not set(pair) <= set(asked.index):
            continue
        try:
            room = _shared(store, asked, *sorted(asked.index[name] for name in pair))
        except BuildFault:
            continue
        if room is not None:
            found[frozenset(pair)] = room
    return found


def _shared(store: ShapeStore, asked: Asked, i: int, j: int) -> SharedRoom | None:
    bodies = asked.problem.bodies
    sources: dict[int, BodyShape] = {i: bodies[i].shape, j: bodies[j].shape}
    sources |= dict(asked.relieved(asked.contacts.get((i, j), []), store))
    one, other = sources[i], sources[j]
    relative = bodies[i].pose.inverse() @ bodies[j].pose
    key = "shared:" + json.dumps([one.key, other.key, relative.rotation, relative.origin])
    known = store.cache.get(key)
    if known is not None:
        try:
            arrays, _ = unpack(known)
            return SharedRoom(arrays["vertices"], arrays["triangles"], bodies[i].pose)
        except (KeyError, ValueError):
            store.cache.remove(key)
    rotation, origin = matrix_of(relative)
    try:
        pieces = mesh_pieces(store.prepared(one), store.prepared(other), rotation, origin)
    except BuildFault:
        pieces = []
    pieces = pieces or exact_pieces(store.brep(one), store.brep(other), rotation, origin)
    if not pieces:
        return None
    starts = np.cumsum([0, *(len(points) for _, points, _ in pieces[:-1])])
    vertices = np.vstack([points for _, points, _ in pieces])
    triangles = np.vstack([corners + start for start, (_, _, corners) in zip(starts, pieces, strict=True)]).astype(np.int64)
    store.cache.put(key, pack({"vertices": vertices, "triangles": triangles}))
    return SharedRoom(vertices, triangles, bodies[i].pose)
