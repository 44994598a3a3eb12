"""The files that a desk is made of, looked at again and again until one of them is saved.

A look costs some forty calls of the system. What it can miss: a file that is read by cadquery code (its script is watched),
and content that changes while time, size, identity and time of status all stay.
"""

from __future__ import annotations

import hashlib
import os
import stat
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

__all__ = ["WatchedFiles"]

_PAUSE = 0.02
"""s between two looks."""
_SETTLED = 0.06
"""s without another change after which a save is over: editors write in several steps, or put another file in its place."""
_FRESH = 2_500_000_000
"""ns. A file as young as this may be saved again without another time: some file systems count in steps of 2 s. Until it is
older its content is looked at."""
_LARGE = 4 << 20
"""Bytes of a file above which its content is not looked at."""


@dataclass(frozen=True, slots=True)
class _Stamp:
    """What tells one state of a file from another: times in ns, bytes, number on the disk, and what stands in it (None:
    unknown)."""

    modified: int
    size: int
    identity: tuple[int, int]
    digest: bytes | None
    changed: int = field(compare=False)


State = dict[str, _Stamp]


class WatchedFiles:
    """The script, what it was found to read, and every script and table that lies beside those in the script's folder: one
    that is new there, or was missing, counts too. A script that is a link is watched at both ends."""

    def __init__(self, script: Path) -> None:
        self._script = Path(os.path.abspath(script))
        self._read: frozenset[Path] = frozenset()
        self._seen: State = {}
        self._seen = self._now()
        self._since = time.monotonic()

    def read_by_script(self, files: Iterable[Path], since: float, *, whole: bool) -> None:
        """What the last run read; it began at ``since`` (s, ``time.time``). What was saved after that is a change. Not
        ``whole``: it broke off, and what it would have read then is what was known before."""
        before = self._paths()
        self._read = frozenset(files) | (frozenset() if whole else self._read)
        paths = self._paths()
        seen = self._seen | {name: stamp for name, stamp in self._stamps(paths - before).items()
                             if stamp.modified < since * 1e9}
        watched = set(map(str, paths))
        self._seen = {name: stamp for name, stamp in seen.items() if name in watched}

    def wait(self, stopped: Callable[[], bool]) -> bool:
        """Until something is saved, if only half: see ``quiet``. False where ``stopped`` said so before."""
        while not stopped():
            now = self._now()
            if now != self._seen:
                self._seen, self._since = now, time.monotonic()
                return True
            time.sleep(_PAUSE)
        return False

    def quiet(self) -> bool:
        """Whether nothing has become different since the save that was waited for, nor does until that is surely over.
        A file written anew with what stood in it before, as a script may do, is no difference."""
        while True:
            now = self._now()
            different = _content(now) != _content(self._seen)
            self._seen = now
            if different:
                self._since = time.monotonic()
                return False
            if time.monotonic() - self._since >= _SETTLED:
                return True
            time.sleep(_PAUSE / 4)

    def differ(self) -> bool:
        """Whether something stands in them that did not when they were looked at last; that look still counts."""
        return _content(self._now()) != _content(self._seen)

    def _now(self) -> State:
        return self._stamps(self._paths())

    def _paths(self) -> set[Path]:
        folders = {self._script.parent, Path(os.path.realpath(self._script)).parent}
        inside = {path.parent for path in self._read if any(path.is_relative_to(folder) for folder in folders)}
        paths = {self._script, *self._read}
        for place in inside | folders | {folder / "equipment" for folder in folders}:
            try:
                paths.update(place / name for name in os.listdir(place)
                             if name.endswith((".py", ".toml")) and not name.startswith("."))
            except OSError:  # a folder that is not there, is being renamed, or was taken away
                continue
        return paths

    def _stamps(self, paths: Iterable[Path]) -> State:
        stamps: State = {}
        now = time.time_ns()
        for path in paths:
            name = str(path)
            try:
                about = os.stat(path)
            except OSError:  # not there, which is a state, too
                continue
            known = self._seen.get(name)
            identity = (about.st_dev, about.st_ino)
            if (known is not None and known.changed == about.st_ctime_ns and about.st_mtime_ns < now - _FRESH
                    and (known.modified, known.size, known.identity) == (about.st_mtime_ns, about.st_size, identity)):
                stamps[name] = known
                continue
            stamps[name] = _Stamp(about.st_mtime_ns, about.st_size, identity, _digest(path, about), about.st_ctime_ns)
        return stamps


def _digest(path: Path, about: os.stat_result) -> bytes | None:
    if not stat.S_ISREG(about.st_mode) or about.st_size > _LARGE:
        return None
    try:
        return hashlib.blake2b(path.read_bytes(), digest_size=16).digest()
    except OSError:
        return None


def _content(state: State) -> dict[str, object]:
    return {name: stamp if stamp.digest is None else stamp.digest for name, stamp in state.items()}
