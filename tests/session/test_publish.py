"""A set of files is published whole or not at all, wherever the run is stopped."""

from __future__ import annotations

import errno
import fcntl
import hashlib
import json
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from deskmodel.errors import BuildFault, InputFault
from deskmodel.session.filesystem import FileSystem
from deskmodel.session.publish import publish

METHODS = ("make_folder", "write", "sync_folder", "rename", "exchange", "remove_folder")


def a_set(generation: int, desk: str = "shelf", count: int = 3) -> dict[str, bytes]:
    """A manifest and some files whose content depends on the generation."""
    files = {f"{'sub/' if i % 2 else ''}file{i}.bin": f"{generation}-{i}".encode() * 100 for i in range(count)}
    listed = [{"path": path, "sha256": hashlib.sha256(data).hexdigest()} for path, data in sorted(files.items())]
    manifest = json.dumps({"desk": desk, "generation": generation, "files": listed}).encode()
    return {**files, "manifest.json": manifest}


def generation_in(folder: Path) -> int:
    """Which set the folder holds; fails unless it is whole."""
    manifest = json.loads((folder / "manifest.json").read_bytes())
    there = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
    assert there == {"manifest.json", *(entry["path"] for entry in manifest["files"])}
    for entry in manifest["files"]:
        assert hashlib.sha256((folder / entry["path"]).read_bytes()).hexdigest() == entry["sha256"]
    return int(manifest["generation"])


def put(folder: Path, generation: int, system: FileSystem | None = None,
        read_back: Callable[[Path], None] = generation_in, **more: object) -> None:
    desk = str(more.pop("desk", "shelf"))
    publish(folder, a_set(generation, desk), read_back=read_back, desk=desk, system=system, **more)  # type: ignore[arg-type]


def left_over(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.parent.iterdir() if p.name != folder.name and not p.name.endswith(".lock"))


class WithoutExchange(FileSystem):
    """A system that cannot exchange two folders in one step."""

    def exchange(self, a: Path, b: Path) -> bool:
        return False


class Counted(FileSystem):
    """Calls ``event`` before every call and, for writes and removals, once in the middle."""

    def __init__(self, base: type[FileSystem], event: Callable[[], None]) -> None:
        self._base = base()
        self._event = event

    def make_folder(self, path: Path) -> None:
        self._event()
        self._base.make_folder(path)

    def write(self, path: Path, data: bytes) -> None:
        self._event()
        path.write_bytes(data[:len(data) // 2])
        self._event()
        path.unlink()
        self._base.write(path, data)

    def sync_folder(self, path: Path) -> None:
        self._event()
        self._base.sync_folder(path)

    def rename(self, old: Path, new: Path) -> None:
        self._event()
        self._base.rename(old, new)

    def exchange(self, a: Path, b: Path) -> bool:
        self._event()
        return self._base.exchange(a, b)

    def remove_folder(self, path: Path) -> None:
        self._event()
        for name in sorted(path.iterdir())[:1]:
            if name.is_file():
                name.unlink()
        self._event()
        self._base.remove_folder(path)


SYSTEMS = {"exchange": FileSystem, "two renames": WithoutExchange}


@pytest.mark.parametrize("system", SYSTEMS.values(), ids=SYSTEMS)
def test_sets_follow_each_other(tmp_path: Path, system: type[FileSystem]) -> None:
    folder = tmp_path / "exports" / "shelf"
    for generation in range(3):
        put(folder, generation, system())
        assert generation_in(folder) == generation
        assert left_over(folder) == []


def test_this_system_exchanges_in_one_step(tmp_path: Path) -> None:
    a, b = tmp_path / "a", tmp_path / "b"
    for each in (a, b):
        each.mkdir()
        (each / each.name).touch()
    if not FileSystem().exchange(a, b):
        pytest.skip("this file system does not offer the exchange")
    assert (a / "b").exists()
    assert (b / "a").exists()
    with pytest.raises(FileNotFoundError):
        FileSystem().exchange(a, tmp_path / "none")


def test_a_set_that_does_not_read_back_is_not_published(tmp_path: Path) -> None:
    folder = tmp_path / "shelf"
    put(folder, 1)

    def refuse(written: Path) -> None:
        assert generation_in(written) == 2
        raise BuildFault("not right")

    with pytest.raises(BuildFault, match="not right"):
        put(folder, 2, read_back=refuse)
    assert generation_in(folder) == 1
    assert left_over(folder) == []


@pytest.mark.parametrize("name", ["../x", "/x", "a/../../x", ".", "", "a\\b", "a\0b"])
def test_a_name_that_leaves_the_set_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(BuildFault):
        publish(tmp_path / "s", {"manifest.json": b"{}", name: b""}, read_back=lambda _: None, desk="s")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EROFS, errno.EACCES])
@pytest.mark.parametrize("kind", SYSTEMS)
def test_a_failure_at_every_call_leaves_a_whole_set(tmp_path: Path, code: int, kind: str) -> None:
    folder = tmp_path / "shelf"
    put(folder, 0)
    generation = 0
    for stop in range(1, 100):
        count = 0

        def event(stop: int = stop) -> None:
            nonlocal count
            count += 1
            if count == stop:
                raise OSError(code, os.strerror(code), str(folder))

        problem = problem_of(lambda: put(folder, generation + 1, Counted(SYSTEMS[kind], event)))  # noqa: B023
        if problem is None:
            generation += 1
        else:  # after the exchange it is the new set, just as whole
            assert ("disk is full" in problem) == (code == errno.ENOSPC)
            assert generation_in(folder) in {generation, generation + 1}
            generation = generation_in(folder)
        assert generation_in(folder) == generation
        if count < stop:
            break
    else:
        pytest.fail("never came to the end")
    assert stop > 12
    put(folder, 1000)
    assert generation_in(folder) == 1000
    assert left_over(folder) == []


def problem_of(work: Callable[[], None]) -> str | None:
    try:
        work()
    except InputFault as fault:
        return fault.problem
    return None


def run_apart(folder: Path, generation: int, kind: str, stop: int) -> int:
    """Publish in another process that is killed at its ``stop``-th call; its exit status (0: came to the end)."""
    code = f"""
import os, signal
from pathlib import Path
from tests.session.test_publish import SYSTEMS, Counted, put
count = 0
def event():
    global count
    count += 1
    if count == {stop}:
        os.kill(os.getpid(), signal.SIGKILL)
put(Path({str(folder)!r}), {generation}, Counted(SYSTEMS[{kind!r}], event))
"""
    return subprocess.run([sys.executable, "-c", code], env=environment(), check=False).returncode


def environment() -> Mapping[str, str]:
    root = Path(__file__).parent.parent.parent
    return {**os.environ, "PYTHONPATH": f"{root}{os.pathsep}{os.environ.get('PYTHONPATH', '')}"}


@pytest.mark.parametrize("kind", SYSTEMS)
def test_killed_at_every_call_leaves_a_whole_set(tmp_path: Path, kind: str) -> None:
    folder = tmp_path / "shelf"
    put(folder, 0)
    seen = {0}
    for stop in range(1, 100):
        status = run_apart(folder, stop, kind, stop)
        if kind == "exchange":  # in one step: there is no moment without a whole set in its place
            assert generation_in(folder) in {max(seen), stop}
        if status == 0:
            break
        assert status == -signal.SIGKILL
        put(tmp_path / "other", 0)  # some other desk next to it changes nothing
        before = generation_in(folder) if folder.exists() else None
        system = Counted(SYSTEMS[kind], lambda: None)
        with pytest.raises(BuildFault):  # the next run puts things right even if it has nothing to publish
            put(folder, -1, system, read_back=refuse_all)
        seen.add(generation_in(folder))
        assert before in {None, generation_in(folder)}
        assert [name for name in left_over(folder) if name != "other"] == []
    else:
        pytest.fail("never came to the end")
    assert stop > 12
    assert generation_in(folder) == stop


def refuse_all(folder: Path) -> None:
    raise BuildFault("nothing to publish")


def test_killed_thirty_times_at_random(tmp_path: Path) -> None:
    seed = 20260
    print(f"seed {seed}")
    chance = random.Random(seed)
    folder = tmp_path / "shelf"
    put(folder, 0)
    code = f"""
import itertools
from pathlib import Path
from tests.session.test_publish import put
print("ready", flush=True)
for generation in itertools.count(1):
    put(Path({str(folder)!r}), generation)
"""
    for _ in range(30):
        process = subprocess.Popen([sys.executable, "-c", code], env=environment(), stdout=subprocess.PIPE)
        assert process.stdout is not None
        assert process.stdout.readline() == b"ready\n"
        time.sleep(chance.uniform(0.0, 0.05))
        process.kill()
        assert process.wait() == -signal.SIGKILL
        process.stdout.close()
        if FileSystem().exchange(tmp_path, tmp_path):
            generation_in(folder)
        put(folder, 0)
        assert generation_in(folder) == 0
        assert left_over(folder) == []


def test_two_runs_at_once(tmp_path: Path) -> None:
    folder = tmp_path / "shelf"
    put(folder, 1)
    with open(tmp_path / ".shelf.lock", "r+b") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        start = time.monotonic()
        with pytest.raises(InputFault, match="another run of deskmodel is writing this desk"):
            put(folder, 2, wait=0.2)
        assert 0.2 <= time.monotonic() - start < 2.0
        put(tmp_path / "other", 1, wait=0.0)  # another desk does not wait
    put(folder, 3, wait=0.0)
    assert generation_in(folder) == 3


def test_files_of_somebody_else_are_not_lost(tmp_path: Path) -> None:
    folder = tmp_path / "shelf"
    put(folder, 1)
    (folder / "notes.txt").write_text("mine")
    with pytest.raises(InputFault, match=r"'notes.txt', which deskmodel did not write"):
        put(folder, 2)
    assert (folder / "notes.txt").read_text() == "mine"
    assert left_over(folder) == []
    (folder / "notes.txt").rename(folder / ".DS_Store")  # what file browsers leave is nobody's
    put(folder, 2)
    with pytest.raises(InputFault, match="holds the desk 'shelf'"):
        put(folder, 3, desk="Shelf")
    (folder / "manifest.json").unlink()
    with pytest.raises(InputFault, match="no list of them"):
        put(folder, 3)
    (tmp_path / "link").symlink_to(folder)
    with pytest.raises(InputFault, match="not a folder of its own"):
        put(tmp_path / "link", 3)
    (tmp_path / "empty").mkdir()
    put(tmp_path / "empty", 3)


def test_places_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(InputFault):
        put(tmp_path / "file" / "shelf", 1)
    if os.geteuid() != 0:
        (tmp_path / "locked").mkdir(mode=0o500)
        with pytest.raises(InputFault, match="may not be written"):
            put(tmp_path / "locked" / "shelf", 1)


def test_every_step_is_tested() -> None:
    assert set(METHODS) == {name for name in vars(FileSystem) if not name.startswith("_")}
    assert set(METHODS) <= set(vars(Counted))
