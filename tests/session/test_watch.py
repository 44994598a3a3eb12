"""The watch: what a round says, and that no fault of the script ends it."""

from __future__ import annotations

import os
import queue
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from deskmodel.cli.text import Style
from deskmodel.cli.watch_text import round_text
from deskmodel.errors import BuildFault, InputFault
from deskmodel.findings import CheckOutcome, Finding
from deskmodel.page import Scene
from deskmodel.session.changes import changes
from deskmodel.session.progress import Silent, Stopwatch
from deskmodel.session.run import Checked, Session
from deskmodel.session.script import Ran
from deskmodel.session.watch import Round, _settled, watch
from deskmodel.session.watched_files import WatchedFiles
from tests.cli.commands import CLEAN, STRIKING

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


CUSTOM = CLEAN.replace("import ", "import custom, ", 1).replace(
    "    return d", '    d.place(custom("foot", "shapes/foot.py", "foot", "beech"), at=(50, 60, -20))\n    return d')
FOOT = "import cadquery as cq\n\ndef foot():\n    return cq.Workplane('XY').box(30, 30, 10)\n"


def test_cadquery_code_that_was_broken_is_run_again_when_it_is_mended(tmp_path: Path) -> None:
    script, shapes = tmp_path / "desk.py", tmp_path / "shapes/foot.py"
    shapes.parent.mkdir()
    shapes.write_text(FOOT)
    script.write_text(CUSTOM)
    saves = iter(["def foot(:\n", FOOT])
    told: list[Round] = []

    def show(each: Round) -> None:
        told.append(each)
        save(shapes, next(saves, FOOT))

    ended = time.monotonic() + 120
    watch(script, texts={}, progress=Silent(), show=show, stopped=lambda: len(told) >= 3 or time.monotonic() > ended,
          seconds=30.0)
    assert [each.fault is None for each in told] == [True, False, True]
    assert "foot.py" in str(told[1].fault)


def test_a_better_script_ends_one_that_hangs(tmp_path: Path) -> None:
    script = tmp_path / "desk.py"
    script.write_text("while True: pass\n")
    told: list[Round] = []
    timer = threading.Timer(2.5, save, (script, CLEAN))
    timer.start()
    ended = time.monotonic() + 120
    watch(script, texts={}, progress=Silent(), show=told.append, stopped=lambda: bool(told) or time.monotonic() > ended,
          seconds=60.0)
    timer.join()
    assert [(each.number, each.fault) for each in told] == [(1, None)]
    assert told[0].seconds["running the script"] < 40  # and not 60


def test_a_run_that_was_given_up_counts_for_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Though its files are again as they were when it is looked whether the save is over."""
    looks = iter([True, False])
    files = WatchedFiles(tmp_path / "desk.py")
    monkeypatch.setattr(files, "differ", lambda: next(looks))
    given_up, whole = Ran(None, InputFault("did not finish within 10 s"), None), Ran(None, InputFault("of its own"), ())
    runs: list[bool] = []

    def run(needless: Callable[[], bool] | None) -> Ran:
        assert needless is not None
        runs.append(needless())
        return given_up if runs[-1] else whole

    assert _settled(run, files)[0] is whole
    assert runs == [True, False]


def test_the_verdict_is_told_before_the_desk_is_drawn(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    script = tmp_path / "desk.py"
    script.write_text(CLEAN)
    told: list[tuple[str, Round]] = []
    scene = Session.scene

    def failing(self: Session, checked: Checked, **rest: Any) -> Scene:
        if told[-1][1].number == 2:
            raise BuildFault("no room in the cache")
        return scene(self, checked, **rest)

    def picture(each: Round) -> None:
        told.append(("picture", each))
        save(script, {1: STRIKING, 2: "(\n", 3: CLEAN}.get(each.number, CLEAN))

    monkeypatch.setattr(Session, "scene", failing)
    watch(script, texts={}, progress=Silent(), show=lambda each: told.append(("verdict", each)), picture=picture,
          stopped=lambda: len(told) >= 8, seconds=10.0)
    assert [(what, each.number) for what, each in told] == [
        (what, number) for number in (1, 2, 3, 4) for what in ("verdict", "picture")]
    verdicts, pictures = [each for _, each in told[::2]], [each for _, each in told[1::2]]
    assert [each.scene for each in verdicts] == [None] * 4
    assert "page" in pictures[0].seconds
    assert pictures[0].seconds["all"] > verdicts[0].seconds["all"]
    assert verdicts[1].fault is None  # the verdict stands, and the last good desk under what went wrong
    assert str(pictures[1].fault) == "its desk could not be drawn: no room in the cache"
    assert pictures[1].scene is pictures[0].scene
    assert pictures[1].changes is None  # they would be told by the places of findings that are not shown
    assert "is not valid Python" in str(pictures[2].fault)
    assert pictures[2].scene is pictures[0].scene
    assert pictures[3].fault is None
    assert pictures[3].scene is not pictures[0].scene
    assert pictures[3].good is not None
    assert pictures[3].scene is not None
    assert pictures[3].scene.record["revision"] == pictures[3].good.revision


def test_the_stopwatch_adds_up_each_piece_of_work() -> None:
    stages = Stopwatch(Silent())
    for step in ("one", "two", "one"):
        stages.step(step)
    stages.end()
    assert sorted(stages.take()) == ["one", "two"]
    assert stages.take() == {}
