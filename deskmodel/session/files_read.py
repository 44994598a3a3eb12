"""Which files a script is made of: whatever its process opens to read, save what Python and deskmodel are made of; and
where modules would be that it looked for in vain, so that it is run again when one of them is written."""

from __future__ import annotations

import importlib.util
import os
import sys
import sysconfig
from pathlib import Path

import deskmodel

__all__ = ["FilesRead"]


_WRITING = os.O_WRONLY | os.O_RDWR
_SOUGHT = 50
"""Modules sought in vain that are told at most."""


class FilesRead:
    """Listens from now on to the end of the process: a listener of Python's audit events cannot be taken away."""

    def __init__(self, folder: Path) -> None:
        """``folder``: of the script."""
        self._folder = folder
        self._opened: dict[str, None] = {}
        self._written: set[str] = set()
        self._imported: dict[str, None] = {}
        sys.addaudithook(self._heard)

    def _heard(self, event: str, arguments: tuple[object, ...]) -> None:
        if event == "import" and isinstance(arguments[0], str):
            self._imported[arguments[0]] = None
        elif event == "open" and isinstance(arguments[0], str | os.PathLike):
            path, flags = os.fspath(arguments[0]), arguments[2]
            if isinstance(path, str):
                self._opened[path] = None
                if isinstance(flags, int) and flags & _WRITING:
                    self._written.add(path)

    @property
    def files(self) -> list[str]:
        """Absolute paths, sorted; also of files that were not there. None that the script wrote itself: it would be run
        again for each."""
        written = {os.path.abspath(each) for each in list(self._written)}
        opened = {_source(os.path.abspath(each)) for each in list(self._opened)}
        opened -= written
        return sorted({*(path for path in opened if not _installed(path)), *self._sought(opened)})

    def _sought(self, opened: set[str]) -> list[str]:
        """Where those modules would be that were not there."""
        names = [name.replace(".", os.sep) for name in list(self._imported) if name not in sys.modules]
        places = [(str(self._folder / f"{name}.py"), str(self._folder / name / "__init__.py")) for name in names[:_SOUGHT]]
        return [place for both in places if not opened.intersection(both) for place in both]


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
