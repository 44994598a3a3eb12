"""The files of a desk, written by two processes: this one begins at the front, the one that works ahead at the other end.

Each claims an exporter before it begins, so that nothing is made twice. What the other one made comes from the cache, where
it is put only when it has been read back (``KeptFiles``); where the other ends, fails or knows other facts, it is made here.
"""

from __future__ import annotations

import json
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path
from typing import Any

from deskmodel.cache import DiskCache
from deskmodel.exporters import EXPORTERS, Exporter, ExportJob, Written
from deskmodel.findings import CheckOutcome, Finding
from deskmodel.fit import FitEngine
from deskmodel.meshes.store import ShapeStore
from deskmodel.model import DeskModel
from deskmodel.session.ahead import Ahead
from deskmodel.session.fit_problem import part_shapes
from deskmodel.session.job_shapes import job_with_shapes
from deskmodel.session.kept_files import KeptFiles
from deskmodel.session.known_step import KnownSteps
from deskmodel.session.progress import Progress, Silent
from deskmodel.stock import stock_beside

__all__ = ["write_from_the_end", "write_shared"]

_WORTH = 8
"""Exporters that have something to do from which a second process is worth its start."""

_SECONDS = 120.0
"""s. How long the other one is waited for once nothing is left to be done here."""


def write_shared(job: ExportJob, kept: KeptFiles, exporters: Sequence[Exporter], script: Path, ahead: Ahead,
                 progress: Progress) -> tuple[list[Written], list[tuple[Exporter, Written]]]:
    """What each of ``exporters`` wrote, in their order, and which of it is new: not kept yet.
    ``script``: the stock list lies beside it."""
    found = {exporter.what: kept.find(exporter) for exporter in exporters}
    new: list[tuple[Exporter, Written]] = []

    def export(exporter: Exporter) -> None:
        progress.step(f"writing {exporter.what}")
        written = found[exporter.what] = exporter.export(job)
        new.append((exporter, written))

    rest = [exporter for exporter in exporters if found[exporter.what] is None]
    if rest:
        export(rest.pop(0))  # of a STEP file, the other one is asked to read it before it is asked for more
    claims = _shared(job, kept, rest, script, ahead) if len(rest) >= _WORTH else None
    left = []
    for exporter in rest:
        if claims is None or claims.take(exporter.what):
            export(exporter)
        else:
            left.append(exporter)
    for exporter in left:
        assert claims is not None
        progress.step(f"writing {exporter.what}")
        found[exporter.what] = _by_the_other(kept, exporter, claims, ahead)
        if found[exporter.what] is None:
            export(exporter)
    return [written for written in found.values() if written is not None], new


def write_from_the_end(cache: DiskCache, model: DeskModel, facts_file: Path, wanted: Callable[[], bool]) -> None:
    """In the process that works ahead: make, read back and keep, until all is claimed or nothing is ``wanted`` any more."""
    facts = json.loads(facts_file.read_text(encoding="utf-8"))
    claims = _Claims(facts_file.parent / facts["claims"])
    engine = FitEngine(ShapeStore(cache))
    bare = ExportJob(model, tuple(_outcome(each) for each in facts["outcomes"]), facts["pairs"], facts["unreleased"], {}, {},
                     KnownSteps(cache), facts["lines"], stock_beside(facts["script"]), cache=cache)
    job = job_with_shapes(bare, engine, part_shapes(model), Silent()) if facts["shapes"] else bare
    kept = KeptFiles(cache, job)
    for exporter in reversed(EXPORTERS):
        if not wanted():
            return
        if facts["entries"].get(exporter.what) != kept.entry(exporter) or not claims.take(exporter.what):
            continue
        try:
            kept.keep(exporter, _read_back(exporter.export(job)))
        except Exception:  # whatever goes wrong here goes wrong again in the first process, which says so
            claims.give_up(exporter.what)


class _Claims:
    """Files in a folder that both processes see: one that can be made is claimed."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def take(self, what: str) -> bool:
        try:
            (self._folder / what).touch(exist_ok=False)
        except OSError:
            return False
        return True

    def give_up(self, what: str) -> None:
        with suppress(OSError):
            (self._folder / f"{what} given up").touch()

    def given_up(self, what: str) -> bool:
        return (self._folder / f"{what} given up").exists()


def _shared(job: ExportJob, kept: KeptFiles, exporters: Sequence[Exporter], script: Path, ahead: Ahead) -> _Claims | None:
    """None: there is no other one."""
    def facts(claims: str) -> str:
        return json.dumps({"claims": claims, "outcomes": [asdict(each) for each in job.outcomes], "pairs": job.pairs,
                           "unreleased": job.unreleased, "lines": dict(job.lines), "script": str(script.resolve()),
                           "shapes": bool(job.shape_keys),
                           "entries": {each.what: kept.entry(each) for each in exporters if not each.checked_here}})

    folder = ahead.write(job.model, facts)
    return None if folder is None else _Claims(folder)


def _by_the_other(kept: KeptFiles, exporter: Exporter, claims: _Claims, ahead: Ahead) -> Written | None:
    """None: it will not come."""
    until = time.monotonic() + _SECONDS
    while not kept.holds(exporter):
        if claims.given_up(exporter.what) or not ahead.at_work or time.monotonic() > until:
            break
        time.sleep(0.005)
    return kept.find(exporter)


def _read_back(written: Written) -> Written:
    with tempfile.TemporaryDirectory(prefix="deskmodel-") as folder:
        for path, data in written.files.items():
            place = Path(folder) / path
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(data)
        written.read_back(Path(folder))
    return written


def _outcome(record: Mapping[str, Any]) -> CheckOutcome:
    return CheckOutcome(**{**record, "findings": tuple(Finding(**_tuples(each)) for each in record["findings"])})


def _tuples(value: Any) -> Any:
    """JSON knows lists only."""
    if isinstance(value, dict):
        return {key: _tuples(each) for key, each in value.items()}
    return tuple(_tuples(each) for each in value) if isinstance(value, list) else value
