"""One session, many checks: what has not changed is not measured again."""

from __future__ import annotations

from pathlib import Path

import pytest

from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault, InputFault
from deskmodel.exporters import EXPORTERS, Exporter, Written
from deskmodel.fit import FitEngine
from deskmodel.meshes.store import ShapeStore
from deskmodel.session import run
from deskmodel.session.run import Session
from deskmodel.session.script import load_script
from tests.cli.commands import CLEAN, GLUED


class Told:
    """Progress that is written down."""

    def __init__(self) -> None:
        self.steps: list[str] = []
        self.counts: list[tuple[int, int]] = []
        self.ended = False

    def step(self, text: str) -> None:
        self.steps.append(text)

    def count(self, done: int, total: int) -> None:
        self.counts.append((done, total))

    def end(self) -> None:
        self.ended = True


def session(progress: Told | None = None) -> Session:
    return Session(progress=progress, engine=FitEngine(ShapeStore(DiskCache(None))))


def desk(folder: Path, text: str = GLUED, **values: float) -> run.Loaded:
    (folder / "desk.py").write_text(text)
    return session().load(load_script(folder / "desk.py", values=values))


def test_a_second_check_measures_only_what_moved(tmp_path: Path) -> None:
    kept = session()
    first = kept.check(desk(tmp_path, CLEAN))
    assert first.held_back is None
    assert first.measured > 0
    same = kept.check(desk(tmp_path, CLEAN))
    assert (same.measured, same.pairs) == (0, first.pairs)
    moved = kept.check(desk(tmp_path, CLEAN, shift=1.0))  # one of the two ends moves along the rails, its dowels with it
    assert 0 < moved.measured < first.measured


def test_what_is_said_on_the_way(tmp_path: Path) -> None:
    told = Told()
    kept = session(told)
    made = kept.make(kept.check(desk(tmp_path)), tmp_path / "out")
    assert told.ended
    assert "measuring part against part" in told.steps
    assert {f"writing {exporter.what}" for exporter in EXPORTERS} <= set(told.steps)
    assert all(done <= total for done, total in told.counts)
    assert made.folder == tmp_path / "out" / "small-frame"
    assert made.withheld == ()


def test_only_what_is_asked_for_is_measured(tmp_path: Path) -> None:
    kept = session()
    checked = kept.check(desk(tmp_path), only=["outside-envelope"])
    assert checked.pairs == checked.measured == 0
    assert checked.held_back is None
    assert "parts-overlap" in (checked.left_out or "")
    made = kept.make(checked, tmp_path / "out")
    assert made.unreleased == checked.left_out  # written, but every file says what was left out
    assert "UNRELEASED" in (made.folder / "model.step").read_text()[:400]
    with pytest.raises(InputFault, match="'no-such-check'"):
        kept.check(desk(tmp_path), only=["no-such-check"])


def test_a_file_that_does_not_read_back_stops_everything(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(folder: Path) -> None:
        assert (folder / "odd.txt").read_bytes() == b"1"
        raise InputFault("a reader refuses it")

    odd = Exporter("odd", lambda job: Written({"odd.txt": b"1"}, refuse), for_building=False)
    kept = session()
    checked = kept.check(desk(tmp_path), only=["outside-envelope"])
    kept.make(checked, tmp_path / "out")
    before = (tmp_path / "out" / "small-frame" / "manifest.json").read_bytes()
    monkeypatch.setattr(run, "EXPORTERS", (*EXPORTERS, odd))
    with pytest.raises(BuildFault, match="refuses it"):
        kept.make(checked, tmp_path / "out")
    assert (tmp_path / "out" / "small-frame" / "manifest.json").read_bytes() == before
    assert not (tmp_path / "out" / "small-frame" / "odd.txt").exists()


def test_a_shape_that_cannot_be_made_is_said_and_not_passed_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = session()
    loaded = desk(tmp_path)

    def fail(self: object) -> object:
        raise BuildFault("the kernel gave up")

    monkeypatch.setattr("deskmodel.solids.part_shape.PartShape.build", fail)
    checked = kept.check(loaded)
    outcomes = {outcome.id: outcome for outcome in checked.outcomes}
    assert outcomes["parts-overlap"].outcome == "not-checked"
    assert "the kernel gave up" in (outcomes["parts-overlap"].reason or "")
    made = kept.make(checked, tmp_path / "out")
    assert sorted(made.files) == ["documents/bays.csv", "documents/plan.png", "documents/plan.svg",
                                  "documents/section.png", "documents/section.svg", "findings.json", "manifest.json",
                                  "model.json", "report.html", "view.html"]
    assert "not checked" in (made.unreleased or "")
    with pytest.raises(BuildFault, match="the kernel gave up"):
        kept.make(checked, tmp_path / "out", unreleased=True)
