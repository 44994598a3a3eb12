"""A watch that has seen hundreds of edits says of each state what a check says that has seen nothing.

Whatever was edited before, and however it was saved: findings, outcomes, mass, figures and faults are equal to those of a
cold check, with an empty cache for every tenth edit, else with one that holds shapes and no pairs. ``RANDOM_EDITS_SEED``
takes another seed than the one that is printed.
"""

from __future__ import annotations

import json
import os
import queue
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from random import Random
from typing import Any

import pytest

from deskmodel._remembered import let_go
from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault, InputFault
from deskmodel.fit import FitEngine
from deskmodel.meshes.store import ShapeStore
from deskmodel.model import read_json
from deskmodel.session.nursery import Nursery
from deskmodel.session.run import Session
from deskmodel.session.script import SCRIPT_CHILD, run_script
from tests.cli.commands import ROOT, environment
from tests.session.random_edits import Files, small_desk
from tests.session.watch_told import said_of

SEED = int(os.environ.get("RANDOM_EDITS_SEED", "1"))
SECONDS = 8.0
"""For a script: a machine that is busy with other work needs that for a good one now and then."""

QUIET = 0.5
"""s after which nothing is at work that nobody has saved."""

DUTY = ("parts/bays.py", "parts/dimensions.py", "parts/plates.py", "parts/covers.py", "parts/equipment/desk-supply.toml",
        "parts/equipment/slip-printer.toml")


class WithoutPairs(DiskCache):
    """Holds shapes, and forgets what was measured between them."""

    def get(self, key: str) -> bytes | None:
        return None if key == "pairs" else super().get(key)

    def put(self, key: str, body: bytes) -> bool:
        return key != "pairs" and super().put(key, body)


class Cold:
    """Checks that know nothing of each other."""

    def __init__(self, script: Path, folder: Path) -> None:
        self._script, self._folder = script, folder
        self._nursery = Nursery(SCRIPT_CHILD)
        self._nursery.begin()

    def check(self, *, empty: bool) -> tuple[str | None, dict[str, Any] | None]:
        """(the fault, what it says)."""
        read_json.cache_clear()
        let_go()
        let_go()
        place = self._folder / ("empty" if empty else "shapes")
        if empty:
            shutil.rmtree(place, ignore_errors=True)
        cache = DiskCache(place) if empty else WithoutPairs(place)
        session = Session(engine=FitEngine(ShapeStore(cache)), script_seconds=SECONDS)
        try:
            ran = run_script(self._script, seconds=SECONDS, nursery=self._nursery)
            if ran.desk is None:
                return str(ran.fault), None
            return None, json.loads(json.dumps(said_of(session.check(session.load(ran.desk)))))
        except (InputFault, BuildFault) as fault:
            return str(fault), None
        finally:
            session.close()

    def close(self) -> None:
        self._nursery.close()


class Told:
    """The watch in its own process."""

    def __init__(self, script: Path, folder: Path) -> None:
        self.temporary = folder / "temporary"
        self.temporary.mkdir()
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.session.watch_told", str(script), str(SECONDS)], stdin=subprocess.PIPE,
            stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
            env={**environment(folder / "cache of the watch"), "TMPDIR": str(self.temporary)})
        self.rounds: queue.Queue[dict[str, Any]] = queue.Queue()
        self.seen: set[int] = set()
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        assert self._process.stdout is not None
        for line in self._process.stdout:
            self.rounds.put(json.loads(line))

    def further(self, seconds: float) -> list[dict[str, Any]]:
        """Rounds that come until there was none for so long."""
        seen: list[dict[str, Any]] = []
        with suppress(queue.Empty):
            while True:
                seen.append(self.rounds.get(timeout=seconds))
        return seen

    @property
    def memory(self) -> float:
        """MB that it holds."""
        text = Path(f"/proc/{self._process.pid}/status").read_text()
        return int(text.split("VmRSS:")[1].split()[0]) / 1024

    def look_for_processes(self) -> None:
        self.seen |= set(family(self._process.pid))

    def end(self) -> None:
        """And look whether anything is left."""
        self.look_for_processes()
        assert self._process.poll() is None, "the watch has ended"
        assert self._process.stdin is not None
        self._process.stdin.close()
        assert self._process.wait(timeout=60) == 0
        time.sleep(0.2)
        assert not [pid for pid in self.seen if Path(f"/proc/{pid}").exists()]
        assert not list(self.temporary.iterdir())

    def kill(self) -> None:
        self._process.kill()
        self._process.wait()


def family(pid: int) -> list[int]:
    """The process and all below it."""
    try:
        return [pid, *(each for task in Path(f"/proc/{pid}/task").iterdir()
                       for child in (task / "children").read_text().split() for each in family(int(child)))]
    except OSError:
        return [pid]


@contextmanager
def watched(script: Path, folder: Path) -> Iterator[tuple[Told, Cold]]:
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)  # where a script leaves what it makes
        told, cold = Told(script, folder), Cold(script, folder)
        patch.setattr("deskmodel.session.nursery.ask", no_other_way)
        try:
            yield told, cold
            told.end()
        finally:
            told.kill()
            cold.close()


def no_other_way(*asked: object, **more: object) -> None:
    """A script here may end the process that started it, which then would be this one."""
    pytest.fail("a script was not forked")


def edit_and_compare(files: Files, script: Path, folder: Path, count: int, *, every: int = 10, settled: int = 30) -> None:
    """``every`` so many edits with an empty cache; memory is held against that after ``settled`` of them."""
    print(f"\nseed {SEED}: {count} edits")
    memory, started, rounds, faults, slowest = [], time.monotonic(), 0, 0, 0.0
    with watched(script, folder) as (told, cold):
        expected = cold.check(empty=True)
        what = "nothing yet"
        for number in range(count + 1):
            seen: list[dict[str, Any]] = []
            while not seen or (seen[-1]["fault"], seen[-1]["said"]) != expected:
                try:
                    seen.append(told.rounds.get(timeout=60 if not seen else 15))
                except queue.Empty:
                    pytest.fail(f"seed {SEED}, edit {number} ({what}): {difference(seen, expected)}")
                told.look_for_processes()
            if number % every == 0:  # once it has said so, it stays with it
                seen += told.further(QUIET)
                assert (seen[-1]["fault"], seen[-1]["said"]) == expected, f"seed {SEED}, edit {number} ({what}), afterwards"
            rounds, faults = rounds + len(seen), faults + (expected[0] is not None)
            slowest = max(slowest, seen[-1]["seconds"])
            memory.append(told.memory)
            if number < count:
                what = files.edit(number + 1, afresh=expected[0] is not None)
                expected = cold.check(empty=number % every == 0)
    start, most = memory[min(settled, len(memory) - 1)], max(memory)
    print(f"{count} edits, {rounds} rounds, {faults} at fault, all equal, in {time.monotonic() - started:.0f} s; memory "
          f"{memory[0]:.0f} MB after the first round, {start:.0f} after {settled}, {most:.0f} at most; {len(told.seen)} "
          f"processes, none left; longest round {slowest:.2f} s")
    assert most <= 1.5 * start, memory[::10]


def difference(seen: list[dict[str, Any]], expected: tuple[str | None, dict[str, Any] | None]) -> str:
    if not seen:
        return "no round"
    fault, said = seen[-1]["fault"], seen[-1]["said"]
    if fault != expected[0] or said is None or expected[1] is None:
        return f"{len(seen)} rounds, the last: {fault!r} for {expected[0]!r}"
    return "; ".join(f"{key}: {str(said[key])[:500]} for {str(value)[:500]}" for key, value in expected[1].items()
                     if said[key] != value)


def test_a_few_edits_of_a_small_desk(tmp_path: Path) -> None:
    script = small_desk(tmp_path)
    files = Files(tmp_path, ("desk.py", "sizes.py", "equipment/box.toml"), Random(SEED), hangs=0.05, faults=0.2)
    edit_and_compare(files, script, tmp_path, 12, every=6)


@pytest.mark.slow
def test_five_hundred_edits_of_a_small_desk(tmp_path: Path) -> None:
    script = small_desk(tmp_path)
    files = Files(tmp_path, ("desk.py", "sizes.py", "sizes.py", "sizes.py", "equipment/box.toml"), Random(SEED))
    edit_and_compare(files, script, tmp_path, 500)


@pytest.mark.slow
def test_edits_of_the_duty_desk(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "parts", tmp_path / "parts")
    files = Files(tmp_path, DUTY, Random(SEED), script="parts/desk.py", hangs=0.03)
    edit_and_compare(files, tmp_path / "parts/desk.py", tmp_path, 36, every=12, settled=12)
