"""Writes one file that somebody named, whole or not at all."""

from __future__ import annotations

import os
import stat
import tempfile
from contextlib import suppress
from pathlib import Path

from deskmodel.errors import InputFault

__all__ = ["write_whole"]


def write_whole(path: Path, data: bytes) -> None:
    """Put ``data`` into ``path``; what was there stays when that fails. Raises InputFault with the file."""
    try:
        if path.exists() and not stat.S_ISREG(path.stat().st_mode):  # a pipe or a device is written to as it is
            path.write_bytes(data)
            return
        handle, beside = tempfile.mkstemp(prefix=f".{path.name[:100]}.", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            os.chmod(beside, stat.S_IMODE(path.stat().st_mode) if path.exists() else 0o666 & ~_umask())
            os.replace(beside, path)
        except BaseException:
            with suppress(OSError):
                os.unlink(beside)
            raise
    except OSError as error:
        raise InputFault(f"cannot be written ({error.strerror or error})", file=str(path)) from error


def _umask() -> int:
    mask = os.umask(0o077)
    os.umask(mask)
    return mask
