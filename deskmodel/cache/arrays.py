"""A handful of arrays and a little JSON as one block of bytes. No pickle: reading runs nothing.

Layout: 8 bytes little-endian length of the head, the head (JSON), then the arrays, each at a multiple of 8.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["Arrays", "pack", "unpack"]

Arrays = dict[str, NDArray[Any]]

_KINDS = frozenset("biuf")  # plain numbers only


def pack(arrays: Mapping[str, NDArray[Any]], facts: Mapping[str, Any] | None = None) -> bytes:
    """One block holding ``arrays`` (plain numeric dtypes) and ``facts`` (anything JSON can say)."""
    table: list[dict[str, Any]] = []
    chunks: list[bytes] = []
    at = 0
    for name, array in arrays.items():
        if array.dtype.kind not in _KINDS:
            raise TypeError(f"array {name!r} has dtype {array.dtype}; only plain numbers are stored")
        raw = np.ascontiguousarray(array).tobytes()
        table.append({"name": name, "dtype": array.dtype.str, "shape": list(array.shape), "at": at})
        padding = -len(raw) % 8
        chunks.append(raw + b"\0" * padding)
        at += len(raw) + padding
    head = json.dumps({"arrays": table, "facts": dict(facts or {})}, separators=(",", ":")).encode()
    head += b" " * (-len(head) % 8)
    return b"".join([len(head).to_bytes(8, "little"), head, *chunks])


def unpack(block: bytes) -> tuple[Arrays, dict[str, Any]]:
    """The arrays (read-only views of ``block``) and the facts. Raises ValueError on a block that is none."""
    try:
        size = int.from_bytes(block[:8], "little")
        head = json.loads(block[8 : 8 + size])
        arrays: Arrays = {}
        for row in head["arrays"]:
            dtype = np.dtype(row["dtype"])
            if dtype.kind not in _KINDS:
                raise ValueError(f"dtype {dtype} is not stored here")
            count = int(np.prod(row["shape"], dtype=np.int64))
            view = np.frombuffer(block, dtype, count, 8 + size + int(row["at"]))
            arrays[str(row["name"])] = view.reshape(row["shape"])
        return arrays, dict(head["facts"])
    except (KeyError, TypeError, ValueError) as error:
        raise ValueError(f"not a block of arrays: {error}") from error
