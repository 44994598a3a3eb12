"""STL (binary) of single parts for the printer: mm, part frame, watertight, no time in the header."""

from __future__ import annotations

import struct

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault

__all__ = ["check_stl", "pieces_of", "read_stl", "stl_bytes"]

_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def stl_bytes(name: str, remark: str, vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> bytes:
    """The file of a closed surface: ``vertices`` (n, 3) mm, ``triangles`` (m, 3), counter-clockwise from outside.

    ``remark`` (revision, "UNRELEASED") and ``name`` go into the header's 80 bytes, printable ASCII only, which never
    begin with "solid" (readers would take the file for text). Raises BuildFault where the surface is not closed in
    the single precision of the format: triangles that vanish there are left out with their two equal corners.
    """
    header = f"deskmodel {remark} {name}".encode("ascii", "replace")
    header = bytes(c if 32 <= c < 127 else 63 for c in header)[:80].ljust(80)
    corners = (vertices.astype("<f4") + np.float32(0))[triangles]  # -0 is 0: equal corners get equal bytes
    keep = ~((corners[:, 0] == corners[:, 1]).all(axis=1) | (corners[:, 1] == corners[:, 2]).all(axis=1)
             | (corners[:, 2] == corners[:, 0]).all(axis=1))
    corners = corners[keep]
    flat = np.cross((corners[:, 1] - corners[:, 0]).astype(float), (corners[:, 2] - corners[:, 0]).astype(float))
    size = np.linalg.norm(flat, axis=1, keepdims=True)
    records = np.zeros(len(corners), _RECORD)
    records["normal"] = np.divide(flat, size, out=np.zeros_like(flat), where=size > 0)
    records["corners"] = corners
    return header + struct.pack("<I", len(records)) + records.tobytes()


def read_stl(data: bytes) -> NDArray[np.float32]:
    """The triangles, (m, 3 corners, 3) mm; BuildFault where the length does not fit the count."""
    if len(data) < 84 or len(data) != 84 + 50 * struct.unpack_from("<I", data, 80)[0]:
        raise BuildFault("an STL file whose length does not fit its count")
    corners: NDArray[np.float32] = np.frombuffer(data, _RECORD, offset=84)["corners"]
    return corners


def check_stl(name: str, data: bytes, volume: float) -> None:
    """Raise BuildFault unless the file is a closed surface, outside out, of ``volume`` mm³ (1e-4 of it)."""
    corners = read_stl(data)
    if len(corners) == 0 or data[:5] == b"solid":
        raise BuildFault(f"{name!r}: an empty STL file, or one that reads as text")
    _, index = np.unique(corners.reshape(-1, 3), axis=0, return_inverse=True)
    triangles = index.reshape(-1, 3)
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    there, count = np.unique(edges, axis=0, return_counts=True)
    back = np.unique(edges[:, ::-1], axis=0)
    if (count != 1).any() or not np.array_equal(there, back):
        raise BuildFault(f"{name!r} is not watertight as STL")
    exact = corners.astype(float)
    read = float((exact[:, 0] * np.cross(exact[:, 1], exact[:, 2])).sum() / 6.0)
    if abs(read - volume) > 1e-4 * abs(volume):
        raise BuildFault(f"{name!r} has {read:.3f} mm³ as STL instead of {volume:.3f}")


def pieces_of(corners: NDArray[np.float64]) -> int:
    """How many bodies triangles (m, 3 corners, 3) make that hang together at their corners."""
    _, index = np.unique(corners.reshape(-1, 3), axis=0, return_inverse=True)
    triangles = index.reshape(-1, 3)
    label = np.arange(int(triangles.max()) + 1)
    while True:
        least = label[triangles].min(axis=1)
        after = label.copy()
        for k in range(3):
            np.minimum.at(after, triangles[:, k], least)
        after = after[after]  # a step of its own for each doubling of the way
        if np.array_equal(after, label):
            return len(np.unique(label))
        label = after
