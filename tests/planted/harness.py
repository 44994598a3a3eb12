"""Running one edit of the first desk in this process: script, fit, travel, checks."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

from deskmodel.checks import Facts, run_checks
from deskmodel.errors import InputFault
from deskmodel.findings import CheckOutcome, Finding
from deskmodel.fit import FitEngine
from deskmodel.fit.problem import FitReport
from deskmodel.model import DeskModel, freeze
from deskmodel.session.fit_problem import Question, fit_question, part_shapes
from deskmodel.session.lifts import lift_covers

__all__ = ["PARTS", "Run", "check_model", "edited_desk", "run_edit"]

PARTS = Path(__file__).parent.parent.parent / "deskmodel" / "templates" / "shelf"


@dataclass(frozen=True)
class Run:
    """``refused``: the input was at fault, and how; then there is no model."""

    model: DeskModel | None
    question: Question | None
    report: FitReport | None
    outcomes: tuple[CheckOutcome, ...]
    refused: InputFault | None = None

    @property
    def findings(self) -> list[Finding]:
        return [finding for outcome in self.outcomes for finding in outcome.findings]


def edited_desk(folder: Path, parameters: Mapping[str, float] | None = None) -> tuple[DeskModel, dict[str, str]]:
    """The model of the desk.py in ``folder``. InputFault where the script is at fault."""
    with _imported(folder / "desk.py") as module:
        given = dict(parameters or {})
        return freeze(module.desk(**given), given)


def check_model(model: DeskModel, lines: Mapping[str, str], engine: FitEngine) -> Run:
    question = fit_question(model, part_shapes(model))
    report = engine.run(question.problem)
    lifted = lift_covers(engine, model, question.problem)
    outcomes = run_checks(Facts(model, report, lifted.strikes, question.keep_outs, lines, unlifted=lifted.unjudged))
    return Run(model, question, report, outcomes)


def run_edit(folder: Path, edits: Mapping[str, str], engine: FitEngine) -> Run:
    """The shelf's folder with some files' texts replaced (by path from its root), checked."""
    shutil.copytree(PARTS, folder, ignore=shutil.ignore_patterns("__pycache__"))
    for name, text in edits.items():
        (folder / name).write_text(text, encoding="utf-8")
    try:
        model, lines = edited_desk(folder)
        return check_model(model, lines, engine)
    except InputFault as fault:
        return Run(None, None, None, (), fault)


@contextmanager
def _imported(path: Path) -> Iterator[ModuleType]:
    """The script as a module, without leaving it or bytecode behind: the next edit has the same name and size."""
    module = ModuleType("planted_desk")
    module.__file__ = str(path)
    sys.path.insert(0, str(path.parent))
    try:
        exec(compile(path.read_text(encoding="utf-8"), str(path), "exec"), module.__dict__)
        yield module
    finally:
        sys.path.remove(str(path.parent))
