"""A shape as one self-contained block of bytes for the page: small, exact enough to look at, the same on every run.

    4 bytes   "DMS1"
    20 bytes  five unsigned numbers, 4 bytes each: vertices n, triangles m, faces f, edges e, units for each mm u
    4 bytes   float: the mesh's chord error in mm, what it lies off the true surface at most
    then, deflated (RFC 1951), whole numbers of 4 bytes in planes: all lowest bytes first, then the next, and so on. Each is
    stored as its difference to the one before it, folded so that small ones of either sign are small (0, -1, 1, -2 … are 0,
    1, 2, 3 …): x of all vertices, then y, then z (in 1 / u mm); 3m corners of triangles; f numbers of triangles, for each
    face of the solid in turn; 2e ends of edges in which two faces meet at an angle, which are drawn.

Little-endian. Rounding a coordinate costs ``ROUNDING`` mm at most.
"""

from __future__ import annotations

import hashlib
import struct
import zlib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault

__all__ = ["ROUNDING", "ReadBlob", "packing", "read_blob", "shape_blob"]

_MAGIC = b"DMS1"
_UNITS = 2000  # for each mm
_FARTHEST = 5e5  # mm; a step from one end to the other, folded, still is a number of 32 bits
_HEADER = struct.Struct("<4s5If")
_SHARP = 0.9
"""Cosine: two faces that meet more bluntly (25°, by eye) go over into each other without a drawn edge."""

ROUNDING = 0.5 / _UNITS
"""mm; a fifteenth of the finest chord error that meshes are asked for."""


@dataclass(frozen=True, eq=False, slots=True)
class ReadBlob:
    """``vertices`` (n, 3) mm, ``triangles`` (m, 3), ``faces`` (f,) triangles of each, ``edges`` (e, 2); ``chord`` mm."""

    vertices: NDArray[np.float64]
    triangles: NDArray[np.int64]
    faces: NDArray[np.int64]
    edges: NDArray[np.int64]
    chord: float


def shape_blob(vertices: NDArray[np.float64], triangles: NDArray[np.int64], faces: NDArray[np.int64], chord: float) -> bytes:
    """``vertices`` (n, 3) mm, ``triangles`` (m, 3) counter-clockwise from outside, ``faces`` (m,): the solid's face under
    each, ascending; ``chord`` mm. BuildFault where a coordinate is ``_FARTHEST`` or beyond, or there is nothing."""
    if not len(triangles):
        raise BuildFault("a shape without triangles")
    if (np.diff(faces) < 0).any():
        raise BuildFault("faces of a shape that are not in order")
    if not np.isfinite(vertices).all() or np.abs(vertices).max() >= _FARTHEST:
        raise BuildFault(f"a shape with a vertex {_FARTHEST / 1000:g} m away or farther")
    used = np.zeros(len(vertices), dtype=bool)
    used[triangles.reshape(-1)] = True
    triangles = (np.cumsum(used) - 1)[triangles]
    points = vertices[used]
    places = np.rint(points * _UNITS).astype(np.int64)
    counts = np.bincount(faces)
    counts = counts[counts > 0]
    edges = _drawn_edges(points, triangles, faces)
    planes = [*(_planes(places[:, i]) for i in range(3)), _planes(triangles.reshape(-1)), _planes(counts),
              _planes(edges.reshape(-1))]
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    body = packer.compress(b"".join(planes)) + packer.flush()
    return _HEADER.pack(_MAGIC, len(points), len(triangles), len(counts), len(edges), _UNITS, chord) + body


@cache
def packing() -> str:
    """Hex digits of the code that makes blocks out of meshes: what was kept by another one is not taken."""
    here = Path(__file__).parent
    return hashlib.sha256(b"".join((here / name).read_bytes() for name in ("coarser.py", "shape_blob.py"))).hexdigest()[:16]


def read_blob(data: bytes) -> ReadBlob:
    """What the page makes of it. BuildFault where it is no such block."""
    try:
        magic, n, m, f, e, units, chord = _HEADER.unpack_from(data)
        unpacker = zlib.decompressobj(-15)
        raw = unpacker.decompress(data[_HEADER.size:])
    except (struct.error, zlib.error) as error:
        raise BuildFault(f"no shape of the page: {error}") from None
    lengths = [n, n, n, 3 * m, f, 2 * e]
    if magic != _MAGIC or not unpacker.eof or len(raw) != 4 * sum(lengths):
        raise BuildFault("no shape of the page: another length than its header says")
    at, found = 0, []
    for length in lengths:
        found.append(_values(raw[at:at + 4 * length], length))
        at += 4 * length
    vertices = np.stack(found[:3], axis=1) / units
    triangles, edges = found[3].reshape(-1, 3), found[5].reshape(-1, 2)
    if found[4].sum() != m or min(triangles.min(initial=0), edges.min(initial=0)) < 0 \
            or max(triangles.max(initial=0), edges.max(initial=0)) >= n:
        raise BuildFault("a shape of the page with a corner that does not exist")
    return ReadBlob(vertices, triangles, found[4], edges, chord)


def _planes(numbers: NDArray[np.int64]) -> bytes:
    steps = np.diff(numbers, prepend=0)
    folded = np.where(steps < 0, -2 * steps - 1, 2 * steps).astype("<u4")
    return folded.view(np.uint8).reshape(-1, 4).T.tobytes()


def _values(raw: bytes, length: int) -> NDArray[np.int64]:
    folded = np.frombuffer(raw, np.uint8).reshape(4, length).T.copy().view("<u4").reshape(-1).astype(np.int64)
    steps = np.where(folded % 2, -(folded + 1) // 2, folded // 2)
    return np.cumsum(steps)


def _drawn_edges(points: NDArray[np.float64], triangles: NDArray[np.int64], faces: NDArray[np.int64]) -> NDArray[np.int64]:
    """(e, 2): edges of triangles of two faces that meet at an angle; where more than two meet, any two that do."""
    corners = points[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normals, axis=1, keepdims=True)
    normals = np.divide(normals, length, out=np.zeros_like(normals), where=length > 0)
    ends = np.stack([triangles, np.roll(triangles, -1, axis=1)], axis=2).reshape(-1, 2)
    ends.sort(axis=1)
    owner = np.repeat(np.arange(len(triangles)), 3)
    key = ends[:, 0] * len(points) + ends[:, 1]
    order = np.argsort(key, kind="stable")
    key, owner, ends = key[order], owner[order], ends[order]
    first = np.flatnonzero(key[:-1] == key[1:])
    one, other = owner[first], owner[first + 1]
    meets = (faces[one] != faces[other]) & ((normals[one] * normals[other]).sum(axis=1) < _SHARP)
    chosen = first[meets]
    chosen = chosen[np.diff(key[chosen], prepend=-1) > 0]  # they are sorted
    drawn: NDArray[np.int64] = ends[chosen]
    return drawn
