"""Files that are kept: an unchanged desk is not drawn again, and nothing that a file can depend on is overlooked."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import pytest

from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault
from deskmodel.exporters import EXPORTERS, Exporter, ExportJob, Written
from deskmodel.fit import FitEngine
from deskmodel.fit.problem import GapFault
from deskmodel.meshes.store import ShapeStore
from deskmodel.session import run
from deskmodel.session.kept_files import KeptFiles, source_salt
from deskmodel.session.run import Loaded, Session
from deskmodel.session.script import load_script
from deskmodel.stock import default_stock
from tests.cli.commands import GLUED


def loaded(folder: Path, text: str = GLUED) -> Loaded:
    (folder / "desk.py").write_text(text)
    return Session().load(load_script(folder / "desk.py"))


def session(folder: Path) -> Session:
    return Session(engine=FitEngine(ShapeStore(DiskCache(folder))))


def test_an_unchanged_desk_is_written_without_an_exporter(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    desk = loaded(tmp_path)
    first = session(tmp_path / "cache")
    made = first.make(first.check(desk), tmp_path / "one")

    def refuse(job: ExportJob) -> Written:
        raise AssertionError("asked again")

    names = [(each.export.__module__, each.export.__qualname__) for each in EXPORTERS]
    for (module, qualname), each in zip(names, EXPORTERS, strict=True):
        refusing = type(refuse)(refuse.__code__, refuse.__globals__, qualname)
        refusing.__module__, refusing.__qualname__ = module, qualname
        monkeypatch.setattr(run, "EXPORTERS", tuple(replace(e, export=refusing) if e is each else e for e in run.EXPORTERS))
    second = session(tmp_path / "cache")
    again = second.make(second.check(desk), tmp_path / "two")
    assert again.files == made.files
    for path, data in made.files.items():
        assert (again.folder / path).read_bytes() == data
    other = session(tmp_path / "other cache")
    checked = other.check(desk, only=["outside-envelope"])
    with pytest.raises(AssertionError, match="asked again"):  # the refusal works
        other.make(checked, tmp_path / "three")


def test_everything_that_a_file_may_rest_on_is_in_the_key(tmp_path: Path) -> None:
    desk = loaded(tmp_path)
    one = session(tmp_path / "cache")
    checked = one.check(desk, only=["outside-envelope"])
    job = ExportJob(desk.model, checked.outcomes, checked.pairs, None, {}, {}, lines=desk.lines, stock=desk.stock)
    stock = default_stock()
    follow = {"shape_keys", "shapes", "jig_shapes", "coupon_shapes", "drilled", "make_scene"}
    measured = {"mass", "fit", "summaries", "withheld"}  # see the next test
    assert {each.name for each in fields(ExportJob)} - follow - {"step", "cache"} - measured == {
        "model", "outcomes", "pairs", "unreleased", "lines", "stock"}
    other = [
        replace(job, model=loaded(tmp_path, GLUED.replace("= 300", "= 301")).model), replace(job, outcomes=()),
        replace(job, outcomes=(replace(job.outcomes[0], reason="why"), *job.outcomes[1:])),
        replace(job, pairs=job.pairs + 1), replace(job, unreleased="why"),
        replace(job, lines={**job.lines, "front": "desk.py:99"}),
        replace(job, stock=replace(stock, timber=stock.timber[1:])),
    ]
    cache = DiskCache(None)
    entries = {KeptFiles(cache, each).entry(exporter) for each in (job, *other) for exporter in EXPORTERS}
    assert len(entries) == (1 + len(other)) * len(EXPORTERS)
    assert KeptFiles(cache, replace(job)).entry(EXPORTERS[0]) in entries


def test_what_was_measured_is_in_the_key_of_those_that_tell_of_it(tmp_path: Path) -> None:
    desk = loaded(tmp_path)
    checked = session(tmp_path / "cache").check(desk)
    assert checked.fit is not None
    assert checked.mass is not None
    job = ExportJob(desk.model, checked.outcomes, checked.pairs, None, {}, {}, mass=checked.mass, fit=checked.fit)
    gap = GapFault("front", "back", 1.0, 2.0, (0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 1.0, 0.0), "air")
    other = [replace(job, mass=replace(checked.mass, kg=1.0)), replace(job, mass=None), replace(job, fit=None),
             replace(job, fit=replace(checked.fit, gap_faults=(gap,))), replace(job, withheld=True),
             replace(job, summaries={"parts-overlap": "other words"})]
    cache = DiskCache(None)
    for exporter in EXPORTERS:
        entries = {KeptFiles(cache, each).entry(exporter) for each in (job, *other)}
        assert len(entries) == (1 + len(other) if exporter.checked_here else 1)
    known_before = replace(job, fit=replace(checked.fit, measured=0, cached=99))
    assert {KeptFiles(cache, each).entry(exporter) for each in (job, known_before) for exporter in EXPORTERS} == {
        KeptFiles(cache, job).entry(exporter) for exporter in EXPORTERS}


def test_the_salt_changes_with_any_source(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "package"
    package.mkdir()
    (package / "a.py").write_text("1")
    (package / "page.css").write_text("1")
    monkeypatch.setattr("deskmodel.session.kept_files._PACKAGE", package)
    salts = []
    for name, text in (("a.py", "1"), ("a.py", "2"), ("page.css", "2"), ("b.py", "")):
        (package / name).write_text(text)
        source_salt.cache_clear()
        salts.append(source_salt())
    source_salt.cache_clear()
    assert len(set(salts)) == 4


def test_what_does_not_read_back_is_not_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []

    def odd(job: ExportJob) -> Written:
        asked.append(job)
        return Written({"odd.txt": b"1"}, lambda folder: _refuse())

    monkeypatch.setattr(run, "EXPORTERS", (Exporter("odd", odd, for_building=False),))
    desk = loaded(tmp_path)
    kept = session(tmp_path / "cache")
    checked = kept.check(desk, only=["outside-envelope"])
    for _ in range(2):
        with pytest.raises(BuildFault, match="not read"):
            kept.make(checked, tmp_path / "out")
    assert len(asked) == 2


def test_a_kept_file_that_arrives_damaged_on_the_disk_is_noticed(tmp_path: Path) -> None:
    cache = DiskCache(tmp_path / "cache")
    desk = loaded(tmp_path)
    files = KeptFiles(cache, ExportJob(desk.model, (), 0, None, {}, {}))
    exporter = EXPORTERS[0]
    assert files.find(exporter) is None
    files.keep(exporter, Written({"ä/1.txt": b"1" * 5000, "2.bin": b""}, lambda folder: None))
    found = files.find(exporter)
    assert found is not None
    assert found.files == {"ä/1.txt": b"1" * 5000, "2.bin": b""}
    (tmp_path / "ä").mkdir()
    (tmp_path / "ä" / "1.txt").write_bytes(b"1" * 5000)
    (tmp_path / "2.bin").write_bytes(b"")
    found.read_back(tmp_path)
    (tmp_path / "2.bin").write_bytes(b"0")
    with pytest.raises(BuildFault, match="on the disk is not"):
        found.read_back(tmp_path)
    cache.put(files.entry(exporter), b"no ZIP")
    assert files.find(exporter) is None


def _refuse() -> None:
    raise BuildFault("not read")
