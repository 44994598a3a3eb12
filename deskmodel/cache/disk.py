"""Bytes by key in a folder: atomic, checked, bounded, shared by processes, and never in the way.

- An entry is written beside its place and moved there in one step; readers see all of it or nothing.
- It carries a checksum; a corrupt or truncated one is a miss and is removed.
- The folder is bounded in bytes; the least recently used entries go first.
- A folder that cannot be written costs time, not results: everything then is a miss.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
import time
from contextlib import suppress
from pathlib import Path

from deskmodel.cache.salt import geometry_salt

__all__ = ["DEFAULT_LIMIT", "DiskCache", "default_cache", "default_folder"]

DEFAULT_LIMIT = 1 << 30
"""Bytes (1 GiB): a few thousand prepared shapes."""

_MAGIC = b"deskmodel-1\n"
_CHECK = 16  # bytes of checksum
_TOUCH_AFTER = 30.0  # s; an entry used again within this time need not be marked again
_STALE = 3600.0  # s; a file beside its place that is older was left by a process that died


def default_folder() -> Path | None:
    """``$DESKMODEL_CACHE`` (``off`` or empty: none), else ``deskmodel`` in the user's cache folder."""
    said = os.environ.get("DESKMODEL_CACHE")
    if said is not None:
        return None if said.strip().lower() in {"", "off", "none", "0"} else Path(said)
    base = os.environ.get("XDG_CACHE_HOME")
    with suppress(RuntimeError):
        return (Path(base) if base else Path.home() / ".cache") / "deskmodel"
    return None


def default_cache() -> DiskCache:
    """The cache of this user, salted with the geometry sources and the kernel's version."""
    return DiskCache(default_folder(), salt=geometry_salt())


class DiskCache:
    """``folder`` None switches it off: every get is a miss, every put does nothing."""

    def __init__(self, folder: Path | str | None, *, salt: str = "", limit: int = DEFAULT_LIMIT) -> None:
        self.folder = None if folder is None else Path(folder)
        self.salt = salt
        self.limit = limit
        self.hits = 0
        self.misses = 0
        self._size: int | None = None  # bytes below the folder as far as known; None: not yet counted

    @property
    def on(self) -> bool:
        return self.folder is not None

    def path(self, key: str) -> Path | None:
        """Where the entry of ``key`` is or would be; None where the cache is off."""
        if self.folder is None:
            return None
        name = hashlib.blake2b(f"{self.salt}\0{key}".encode(), digest_size=20).hexdigest()
        return self.folder / name[:2] / f"{name[2:]}.bin"

    def holds(self, key: str) -> bool:
        """Whether there is an entry of ``key``, sound or not."""
        path = self.path(key)
        return path is not None and path.exists()

    def get(self, key: str) -> bytes | None:
        """The bytes put under ``key``, or None."""
        path = self.path(key)
        if path is None:
            return None
        try:
            raw = path.read_bytes()
        except OSError:
            self.misses += 1
            return None
        body = _opened(raw)
        if body is None:
            with suppress(OSError):
                path.unlink()
            self.misses += 1
            return None
        with suppress(OSError):
            if time.time() - path.stat().st_mtime > _TOUCH_AFTER:
                os.utime(path)
        self.hits += 1
        return body

    def put(self, key: str, body: bytes) -> bool:
        """Store ``body`` under ``key``; False where that was not possible."""
        path = self.path(key)
        if path is None or len(body) > self.limit:
            return False
        raw = _closed(body)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, beside = tempfile.mkstemp(suffix=".tmp", dir=path.parent)
        except OSError:
            return False
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(raw)
            os.replace(beside, path)
        except OSError:
            with suppress(OSError):
                os.unlink(beside)
            return False
        self._bound(len(raw))
        return True

    def remove(self, key: str) -> None:
        path = self.path(key)
        if path is not None:
            with suppress(OSError):
                path.unlink()

    def _bound(self, added: int) -> None:
        """Keep the folder below its limit. Counted once, then kept up to date; other processes are met by
        counting again before anything is deleted."""
        if self._size is not None:
            self._size += added
            if self._size <= self.limit:
                return
        entries, now = self._entries(), time.time()
        total = sum(size for _, size, _ in entries)
        if total > self.limit:
            for used, size, path in sorted(entries):
                if total <= self.limit * 0.8:  # room for a while, so that not every put counts again
                    break
                if path.suffix == ".tmp" and now - used < _STALE:
                    continue
                with suppress(OSError):
                    path.unlink()
                    total -= size
        self._size = total

    def _entries(self) -> list[tuple[float, int, Path]]:
        found: list[tuple[float, int, Path]] = []
        if self.folder is None:
            return found
        for path in self.folder.glob("??/*"):
            if path.suffix not in {".bin", ".tmp"}:
                continue  # not ours
            with suppress(OSError):
                stat = path.stat()
                if path.suffix == ".tmp" and time.time() - stat.st_mtime > _STALE:
                    path.unlink()
                    continue
                found.append((stat.st_mtime, stat.st_size, path))
        return found


def _closed(body: bytes) -> bytes:
    return _MAGIC + hashlib.blake2b(body, digest_size=_CHECK).digest() + body


def _opened(raw: bytes) -> bytes | None:
    start = len(_MAGIC) + _CHECK
    if len(raw) < start or not raw.startswith(_MAGIC):
        return None
    body = raw[start:]
    return body if hashlib.blake2b(body, digest_size=_CHECK).digest() == raw[len(_MAGIC) : start] else None
