"""The files that a desk is made of, looked at again and again until one of them is saved."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable
from pathlib import Path

__all__ = ["WatchedFiles"]

_PAUSE = 0.05
"""s between two looks."""
_SETTLED = 0.06
"""s without another change after which a save is over: editors write a file in several steps."""

State = dict[str, tuple[int, int, int]]


class WatchedFiles:
    """The script, what it was found to read, and every script and table that lies beside those in the script's folder: one
    that is new there, or was missing, counts too. Changes are told by time of change, size and identity of each file."""

    def __init__(self, script: Path) -> None:
        self._script = Path(os.path.abspath(script))
        self._read: frozenset[Path] = frozenset()
        self._seen = self._now()

    def read_by_script(self, files: Iterable[Path], since: float, *, whole: bool) -> None:
        """What the last run read; it began at ``since`` (s, ``time.time``). What was saved after that is a change. Not
        ``whole``: it broke off, and what it would have read then is what was known before."""
        before = self._paths()
        self._read = frozenset(files) | (frozenset() if whole else self._read)
        paths = self._paths()
        seen = self._seen | {name: stamp for name, stamp in self._stamps(paths - before).items() if stamp[0] < since * 1e9}
        watched = set(map(str, paths))
        self._seen = {name: stamp for name, stamp in seen.items() if name in watched}

    def wait(self, stopped: Callable[[], bool]) -> bool:
        """Until something is saved, and a moment longer until it is all there; False where ``stopped`` said so before."""
        while not stopped():
            now = self._now()
            if now != self._seen:
                self._settle(now)
                return True
            time.sleep(_PAUSE)
        return False

    def _settle(self, last: State) -> None:
        since = time.monotonic()
        while time.monotonic() - since < _SETTLED:
            time.sleep(_PAUSE / 4)
            now = self._now()
            if now != last:
                last, since = now, time.monotonic()
        self._seen = last

    def _now(self) -> State:
        return self._stamps(self._paths())

    def _paths(self) -> set[Path]:
        folder = self._script.parent
        inside = {path.parent for path in self._read if path.is_relative_to(folder)} | {folder}
        paths = {self._script, *self._read}
        for place in inside:
            try:
                paths.update(place / name for name in os.listdir(place)
                             if name.endswith((".py", ".toml")) and not name.startswith("."))
            except OSError:  # a folder that is being renamed, or was taken away
                continue
        return paths

    @staticmethod
    def _stamps(paths: Iterable[Path]) -> State:
        stamps: State = {}
        for path in paths:
            try:
                about = os.stat(path)
            except OSError:  # not there, which is a state, too
                continue
            stamps[str(path)] = (about.st_mtime_ns, about.st_size, about.st_ino)
        return stamps
