"""``deskmodel compare OLD [NEW]``: scripts, export folders, model.json files."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from deskmodel.cli.arguments import parameter_texts
from deskmodel.cli.compare_text import comparison_text
from deskmodel.cli.progress import TerminalProgress
from deskmodel.cli.text import Style
from deskmodel.errors import InputFault
from deskmodel.model import DeskModel, read_json, revision
from deskmodel.part import CustomShape
from deskmodel.plans.compare import Comparison, Side, compare_desks
from deskmodel.plans.compare_cost import CostSide, cost_in_table, cost_with
from deskmodel.plans.compare_findings import findings_said
from deskmodel.plans.compare_record import compare_record
from deskmodel.session.script import LoadedScript, find_script, load_script, shown
from deskmodel.stock import stock_beside

if TYPE_CHECKING:
    from deskmodel.session.run import Session

__all__ = ["compare"]

EQUAL, DIFFERENT, CRASHED = 0, 1, 3
SHOPPING = "documents/shopping-list.csv"
_MOST = 1 << 28  # bytes of a model.json


def compare(arguments: Namespace) -> int:
    new = arguments.new
    if new is None:
        new = arguments.old if _is_script(Path(arguments.old)) else str(find_script(None))
    given = ((arguments.old, arguments.old_set, "--old-set"), (new, arguments.new_set, "--new-set"))
    sides = [_read(source, settings, option, arguments.script_timeout) for source, settings, option in given]
    crashed = False
    if arguments.check and any(side.findings is None for side, _ in sides):
        sides, crashed = _checked(sides, arguments.script_timeout)
    made = compare_desks(sides[0][0], sides[1][0])
    if not _write_json(arguments.json, made):
        print(comparison_text(made, Style.of(sys.stdout, wanted=arguments.colour)))
    if crashed:
        return CRASHED
    return EQUAL if made.equal else DIFFERENT


def _write_json(target: str | None, made: Comparison) -> bool:
    """Write the comparison where ``--json`` says; True when that is standard output, which then holds nothing else."""
    if target is None:
        return False
    from deskmodel.exporters import json_bytes
    from deskmodel.session.whole_file import write_whole

    data = json_bytes(compare_record(made))
    if target != "-":
        write_whole(Path(target), data)
        return False
    sys.stdout.write(data.decode())
    return True


def _is_script(path: Path) -> bool:
    return not path.is_dir() and path.suffix.lower() != ".json"


def _read(source: str, settings: list[str], option: str, seconds: float) -> tuple[Side, LoadedScript | None]:
    path = Path(source)
    texts = parameter_texts(settings, option)
    if _is_script(path):
        loaded = load_script(path, texts=texts, seconds=seconds)
        said = " ".join([source, *(f"{name}={value}" for name, value in texts.items())])
        model = read_json(loaded.model)
        return Side(said, model, unchecked="its script was not checked; --check does",
                    cost=cost_with(model, stock_beside(loaded.script))), loaded
    if texts:
        raise InputFault(f"{option} for {source!r}, which is no script", allowed="parameters for a desk script only")
    file = path / "model.json" if path.is_dir() else path
    if path.is_dir() and not file.is_file():
        raise InputFault("is a folder without a model.json", file=shown(path),
                         allowed="a folder that 'deskmodel make' wrote, a desk script, or a model.json")
    model = _model(file)
    findings, why = _findings_beside(file, model) if file.name == "model.json" else (None, "a model.json by itself")
    return Side(source, model, findings, why, cost=_cost_beside(file, model)), None


def _model(file: Path) -> DeskModel:
    try:
        return read_json(_text(file))
    except InputFault as fault:
        raise fault.located(file=shown(file)) from None


def _text(file: Path) -> str:
    try:
        if file.exists() and not file.is_file():
            raise InputFault("is not a plain file", file=shown(file))
        if file.stat().st_size > _MOST:
            raise InputFault(f"{file.stat().st_size} bytes", file=shown(file), allowed=f"{_MOST} at most")
        return file.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise InputFault("there is no such file", file=shown(file)) from None
    except UnicodeDecodeError:
        raise InputFault("is not UTF-8 text", file=shown(file), allowed="a model.json") from None
    except (OSError, ValueError) as fault:
        if isinstance(fault, InputFault):
            raise
        raise InputFault(f"cannot be read: {fault}", file=shown(file)) from None


def _findings_beside(file: Path, model: DeskModel) -> tuple[object, str | None]:
    """The findings.json beside a model.json, where it speaks of the same revision; else why not."""
    beside = file.parent / "findings.json"
    if not beside.exists():
        return None, "there is no findings.json beside its model.json"
    try:
        record = json.loads(_text(beside))
    except (ValueError, RecursionError) as fault:
        if isinstance(fault, InputFault):
            raise
        raise InputFault(f"not JSON: {fault}", file=shown(beside), allowed="a findings.json") from None
    if not isinstance(record, dict):
        raise InputFault("not a findings.json", file=shown(beside), allowed="what 'deskmodel make' writes")
    if record.get("revision") != revision(model):
        return None, "its findings.json speaks of another revision than its model.json"
    try:
        findings_said(record)
    except InputFault as fault:
        raise fault.located(file=shown(beside)) from None
    return record, None


def _cost_beside(file: Path, model: DeskModel) -> CostSide:
    """By the shopping list in the folder that ``make`` wrote, where it speaks of the same revision; else why not."""
    beside = file.parent / SHOPPING
    if file.name != "model.json" or not beside.exists():
        return CostSide(why=f"a model holds no prices, and there is no {SHOPPING} beside it")
    try:
        return cost_in_table(_text(beside), revision(model))
    except InputFault as fault:
        raise fault.located(file=shown(beside)) from None


def _checked(sides: list[tuple[Side, LoadedScript | None]],
             seconds: float) -> tuple[list[tuple[Side, LoadedScript | None]], bool]:
    """The sides with the findings of those that had none, and whether a check crashed."""
    progress = TerminalProgress(sys.stderr)
    progress.step("starting the kernel")
    from deskmodel.session.run import Session  # heavy: only now, so that faults of the input came at once

    session = Session(progress=progress, script_seconds=seconds)
    done, crashed = [], False
    try:
        for side, script in sides:
            made, fell = _check(session, side, script) if side.findings is None else (side, False)
            done.append((made, script))
            crashed = crashed or fell
    finally:
        session.close()
        progress.end()
    return done, crashed


def _check(session: Session, side: Side, script: LoadedScript | None) -> tuple[Side, bool]:
    from deskmodel.exporters import findings_record
    from deskmodel.session.run import Loaded

    if script is not None:
        loaded = session.load(script)
    elif any(isinstance(placed.part, CustomShape) for placed in side.model.parts):
        return replace(side, unchecked="it has custom shapes, which only its script can make"), False
    else:
        loaded = Loaded(Path(side.source), side.model, {})
    checked = session.check(loaded)
    record = findings_record(loaded.model, checked.outcomes, checked.pairs, loaded.lines)
    return replace(side, model=loaded.model, findings=record, unchecked=None, mass=checked.mass), checked.crashed
