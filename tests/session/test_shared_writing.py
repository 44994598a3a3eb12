"""Two processes that write the files of one desk: the same bytes as one alone, whatever becomes of the second."""

from __future__ import annotations

import json
import signal
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from deskmodel.cache import DiskCache
from deskmodel.exporters import EXPORTERS, ExportJob, Written
from deskmodel.fit import FitEngine
from deskmodel.meshes.store import ShapeStore
from deskmodel.session import shared_writing
from deskmodel.session.ahead import Ahead
from deskmodel.session.fit_problem import part_shapes
from deskmodel.session.job_shapes import job_with_shapes
from deskmodel.session.kept_files import KeptFiles
from deskmodel.session.progress import Silent
from deskmodel.session.run import Session
from deskmodel.session.script import load_script
from deskmodel.session.shared_writing import write_from_the_end, write_shared
from tests.cli.commands import GLUED

QUICK = {"model.step", "model.json", "findings.json", "bay table", "drilling schedule", "cut list", "labels", "templates",
         "cautions", "countersinks of plates", "order of plates", "jigs.json", "table of jigs", "slop of jigs"}
FEW = [each for each in EXPORTERS if each.what in QUICK]


class Desk:
    """A checked desk with an empty cache of its own."""

    def __init__(self, folder: Path) -> None:
        self.script = folder / "desk.py"
        self.script.write_text(GLUED)
        self.cache = DiskCache(folder / "cache")
        self.ahead = Ahead(self.cache)
        engine = FitEngine(ShapeStore(self.cache))
        session = Session(engine=engine)
        loaded = session.load(load_script(self.script))
        checked = session.check(loaded)
        bare = ExportJob(loaded.model, checked.outcomes, checked.pairs, None, {}, {}, lines=loaded.lines, stock=loaded.stock,
                         cache=self.cache)
        self.job = job_with_shapes(bare, engine, part_shapes(loaded.model), Silent())
        self.kept = KeptFiles(self.cache, self.job)

    def write(self) -> tuple[dict[str, bytes], set[str]]:
        """All files, and the exporters that this process ran."""
        written, new = write_shared(self.job, self.kept, FEW, self.script, self.ahead, Slow(self))
        return {path: data for each in written for path, data in each.files.items()}, {each.what for each, _ in new}


class Slow(Silent):
    """So that the second process, which has to start first, finds something left: its first piece is waited for."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def step(self, text: str) -> None:
        until = time.monotonic() + 120
        while text == f"writing {FEW[1].what}" and self.desk.ahead.at_work and time.monotonic() < until:
            if self.desk.kept.holds(FEW[-1]):
                break
            time.sleep(0.05)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    made = Desk(tmp_path)
    yield made
    made.ahead.close()


def alone(desk: Desk) -> dict[str, bytes]:
    return {path: data for each in FEW for path, data in each.export(desk.job).files.items()}


def test_together_as_alone(desk: Desk) -> None:
    assert len(FEW) == len(QUICK)
    files, here = desk.write()
    assert desk.ahead.at_work
    there = {each.what for each in FEW} - here
    assert there, "the second process wrote nothing"
    assert files == alone(desk)
    assert desk.write()[1] <= here  # what the other one wrote is kept; what is new here is kept when it is published


def test_the_second_process_dies(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    began: list[object] = []
    write = desk.ahead.write

    def killed(model: object, facts: Callable[[str], str]) -> Path | None:
        folder = write(model, facts)  # type: ignore[arg-type]
        assert desk.ahead._helper is not None
        assert folder is not None
        (folder / FEW[-1].what).touch()  # claimed by it
        desk.ahead._helper._process.send_signal(signal.SIGKILL)
        desk.ahead._helper._process.wait()
        began.append(folder)
        return folder

    monkeypatch.setattr(desk.ahead, "write", killed)
    files, here = desk.write()
    assert began
    assert FEW[-1].what in here
    assert files == alone(desk)


def test_what_it_cannot_make_is_made_here(desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In one process: the part of the second one is called directly."""
    folder = tmp_path / "files"
    (folder / "claims").mkdir(parents=True)

    def refuse(job: ExportJob) -> Written:
        raise RuntimeError("no")

    last, before = EXPORTERS[-1], EXPORTERS[-2]
    entries = {last.what: desk.kept.entry(last), before.what: "files:of other facts"}
    facts = {"claims": "claims", "outcomes": [], "pairs": 0, "unreleased": None, "lines": {}, "script": str(desk.script),
             "shapes": True, "entries": entries}
    (folder / "facts.json").write_text(json.dumps(facts))
    write_from_the_end(desk.cache, desk.job.model, folder / "facts.json", lambda: True)
    assert list((folder / "claims").iterdir()) == []  # with other facts it touches nothing
    monkeypatch.setattr(shared_writing.KeptFiles, "entry", lambda self, exporter: entries.get(exporter.what, "none"))
    monkeypatch.setattr(shared_writing, "EXPORTERS", (*EXPORTERS[:-1], type(last)(last.what, refuse, True)))
    write_from_the_end(desk.cache, desk.job.model, folder / "facts.json", lambda: False)
    assert list((folder / "claims").iterdir()) == []  # the first process is gone
    entries.pop(before.what)
    (folder / "facts.json").write_text(json.dumps(facts))
    write_from_the_end(desk.cache, desk.job.model, folder / "facts.json", lambda: True)
    assert sorted(path.name for path in (folder / "claims").iterdir()) == [last.what, f"{last.what} given up"]


def test_names_of_exporters_serve_as_claims() -> None:
    names = [each.what for each in EXPORTERS]
    assert len({*names, *(f"{name} given up" for name in names)}) == 2 * len(names)
    assert not any("/" in name or name.startswith(".") for name in names)
