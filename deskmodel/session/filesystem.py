"""The few calls by which a set of files is published, in one place so that tests can stop a run at any of them."""

from __future__ import annotations

import ctypes
import errno
import os
import shutil
import sys
from pathlib import Path

__all__ = ["FileSystem"]

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
_NOT_OFFERED = {errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP, errno.ENOTSUP, errno.EPERM}


class FileSystem:
    """Each method is one step that either happened or did not when the process ends, ``write`` and
    ``remove_folder`` excepted: those may be half done. All raise OSError."""

    def make_folder(self, path: Path) -> None:
        path.mkdir()

    def write(self, path: Path, data: bytes) -> None:
        """A new file, on the disk when this returns."""
        with open(path, "xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())

    def sync_folder(self, path: Path) -> None:
        """The names in a folder, on the disk when this returns."""
        descriptor = os.open(path, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)

    def rename(self, old: Path, new: Path) -> None:
        os.rename(old, new)

    def exchange(self, a: Path, b: Path) -> bool:
        """Let two folders change places in one step; False where the system does not offer that."""
        if not sys.platform.startswith("linux"):
            return False
        try:
            renameat2 = ctypes.CDLL(None, use_errno=True).renameat2
        except AttributeError:  # a C library without it
            return False
        if renameat2(_AT_FDCWD, os.fsencode(a), _AT_FDCWD, os.fsencode(b), _RENAME_EXCHANGE) == 0:
            return True
        code = ctypes.get_errno()
        if code in _NOT_OFFERED:
            return False
        raise OSError(code, os.strerror(code), str(a))

    def remove_folder(self, path: Path) -> None:
        shutil.rmtree(path)
