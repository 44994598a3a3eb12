"""Puts a set of files into a folder whole or not at all, whenever and however the run ends.

The set is written beside its place, read back, and put on the disk; then the two folders change places in one
step where the system offers it. Elsewhere the old set is first renamed to ``.NAME.old``: a folder of that name
is the journal from which the next run puts things right. What a killed run leaves, the next one removes.

    .NAME.lock   held by the run that is at work; ends with its process
    .NAME.new    the set being written; after an exchange, the set it replaced
    .NAME.old    the set being replaced, without exchange
"""

from __future__ import annotations

import errno
import fcntl
import json
import os
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path, PurePosixPath

from deskmodel.errors import BuildFault, InputFault
from deskmodel.session.filesystem import FileSystem

__all__ = ["LOCK_SECONDS", "MANIFEST", "check_place", "publish"]

LOCK_SECONDS = 5.0
"""s. How long a run waits for another one that writes the same desk."""

MANIFEST = "manifest.json"
_JUNK = {".DS_Store", "Thumbs.db", "desktop.ini", ".directory"}  # what file browsers leave


def publish(folder: Path, files: Mapping[str, bytes], *, read_back: Callable[[Path], None], desk: str,
            wait: float = LOCK_SECONDS, system: FileSystem | None = None) -> None:
    """Make ``folder`` hold exactly ``files`` (relative path -> content, ``manifest.json`` among them).

    ``read_back`` gets the folder in which they were written and raises when one of them is not right.
    Raises InputFault where the folder cannot be written, is being written by another run, belongs to another desk
    or holds files of somebody's own; BuildFault where the set is at fault. Then ``folder`` is as it was.
    """
    system = system or FileSystem()
    _check_names(files)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with _lock(folder, wait):
            _recover(folder, system)
            _check_place(folder, desk)
            _write_and_exchange(folder, files, read_back, system)
    except OSError as error:
        raise _fault(error, folder) from error


def check_place(folder: Path, desk: str) -> None:
    """What can be told before the files are made: InputFault as ``publish`` raises it where the folder belongs to somebody
    else or cannot be written. Nothing is written."""
    try:
        there = next(place for place in (folder, *folder.absolute().parents) if os.path.lexists(place))
        if there != folder and not there.is_dir():
            raise InputFault("is not a folder", file=str(there), allowed="a folder to write into, or none")
        if not os.access(there if there.is_dir() else there.parent, os.W_OK | os.X_OK):
            raise InputFault("may not be written", file=str(there))
        if os.path.lexists(folder):
            _check_place(folder, desk)
    except OSError as error:
        raise _fault(error, folder) from error


def _check_names(files: Mapping[str, bytes]) -> None:
    if MANIFEST not in files:
        raise BuildFault(f"a set without {MANIFEST}")
    for name in files:
        path = PurePosixPath(name)
        if path.is_absolute() or not path.parts or {"..", "."} & set(path.parts) or "\\" in name or "\0" in name:
            raise BuildFault(f"{name!r} is no file name inside the set")


def _beside(folder: Path, kind: str) -> Path:
    return folder.parent / f".{folder.name}.{kind}"


@contextmanager
def _lock(folder: Path, wait: float) -> Iterator[None]:
    descriptor = os.open(_beside(folder, "lock"), os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o666)
    try:
        end = time.monotonic() + wait
        while True:
            try:
                fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                if time.monotonic() >= end:
                    raise InputFault("another run of deskmodel is writing this desk; run again when it is done",
                                     file=str(folder)) from None
                time.sleep(0.05)
        yield
    finally:
        os.close(descriptor)


def _recover(folder: Path, system: FileSystem) -> None:
    """Put right what a run that was ended at any point has left. The set in ``folder`` is always a whole one."""
    new, old = _beside(folder, "new"), _beside(folder, "old")
    if old.exists() and not folder.exists():
        # The old set was moved away, so the new one had been read back and was on the disk.
        system.rename(new if new.exists() else old, folder)
        system.sync_folder(folder.parent)
    for left in (new, old):
        if left.exists():
            system.remove_folder(left)


def _check_place(folder: Path, desk: str) -> None:
    """Refuse a folder with anything in it that deskmodel did not write: replacing it would lose it."""
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise InputFault("is not a folder of its own", file=str(folder), allowed="a plain folder, or none")
    if not folder.exists():
        return
    present = {path.relative_to(folder).as_posix() for path in folder.rglob("*")
               if (path.is_symlink() or not path.is_dir()) and path.name not in _JUNK}
    if not present:
        return
    owner, listed = _manifest(folder / MANIFEST)
    if owner is None:
        raise InputFault("holds files but no list of them by deskmodel", file=str(folder),
                         allowed="move or delete this folder")
    if owner != desk:
        raise InputFault(f"holds the desk {owner!r}", file=str(folder),
                         allowed=f"another name than {desk!r}, another --out, or delete this folder")
    foreign = sorted(present - listed - {MANIFEST})
    if foreign:
        some = ", ".join(repr(name) for name in foreign[:5]) + (" …" if len(foreign) > 5 else "")
        raise InputFault(f"holds {some}, which deskmodel did not write and would lose", file=str(folder),
                         allowed="move that elsewhere")


def _manifest(path: Path) -> tuple[str | None, set[str]]:
    try:
        manifest = json.loads(path.read_text(encoding="utf-8"))
        return str(manifest["desk"]), {str(entry["path"]) for entry in manifest["files"]}
    except (OSError, ValueError, KeyError, TypeError):
        return None, set()


def _write_and_exchange(folder: Path, files: Mapping[str, bytes], read_back: Callable[[Path], None],
                        system: FileSystem) -> None:
    new, old = _beside(folder, "new"), _beside(folder, "old")
    try:
        _write(new, files, system)
        read_back(new)
        if not folder.exists():
            system.rename(new, folder)
        elif not system.exchange(new, folder):
            system.rename(folder, old)
            try:
                system.rename(new, folder)
            except OSError:
                system.rename(old, folder)
                raise
        system.sync_folder(folder.parent)
    except BaseException:
        _try_to_remove(new, system)
        raise
    _try_to_remove(new, system)
    _try_to_remove(old, system)


def _write(new: Path, files: Mapping[str, bytes], system: FileSystem) -> None:
    folders = {new}
    for name in files:
        folders |= {new / parent for parent in PurePosixPath(name).parents}
    for path in sorted(folders):  # a folder sorts before what is in it
        system.make_folder(path)
    for name in sorted(files):
        system.write(new / name, files[name])
    for path in sorted(folders, reverse=True):
        system.sync_folder(path)


def _try_to_remove(path: Path, system: FileSystem) -> None:
    """What cannot be removed now does no harm: the next run tries again and says so."""
    try:
        if path.exists():
            system.remove_folder(path)
    except OSError:
        pass


def _fault(error: OSError, folder: Path) -> InputFault:
    place = str(error.filename or folder)
    if error.errno == errno.ENOSPC:
        return InputFault("the disk is full; the files there are as they were", file=str(folder))
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return InputFault(f"may not be written ({error.strerror})", file=place)
    return InputFault(f"cannot be written ({error.strerror or error})", file=place)
