"""Which files a script is made of: whatever its process opens to read, save what Python and deskmodel are made of."""

from __future__ import annotations

import importlib.util
import os
import sys
import sysconfig
from pathlib import Path

import deskmodel

__all__ = ["FilesRead"]


class FilesRead:
    """Listens from now on to the end of the process: a listener of Python's audit events cannot be taken away."""

    def __init__(self) -> None:
        self._opened: dict[str, None] = {}
        sys.addaudithook(self._heard)

    def _heard(self, event: str, arguments: tuple[object, ...]) -> None:
        if event == "open" and isinstance(arguments[0], str | os.PathLike) and "w" not in str(arguments[1]):
            self._opened[os.fspath(arguments[0])] = None

    @property
    def files(self) -> list[str]:
        """Absolute paths, sorted; also of files that were not there."""
        opened = {_source(os.path.abspath(each)) for each in list(self._opened) if isinstance(each, str)}
        return sorted(path for path in opened if not _installed(path))


def _source(path: str) -> str:
    """The module that a compiled one was made from."""
    if not path.endswith(".pyc"):
        return path
    try:
        return importlib.util.source_from_cache(path)
    except ValueError:  # a lone .pyc
        return path


def _installed(path: str) -> bool:
    package = Path(deskmodel.__file__).parent
    if Path(path).is_relative_to(package):
        return not Path(path).is_relative_to(package / "templates")
    libraries = {sysconfig.get_path(name) for name in ("stdlib", "platstdlib", "purelib", "platlib")}
    return any(Path(path).is_relative_to(library) for library in libraries) or path.startswith(("/proc/", "/dev/"))
