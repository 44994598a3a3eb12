"""From script to findings and files: load, build, fit, check, make. One-shot commands and the watch loop call this.

The script itself is run before, by ``deskmodel.session.script``, which needs nothing that is imported here: its faults
come at once.

A ``Session`` owns the fit engine and keeps it between calls, so that a second check measures only what changed.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from deskmodel._remembered import let_go
from deskmodel.checks import CHECKS, Facts, check_named, run_checks
from deskmodel.errors import BuildFault, InputFault
from deskmodel.exporters import EXPORTERS, ExportJob, Written, export_manifest, slug
from deskmodel.features import Box3
from deskmodel.findings import CheckOutcome
from deskmodel.fit import FitEngine
from deskmodel.fit.problem import BodyShape, FitProblem, FitReport
from deskmodel.model import DeskModel, read_json, resolve_customs, revision
from deskmodel.page import PageShape, Scene
from deskmodel.part import CustomBlank, CustomShape
from deskmodel.plans import DeskMass
from deskmodel.session.ahead import Ahead
from deskmodel.session.fit_problem import fit_question, part_shapes
from deskmodel.session.job_shapes import job_with_shapes
from deskmodel.session.kept_files import KeptFiles
from deskmodel.session.known_step import StepReader
from deskmodel.session.lifts import Lifted, lift_covers
from deskmodel.session.mass import mass_of
from deskmodel.session.page_scene import page_scene
from deskmodel.session.progress import Progress, Silent
from deskmodel.session.publish import check_place, publish
from deskmodel.session.script import SCRIPT_SECONDS, LoadedScript, shown
from deskmodel.session.shared_writing import write_shared
from deskmodel.solids.custom import ShapeRequest, make_shapes
from deskmodel.stock import Stock, default_stock, stock_beside

__all__ = ["Checked", "Loaded", "Made", "Session"]


@dataclass(frozen=True, slots=True)
class Loaded:
    """The desk of a script. ``lines``: where it made each part, joint and keep-out ("desk.py:41").
    ``stock``: of the list beside the script."""

    script: Path
    model: DeskModel
    lines: Mapping[str, str]
    stock: Stock = field(default_factory=default_stock)


@dataclass(frozen=True, eq=False)
class Checked:
    """``pairs``: how many pairs of bodies the engine judged, 0 where no check needed it; ``measured``: how many of them
    it had not known before. ``mass`` and ``fit``: None where no solid was built. ``problem``: what the engine was asked."""

    loaded: Loaded
    outcomes: tuple[CheckOutcome, ...]
    pairs: int
    measured: int
    shapes: Mapping[str, BodyShape] = field(repr=False)
    mass: DeskMass | None = field(default=None, repr=False)
    problem: FitProblem = field(default=FitProblem(()), repr=False)
    fit: FitReport | None = field(default=None, repr=False)

    @property
    def revision(self) -> str:
        return revision(self.loaded.model)

    @property
    def crashed(self) -> bool:
        return any(outcome.outcome == "crashed" for outcome in self.outcomes)

    @property
    def held_back(self) -> str | None:
        """Why nobody should build this: findings that stop the build, checks that could not be done. Or None."""
        stops = sum(finding.stops for outcome in self.outcomes for finding in outcome.findings)
        undone = [outcome.id for outcome in self.outcomes
                  if outcome.outcome in ("not-checked", "crashed") and not outcome.deselected]
        said = [f"{stops} {'finding stops' if stops == 1 else 'findings stop'} the build"] if stops else []
        said += [f"not checked: {', '.join(undone)}"] if undone else []
        return "; ".join(said) or None

    @property
    def left_out(self) -> str | None:
        """Checks that were deselected. Or None."""
        ids = [outcome.id for outcome in self.outcomes if outcome.deselected]
        return f"checks left out: {', '.join(ids)}" if ids else None


@dataclass(frozen=True, slots=True)
class Made:
    """``withheld``: what was not written because of findings. ``unreleased``: why nobody should build from it."""

    folder: Path
    files: Mapping[str, bytes] = field(repr=False)
    withheld: tuple[str, ...] = ()
    unreleased: str | None = None


class Session:
    def __init__(self, *, progress: Progress | None = None, script_seconds: float = SCRIPT_SECONDS,
                 engine: FitEngine | None = None, ahead: Ahead | None = None) -> None:
        """``ahead``: a second process that was started before, for the same cache."""
        self._progress = progress or Silent()
        self._seconds = script_seconds
        self._engine = engine or FitEngine()
        self._page_shapes: dict[str, PageShape | str] = {}
        self._ahead = ahead or Ahead(self._engine.store.cache)

    def close(self) -> None:
        """End what still works ahead. The session may be used again."""
        self._ahead.close()

    def load(self, script: LoadedScript) -> Loaded:
        """The desk of a script that has run, with the shapes that it leaves to cadquery code. Raises InputFault."""
        model = read_json(script.model)
        for acceptance in model.acceptances:
            try:
                check_named(acceptance.id)
            except InputFault as fault:
                raise _at_line(fault, script.script, script.lines.get(acceptance.title)) from None
        return Loaded(script.script, self._with_customs(script.script, model), script.lines, stock_beside(script.script))

    def check(self, loaded: Loaded, only: Collection[str] | None = None, *, make_follows: bool = False) -> Checked:
        """Measure and check; ``only`` deselects all other checks. Raises InputFault for a part that cannot be built.
        ``make_follows``: what ``make`` needs may be made meanwhile."""
        for check_id in only or ():
            check_named(check_id)
        let_go()
        needs = {check.needs for check in CHECKS if only is None or check.id in only}
        shapes = part_shapes(loaded.model)
        question = fit_question(loaded.model, shapes)
        report: FitReport | None = None
        lifted = Lifted(None, ())
        if needs & {"fit", "travel"}:
            needed = [body.shape for body in question.problem.bodies]
            self._ahead.build(loaded.model, {shape.key for shape in needed}, steps=make_follows)
            self._prepare(loaded, needed)
        if "fit" in needs:
            self._progress.step("measuring part against part")
            report = self._engine.run(question.problem, self._progress.count)
        if "travel" in needs:
            self._progress.step("opening the covers")
            lifted = lift_covers(self._engine, loaded.model, question.problem)
        self._progress.step("checking")
        facts = Facts(loaded.model, report, lifted.strikes, question.keep_outs, loaded.lines,
                      unlifted=lifted.unjudged)
        outcomes = run_checks(facts, only)
        mass = mass_of(self._engine, loaded.model, shapes) if report else None
        self._progress.end()
        return Checked(loaded, outcomes, report.pairs if report else 0, report.measured if report else 0, shapes, mass,
                       question.problem, report)

    def check_place(self, loaded: Loaded, out: Path) -> None:
        """InputFault where ``make`` could not write the desk's folder below ``out``."""
        check_place(out / slug(loaded.model.name), loaded.model.name)

    def make(self, checked: Checked, out: Path, *, unreleased: bool = False) -> Made:
        """Write the desk's folder below ``out``, whole or not at all. What somebody could build from is withheld
        while ``checked.held_back`` says why, unless ``unreleased``; then every file says so."""
        withhold = checked.held_back is not None and not unreleased
        why = "; ".join(text for text in (checked.held_back, checked.left_out) if text) or None
        job = self._job(checked, why, shapes=not withhold)
        withheld = [exporter for exporter in EXPORTERS if exporter.for_building and withhold]
        kept = KeptFiles(self._engine.store.cache, job)
        written, new = write_shared(job, kept, [each for each in EXPORTERS if each not in withheld], checked.loaded.script,
                                    self._ahead, self._progress)
        files = {path: data for each in written for path, data in each.files.items()}
        written.append(export_manifest(job, files))
        files |= written[-1].files
        folder = out / slug(checked.loaded.model.name)
        self._progress.step("reading everything back")
        publish(folder, files, read_back=lambda place: _read_back(written, place), desk=checked.loaded.model.name)
        for exporter, found in new:
            kept.keep(exporter, found)
        self._progress.end()
        return Made(folder, files, tuple(each.what for each in withheld), why)

    def scene(self, checked: Checked, *, unreleased: str | None = None, before: Scene | None = None) -> Scene:
        """What the page shows of it. ``before``: the last good scene, against which changes are told."""
        return page_scene(self._engine, checked.loaded.model, checked.outcomes, checked.shapes, checked.problem,
                          checked.mass, checked.loaded.lines, unreleased, before, self._page_shapes)

    def _with_customs(self, script: Path, model: DeskModel) -> DeskModel:
        blanks = list(dict.fromkeys(placed.part.blank for placed in model.parts
                                    if isinstance(placed.part, CustomShape)))
        if not blanks:
            return model
        self._progress.step("making custom shapes")
        requests = [ShapeRequest(script.parent / blank.script, shown(script.parent / blank.script), blank.function,
                                 dict(blank.parameters)) for blank in blanks]
        made = dict(zip(blanks, make_shapes(requests, seconds=self._seconds), strict=True))

        def found(blank: CustomBlank) -> tuple[str, Box3]:
            return made[blank].digest, made[blank].box

        return resolve_customs(model, found)

    def _prepare(self, loaded: Loaded, shapes: Sequence[BodyShape]) -> None:
        """Build and mesh each different shape. One that the kernel fails at is left to the engine, which says of
        which pairs it then cannot tell; one that its script cut to pieces is the script's fault, at its line."""
        different = {shape.key: shape for shape in shapes}
        self._progress.step("building shapes")
        for count, shape in enumerate(different.values(), start=1):
            try:
                self._engine.store.prepared(shape)
            except BuildFault:
                pass
            except InputFault as fault:
                line = loaded.lines.get(str(getattr(shape, "label", "")))
                raise _at_line(fault, loaded.script, line) from None
            self._progress.count(count, len(different))

    def _job(self, checked: Checked, unreleased: str | None, *, shapes: bool) -> ExportJob:
        cache, loaded = self._engine.store.cache, checked.loaded
        job = ExportJob(loaded.model, checked.outcomes, checked.pairs, unreleased, {}, {}, StepReader(cache, self._ahead),
                        loaded.lines, loaded.stock, cache=cache,
                        make_scene=lambda: self.scene(checked, unreleased=unreleased), mass=checked.mass, fit=checked.fit,
                        summaries={check.id: check.summary for check in CHECKS}, withheld=not shapes)
        return job_with_shapes(job, self._engine, checked.shapes, self._progress) if shapes else job


def _read_back(written: Sequence[Written], folder: Path) -> None:
    for each in reversed(written):  # the one last that may still be read ahead
        try:
            each.read_back(folder)
        except InputFault as fault:  # a file of our own that a reader refuses is our fault
            raise BuildFault(f"a file read back is refused: {fault}") from fault


def _at_line(fault: InputFault, script: Path, line: str | None) -> InputFault:
    """The fault with the place where the part was made; ``line`` as the model's table says it ("desk.py:41 …")."""
    place = re.match(r"(.+?):(\d+)", line or "")
    if place is None:
        return fault.located(file=shown(script))
    return fault.located(file=shown(script.parent / place[1]), line=int(place[2]))
