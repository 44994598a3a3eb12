"""The watch: on saving, the script runs in its child, and the same session as ``check`` measures what changed.

A round never fails: a script at fault, one that hangs, a part that cannot be built end as the fault that is shown over the
last good round. No verdict depends on the rounds before: the session keeps what it measured under the content of shapes and
poses, and the findings of a round are those of its own desk alone.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from deskmodel.errors import BuildFault, InputFault
from deskmodel.fit import FitEngine
from deskmodel.meshes.store import ShapeStore
from deskmodel.model import DeskModel, read_json
from deskmodel.page import Scene
from deskmodel.part import CustomShape
from deskmodel.session.changes import Changes, changes
from deskmodel.session.nursery import Nursery
from deskmodel.session.progress import Progress, Stopwatch
from deskmodel.session.run import Checked, Session
from deskmodel.session.script import SCRIPT_CHILD, WATCH_SECONDS, Ran, run_script
from deskmodel.session.watched_files import WatchedFiles

__all__ = ["Round", "watch"]

_MEMORY = 0
"""Bytes of shapes kept that the last two desks did without: a watch goes on all day, each save makes new ones, and with
their trees and solids they take 2 MB apiece. They lie in the cache on disk."""

_AGAIN = 10
"""Runs in a row that may come to nothing: a file that never comes to rest must not keep everything back."""


Run = Callable[[Callable[[], bool] | None], Ran]
"""Runs the script; it may be given up when what it is given says so."""


@dataclass(frozen=True, eq=False, slots=True)
class Round:
    """What one save came to. ``good``: the last desk that could be checked, of this round where ``fault`` is None.
    ``changes``: against the good desk before it. ``seconds``: of each stage, and "all" from when the save was seen.
    ``scene``: what the page shows of ``good``; None in a verdict, which does not wait for it."""

    number: int
    good: Checked | None
    fault: InputFault | BuildFault | None
    changes: Changes | None
    seconds: Mapping[str, float]
    scene: Scene | None = None


def watch(script: Path, *, texts: Mapping[str, str], progress: Progress, show: Callable[[Round], None],
          begin: Callable[[int], None] | None = None, picture: Callable[[Round], None] | None = None,
          stopped: Callable[[], bool], seconds: float = WATCH_SECONDS) -> None:
    """Rounds until ``stopped``, which is asked about fifty times a second: one at once, then one for each save.
    ``begin`` gets the number of each when it begins, ``show`` the round as soon as its verdict stands, ``picture`` then once
    more, with its scene."""
    stages = Stopwatch(progress)
    session = Session(progress=stages, script_seconds=seconds, engine=FitEngine(ShapeStore(memory=_MEMORY)))
    nursery = Nursery(SCRIPT_CHILD)
    nursery.begin()

    def run(needless: Callable[[], bool] | None) -> Ran:
        return run_script(script, texts=texts, seconds=seconds, nursery=nursery, needless=needless)

    try:
        scene: Scene | None = None
        for each in _rounds(session, stages, WatchedFiles(script), script, run, stopped, begin):
            show(each)
            if picture is not None:
                pictured = _pictured(session, stages, each, scene)
                scene = pictured.scene
                picture(pictured)
    finally:
        nursery.close()
        session.close()


def _rounds(session: Session, stages: Stopwatch, files: WatchedFiles, script: Path, run: Run,
            stopped: Callable[[], bool], begin: Callable[[int], None] | None) -> Iterator[Round]:
    good: Checked | None = None
    number = 0
    while number == 0 or files.wait(stopped):
        number += 1
        started = time.perf_counter()
        if begin is not None:
            begin(number)
        fault: InputFault | BuildFault | None = None
        told: Changes | None = None
        try:
            stages.step("running the script")
            ran, since = _settled(run, files)
            fault = ran.fault
            if ran.desk is not None:
                stages.step("reading the desk")
                customs = _custom_scripts(script.parent, read_json(ran.desk.model))
                files.read_by_script({*(ran.files or ()), *customs}, since, whole=True)  # before one of them fails
                loaded = session.load(ran.desk)
                checked = session.check(loaded)
                told = changes(good.outcomes if good else (), checked.outcomes)
                good = checked
        except (InputFault, BuildFault) as raised:
            fault = raised
        stages.end()
        yield Round(number, good, fault, told, {**stages.take(), "all": time.perf_counter() - started})


def _pictured(session: Session, stages: Stopwatch, told: Round, before: Scene | None) -> Round:
    """The round with its scene: of one at fault, and of one that cannot be drawn, the last that was ``before``."""
    started = time.perf_counter()
    scene, fault, changed = before, told.fault, told.changes
    if told.good is not None and fault is None:
        stages.step("page")
        try:
            scene = session.scene(told.good, before=before)
        except (InputFault, BuildFault) as raised:
            fault, changed = BuildFault(f"its desk could not be drawn: {raised}"), None
        stages.end()
    seconds = {**told.seconds, **stages.take(), "all": told.seconds["all"] + time.perf_counter() - started}
    return replace(told, scene=scene, fault=fault, changes=changed, seconds=seconds)


def _settled(run: Run, files: WatchedFiles) -> tuple[Ran, float]:
    """What a run of the script came to, and when it began. It begins with the first sign of a save, so that nobody waits for
    an editor to finish; was the save not over by then, the run counts for nothing and is done again. Nor does anybody wait
    for a script that hangs when a better one has been saved."""
    given_up = False

    def better() -> bool:
        nonlocal given_up
        given_up = files.differ()
        return given_up

    for left in reversed(range(_AGAIN)):
        since, given_up = time.time(), False
        ran = run(better if left else None)
        if ran.files is not None:  # else it did not live to say so, and what was known before goes on to be watched
            files.read_by_script(ran.files, since, whole=ran.desk is not None)
        if files.quiet() and not given_up:  # it may have been for a moment only that they differed
            break
    return ran, since


def _custom_scripts(folder: Path, model: DeskModel) -> set[Path]:
    return {folder / placed.part.blank.script for placed in model.parts if isinstance(placed.part, CustomShape)}
