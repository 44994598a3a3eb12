"""Running one edit of a worked desk in this process: script, fit, travel, checks."""

from __future__ import annotations

import shutil
import sys
import traceback
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from types import ModuleType

from deskmodel.checks import Facts, run_checks
from deskmodel.desk import Desk
from deskmodel.errors import InputFault
from deskmodel.findings import CheckOutcome, Finding
from deskmodel.fit import FitEngine
from deskmodel.fit.problem import FitReport
from deskmodel.model import DeskModel, Parameter, freeze
from deskmodel.session.fit_problem import Question, fit_question, part_shapes
from deskmodel.session.lifts import lift_covers

__all__ = ["DUTY_DESK", "PARTS", "SHELF", "Run", "bare_desk", "check_model", "copied", "edited_desk", "run_edit", "run_in"]

ROOT = Path(__file__).parent.parent.parent
SHELF = PARTS = ROOT / "deskmodel" / "templates" / "shelf"
DUTY_DESK = ROOT / "parts"
Drop = tuple[str, int, str]


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


def edited_desk(folder: Path, parameters: Mapping[str, Parameter] | None = None,
                drop: Drop | None = None) -> tuple[DeskModel, dict[str, str]]:
    """The model of the desk.py in ``folder``. InputFault where the script is at fault."""
    given = dict(parameters or {})
    return freeze(bare_desk(folder, given, drop), given)


def bare_desk(folder: Path, parameters: Mapping[str, Parameter], drop: Drop | None = None) -> Desk:
    """Before its joints are laid out. As the tool has it, what the script itself raises is an InputFault."""
    with _imported(folder) as module:
        try:
            exec(compile((folder / "desk.py").read_text(encoding="utf-8"), str(folder / "desk.py"), "exec"), module.__dict__)
            desk: Desk = module.desk(**parameters)
        except InputFault:
            raise
        except Exception as fault:
            last = traceback.extract_tb(fault.__traceback__)[-1]
            if not last.filename.startswith(str(folder)):
                raise
            raise InputFault(f"the script raises {type(fault).__name__}: {fault}", file=last.filename,
                             line=last.lineno) from None
    if drop is not None:
        _drop(desk, *drop)
    return desk


def _drop(desk: Desk, what: str, i: int, part: str) -> None:
    if what == "feature":
        placed = desk.parts[part]
        features = placed.part.features[:i] + placed.part.features[i + 1:]
        desk.parts[part] = replace(placed, part=replace(placed.part, features=features))
    else:
        things: list[object] = {"joint": desk.joints, "gap": desk.gaps, "keep-out": desk.keep_outs,  # type: ignore[assignment]
                                "bay": desk.bays}[what]
        del things[i]


def check_model(model: DeskModel, lines: Mapping[str, str], engine: FitEngine) -> Run:
    question = fit_question(model, part_shapes(model))
    report = engine.run(question.problem)
    lifted = lift_covers(engine, model, question.problem)
    outcomes = run_checks(Facts(model, report, lifted.strikes, question.keep_outs, lines, unlifted=lifted.unjudged))
    return Run(model, question, report, outcomes)


def copied(root: Path, folder: Path) -> Path:
    """The desk's folder where edits may be written into it."""
    shutil.copytree(root, folder, ignore=shutil.ignore_patterns("__pycache__"))
    return folder


def run_edit(folder: Path, edits: Mapping[str, str], engine: FitEngine, root: Path = SHELF) -> Run:
    """A copy of the desk's folder with some files' texts replaced (by path from its root), checked."""
    return run_in(copied(root, folder), edits, engine)


def run_in(folder: Path, edits: Mapping[str, str], engine: FitEngine, parameters: Mapping[str, Parameter] | None = None,
           drop: Drop | None = None) -> Run:
    """The folder with some files' texts replaced, checked; the files are put back."""
    before = {name: (folder / name).read_text(encoding="utf-8") for name in edits}
    try:
        for name, text in edits.items():
            (folder / name).write_text(text, encoding="utf-8")
        model, lines = edited_desk(folder, parameters, drop)
        return check_model(model, lines, engine)
    except InputFault as fault:
        return Run(None, None, None, (), fault)
    finally:
        for name, text in before.items():
            (folder / name).write_text(text, encoding="utf-8")


@contextmanager
def _imported(folder: Path) -> Iterator[ModuleType]:
    """A module for the script, without leaving it, those beside it or bytecode behind: the next edit has the same names
    and sizes."""
    module = ModuleType("planted_desk")
    module.__file__ = str(folder / "desk.py")
    sys.path.insert(0, str(folder))
    writes, sys.dont_write_bytecode = sys.dont_write_bytecode, True
    try:
        yield module
    finally:
        sys.dont_write_bytecode = writes
        sys.path.remove(str(folder))
        for name, each in list(sys.modules.items()):
            if str(getattr(each, "__file__", None) or "").startswith(str(folder)):
                del sys.modules[name]
