"""The watch: what counts as a save, what a round says, and that no fault of the script ends it."""

from __future__ import annotations

import os
import queue
import shutil
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from deskmodel.cli.text import Style
from deskmodel.cli.watch_text import round_text
from deskmodel.findings import CheckOutcome, Finding
from deskmodel.session.changes import changes
from deskmodel.session.progress import Silent, Stopwatch
from deskmodel.session.script import run_script
from deskmodel.session.watch import Round, watch
from deskmodel.session.watched_files import WatchedFiles
from tests.cli.commands import CLEAN, ROOT, STRIKING

SHELF = ROOT / "deskmodel/templates/shelf"


# ---- which files

def test_the_files_of_a_desk_are_its_modules_and_sheets(tmp_path: Path) -> None:
    shutil.copytree(SHELF, tmp_path / "shelf")
    ran = run_script(tmp_path / "shelf/desk.py")
    assert ran.files is not None
    expected = {path for path in (tmp_path / "shelf").rglob("*") if path.suffix in (".py", ".toml")}
    assert set(ran.files) == expected


def test_files_are_told_of_a_script_at_fault_too(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text("import sizes\n")
    (tmp_path / "sizes.py").write_text("width = = 3\n")
    ran = run_script(tmp_path / "desk.py")
    assert ran.desk is None
    assert ran.files == (tmp_path / "desk.py", tmp_path / "sizes.py")


def saved(files: WatchedFiles) -> bool:
    """Whether something was saved, within a few looks."""
    looks = iter([False] * 4)
    return files.wait(lambda: next(looks, True))


def test_what_counts_as_a_save(tmp_path: Path) -> None:
    script, sheet, foreign = tmp_path / "desk.py", tmp_path / "equipment/box.toml", tmp_path / "notes.txt"
    sheet.parent.mkdir()
    for path in (script, sheet, foreign):
        path.write_text("")
        os.utime(path, (1, 1))
    files = WatchedFiles(script)
    files.read_by_script([script, sheet], since=2.0, whole=True)
    assert not saved(files)
    foreign.write_text("no part of it")
    assert not saved(files)
    sheet.write_text("a = 1")
    assert saved(files)
    assert not saved(files)
    (tmp_path / "desk.py.new").write_text("print()")
    os.replace(tmp_path / "desk.py.new", script)  # as many editors save
    assert saved(files)
    (sheet.parent / "second.toml").write_text("")  # it may have been missing
    assert saved(files)
    sheet.unlink()
    assert saved(files)


def test_what_is_saved_while_the_script_runs_is_not_lost(tmp_path: Path) -> None:
    script, module = tmp_path / "desk.py", tmp_path / "elsewhere/sizes.py"
    module.parent.mkdir()
    for path in (script, module):
        path.write_text("")
    files = WatchedFiles(script)
    files.read_by_script([script, module], since=module.stat().st_mtime - 1.0, whole=True)
    assert saved(files)


def test_a_run_that_broke_off_forgets_nothing(tmp_path: Path) -> None:
    script, module = tmp_path / "desk.py", tmp_path / "elsewhere/sizes.py"
    module.parent.mkdir()
    for path in (script, module):
        path.write_text("")
        os.utime(path, (1, 1))
    files = WatchedFiles(script)
    files.read_by_script([script, module], since=2.0, whole=True)
    files.read_by_script([script], since=2.0, whole=False)
    assert not saved(files)
    module.write_text("x = 1")
    assert saved(files)


# ---- what became of the findings

def finding(check: str, *parts: str, x: float = 0.0, measured: float = 1.0) -> Finding:
    return Finding(check, "stop", parts, "said", "remedy", point=(x, 0.0, 0.0), measured=measured)


def test_changes_pair_what_is_the_same_and_near() -> None:
    before = [CheckOutcome("a", "findings", (finding("a", "p", "q", x=0), finding("a", "p", "q", x=100), finding("a", "r")))]
    after = [CheckOutcome("a", "findings", (finding("a", "p", "q", x=101, measured=2), finding("a", "s")))]
    told = changes(before, after)
    assert [each.parts for each in told.new] == [("s",)]
    assert sorted((each.parts, each.point[0]) for each in told.gone if each.point) == [(("p", "q"), 0.0), (("r",), 0.0)]
    assert [each.measured for each in told.still] == [2]


# ---- rounds

class Watch:
    """A watch at work beside the test."""

    def __init__(self, script: Path) -> None:
        self.rounds: queue.Queue[Round] = queue.Queue()
        self._stop = threading.Event()
        self._thread = threading.Thread(target=lambda: watch(script, texts={}, progress=Silent(), show=self.rounds.put,
                                                             stopped=self._stop.is_set, seconds=2.0))
        self._thread.start()

    def next(self) -> Round:
        return self.rounds.get(timeout=60)

    def end(self) -> None:
        self._stop.set()
        self._thread.join(timeout=60)
        assert not self._thread.is_alive()


@pytest.fixture
def frame(tmp_path: Path) -> Iterator[tuple[Path, Watch]]:
    script = tmp_path / "desk.py"
    script.write_text(CLEAN)
    running = Watch(script)
    try:
        yield script, running
    finally:
        running.end()


def save(script: Path, text: str) -> None:
    """At one stroke: on a busy machine a round may begin while the file is still empty."""
    script.with_suffix(".new").write_text(text)
    os.replace(script.with_suffix(".new"), script)


def test_rounds(frame: tuple[Path, Watch]) -> None:
    script, running = frame
    first = running.next()
    assert first.fault is None
    assert first.good is not None
    assert first.changes is not None
    assert not first.changes.new
    assert {"running the script", "checking", "all"} <= set(first.seconds)

    save(script, STRIKING)
    moved = running.next()
    assert moved.changes is not None
    assert {each.id for each in moved.changes.new} >= {"parts-overlap"}
    assert "[STOP] parts-overlap" in round_text(moved, Style())

    broken = {"is not valid Python": "(\n", "exit status 4": "import os; os._exit(4)\n",
              "did not finish within 2 s": "while True: pass\n", "raised KeyboardInterrupt": "raise KeyboardInterrupt\n"}
    for said, line in broken.items():
        save(script, line + CLEAN)
        at_fault = running.next()
        assert said in str(at_fault.fault)
        assert at_fault.good is moved.good
        assert said in round_text(at_fault, Style())
    script.unlink()
    assert "no such file" in str(running.next().fault)

    save(script, CLEAN)
    mended = running.next()
    assert mended.fault is None
    assert mended.changes is not None
    assert {each.id for each in mended.changes.gone} == {each.id for each in moved.changes.new}
    assert mended.good is not None
    assert mended.good.revision == first.good.revision
    assert "nothing stops the build" in round_text(mended, Style())


def test_the_stopwatch_adds_up_each_piece_of_work() -> None:
    stages = Stopwatch(Silent())
    for step in ("one", "two", "one"):
        stages.step(step)
    stages.end()
    assert sorted(stages.take()) == ["one", "two"]
    assert stages.take() == {}
