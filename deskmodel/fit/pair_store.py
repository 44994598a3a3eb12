"""Pair results kept from one start to the next: one bounded entry of the disk cache, replaced as a whole.

Most results say nothing; of those only the digest of the key is kept. Two processes may write: each first takes in what
the other wrote. What could not be measured is not kept, so it is tried again.
"""

from __future__ import annotations

import json
from typing import Any

import numpy as np

from deskmodel.cache import DiskCache
from deskmodel.cache.arrays import pack, unpack
from deskmodel.fit.result import CLEAR, PairResult, result_from_json, result_to_json

__all__ = ["PairStore"]

_ENTRY = "pairs"
_MOST = 200_000  # results; the oldest go first
_WIDTH = 16  # bytes of a digest


class PairStore:
    """Results by digest (16 bytes)."""

    def __init__(self, cache: DiskCache) -> None:
        self._cache = cache
        self._said: dict[bytes, str] = {}  # "" for a result that says nothing
        self._read = False
        self.unsaved = 0

    def get(self, digest: bytes) -> PairResult | None:
        if not self._read:
            self._take_in()
        said = self._said.get(digest)
        if said is None:
            return None
        if not said:
            return CLEAR
        try:
            return result_from_json(json.loads(said))
        except (KeyError, TypeError, ValueError):
            del self._said[digest]
            return None

    def put(self, digest: bytes, result: PairResult) -> None:
        if result.why is not None or not self._cache.on:
            return
        self._said.pop(digest, None)
        self._said[digest] = "" if result.clear else json.dumps(result_to_json(result), separators=(",", ":"))
        self.unsaved += 1

    def flush(self) -> None:
        """Write what is new. Without a cache, or with nothing new, nothing happens."""
        if not self.unsaved or not self._cache.on:
            return
        self._take_in()
        while len(self._said) > _MOST:
            del self._said[next(iter(self._said))]
        texts = json.dumps(list(self._said.values()), separators=(",", ":")).encode()
        arrays: dict[str, Any] = {
            "digests": np.frombuffer(b"".join(self._said), np.uint8),
            "texts": np.frombuffer(texts, np.uint8),
        }
        self._cache.put(_ENTRY, pack(arrays))
        self.unsaved = 0

    def _take_in(self) -> None:
        self._read = True
        block = self._cache.get(_ENTRY)
        if block is None:
            return
        try:
            arrays, _ = unpack(block)
            digests = arrays["digests"].tobytes()
            texts = json.loads(arrays["texts"].tobytes())
            if len(digests) != _WIDTH * len(texts) or not all(isinstance(text, str) for text in texts):
                raise ValueError("digests and texts differ in number")
        except (KeyError, ValueError):
            self._cache.remove(_ENTRY)
            return
        stored = {digests[k * _WIDTH : (k + 1) * _WIDTH]: text for k, text in enumerate(texts)}
        stored.update(self._said)
        self._said = stored
