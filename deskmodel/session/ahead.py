"""A second process that works ahead on the other core: it puts into the cache on disk what this one will ask for.

Nothing comes back but through the cache, which two processes may share. So nothing is lost but time where the second process
is not started, is slow or dies: whatever is not in the cache is made here. Shapes are taken from the other end of the
list, until the two meet.
"""

from __future__ import annotations

import json
import os
import select
import shutil
import subprocess
import sys
import tempfile
import weakref
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path

from deskmodel.cache import DiskCache
from deskmodel.model import DeskModel, write_json
from deskmodel.processes import environment

__all__ = ["Ahead"]

_SHAPES = 24
"""Shapes to be built from which a second process is worth its half second of imports."""

_SECONDS = 120.0
"""s. How long a file is waited for that the second process reads; then it is read here."""


class Ahead:
    """``close`` ends the second process, at work or not; so does the end of the object or of this process."""

    def __init__(self, cache: DiskCache) -> None:
        self._cache = cache
        self._helper: _Helper | None = None
        self._reading = False

    def begin(self) -> None:
        """Start the second process now, whatever it will be given: its imports take as long as a script."""
        self._start()

    def build(self, model: DeskModel, keys: Iterable[str], *, steps: bool) -> None:
        """Begin to prepare the shapes of the model where many of ``keys`` are not in the cache; ``steps``: and to describe
        them as STEP."""
        missing = sum(not self._cache.holds(f"shape:{key}") for key in keys)
        if missing < _SHAPES:
            self.close()
        elif self._helper is not None or self._start():
            self._tell("model.json", write_json(model).encode(), "build steps" if steps else "build")

    def read(self, data: bytes) -> None:
        """Begin to read a STEP file of these bytes."""
        if self._helper is not None or self._start():
            self._reading = self._tell("ahead.step", data, "read")

    def write(self, model: DeskModel, facts: Callable[[str], str]) -> Path | None:
        """Begin to write files from the other end, see ``shared_writing``; ``facts`` gets the name of the folder of claims,
        which is returned. None where there is no second process."""
        if self._helper is None and not self._start():
            return None
        folder = self._helper.folder_of_claims() if self._helper is not None else None
        if folder is None or not self._tell("facts.json", facts(folder.name).encode(), "") or not self._tell(
                "job.json", write_json(model).encode(), "write"):
            return None
        return folder

    @property
    def at_work(self) -> bool:
        """Whether there is a second process that has not ended."""
        return self._helper is not None and self._helper.lives

    def wait(self) -> None:
        """Until the file has been read, or will not be."""
        if self._helper is not None and self._reading:
            self._helper.answered(_SECONDS)
        self._reading = False

    def close(self) -> None:
        if self._helper is not None:
            self._helper.end()
        self._helper, self._reading = None, False

    def _start(self) -> bool:
        """Whether there is one now: there is none where it would have no core or no cache."""
        self.close()
        if self._cache.folder is not None and _cores() > 1:
            with suppress(OSError):
                self._helper = _Helper(self._cache)
        return self._helper is not None

    def _tell(self, name: str, data: bytes, task: str) -> bool:
        try:
            if self._helper is not None:
                self._helper.tell(name, data, task)
        except OSError:
            self.close()
        return self._helper is not None


class _Helper:
    """The process and the folder of files that it is given. Tasks and answers are one line each."""

    def __init__(self, cache: DiskCache) -> None:
        folder = Path(tempfile.mkdtemp(prefix="deskmodel-"))
        about = json.dumps({"folder": str(cache.folder), "salt": cache.salt, "limit": cache.limit, "files": str(folder)})
        try:
            process = subprocess.Popen([sys.executable, "-P", "-m", "deskmodel.session.ahead_child", about],
                                       stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                                       env=environment())
        except OSError:
            shutil.rmtree(folder, ignore_errors=True)
            raise
        self._folder, self._process = folder, process
        self._writings = 0
        self._finalizer = weakref.finalize(self, _end, process, folder)

    def tell(self, name: str, data: bytes, task: str) -> None:
        """Give it a file; and a task, unless another file follows."""
        (self._folder / name).write_bytes(data)
        if not task:
            return
        assert self._process.stdin is not None
        self._process.stdin.write(f"{task}\n".encode())
        self._process.stdin.flush()

    def folder_of_claims(self) -> Path | None:
        self._writings += 1
        folder = self._folder / f"claims {self._writings}"
        try:
            folder.mkdir()
        except OSError:
            return None
        return folder

    @property
    def lives(self) -> bool:
        return self._process.poll() is None

    def answered(self, seconds: float) -> bool:
        """Whether a line came in time, and not the end of the process."""
        assert self._process.stdout is not None
        ready, _, _ = select.select([self._process.stdout], [], [], seconds)
        return bool(ready) and bool(os.read(self._process.stdout.fileno(), 1))

    def end(self) -> None:
        self._finalizer()


def _end(process: subprocess.Popen[bytes], folder: Path) -> None:
    """At any time: an entry of the cache is there as a whole or not at all."""
    process.kill()
    process.wait()
    for stream in (process.stdin, process.stdout):
        if stream is not None:
            with suppress(OSError):
                stream.close()
    shutil.rmtree(folder, ignore_errors=True)


def _cores() -> int:
    affinity = getattr(os, "sched_getaffinity", None)
    return len(affinity(0)) if affinity is not None else os.cpu_count() or 1
