"""``deskmodel check`` and ``deskmodel make``."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from deskmodel.cache import default_cache
from deskmodel.checks import check_named
from deskmodel.cli.arguments import parameter_texts
from deskmodel.cli.bays import bays_text, size_text
from deskmodel.cli.progress import TerminalProgress
from deskmodel.cli.text import Style, findings_text, made_text, summary_text
from deskmodel.findings import needless
from deskmodel.plans import bay_rows, desk_box
from deskmodel.session.ahead import Ahead
from deskmodel.session.script import find_script, load_script

if TYPE_CHECKING:
    from deskmodel.session.run import Checked

__all__ = ["check", "make"]

NOTHING_STOPS, STOPPED, CRASHED = 0, 1, 3


def check(arguments: Namespace) -> int:
    return _run(arguments, make_files=False)


def make(arguments: Namespace) -> int:
    return _run(arguments, make_files=True)


def _run(arguments: Namespace, *, make_files: bool) -> int:
    texts, only = parameter_texts(arguments.settings), _ids(arguments.only)
    place = find_script(arguments.desk)
    cache = default_cache()
    known = f"desk:{place.resolve()}"  # of which shapes are in the cache
    ahead = Ahead(cache)
    progress = TerminalProgress(sys.stderr)
    try:
        if place.is_file() and not cache.holds(known):
            ahead.begin()
        script = load_script(place, texts=texts, seconds=arguments.script_timeout)
        progress.step("starting the kernel")
        from deskmodel.session.run import Session  # heavy: only now, so that faults of the input came at once

        session = Session(progress=progress, script_seconds=arguments.script_timeout, ahead=ahead)
        loaded = session.load(script)
        if make_files:
            session.check_place(loaded, Path(arguments.out))
        checked = session.check(loaded, only, make_follows=make_files)
        made = session.make(checked, Path(arguments.out), unreleased=arguments.unreleased) if make_files else None
        if checked.pairs:
            cache.put(known, b"")
    finally:
        ahead.close()
        progress.end()
    said_as_json = _write_json(arguments.json, checked)
    if not said_as_json:
        style = Style.of(sys.stdout, wanted=arguments.colour)
        model = checked.loaded.model
        findings = findings_text(checked.outcomes, style)
        print(f"{findings}\n" if findings else "", end="\n" if findings else "")
        if getattr(arguments, "bays", False):
            print(f"{bays_text(bay_rows(model), style)}\n")
        stale = [(each, checked.loaded.lines.get(each.title)) for each in needless(model.acceptances, checked.outcomes)]
        print(summary_text(model.name, checked.revision, len(model.parts), checked.pairs, checked.outcomes, style, stale))
        print(size_text(desk_box(model), checked.mass, style))
        if made is not None:
            print(made_text(str(made.folder), made.files, made.withheld, made.unreleased, style))
    if checked.crashed:
        return CRASHED
    return STOPPED if checked.held_back else NOTHING_STOPS


def _write_json(target: str | None, checked: Checked) -> bool:
    """Write the findings where ``--json`` says; True when that is standard output, which then holds nothing else."""
    if target is None:
        return False
    from deskmodel.exporters import findings_record, json_bytes
    from deskmodel.session.whole_file import write_whole

    data = json_bytes(findings_record(checked.loaded.model, checked.outcomes, checked.pairs, checked.loaded.lines,
                                      seconds=True))
    if target != "-":
        write_whole(Path(target), data)
        return False
    sys.stdout.write(data.decode())
    return True


def _ids(given: list[str]) -> list[str] | None:
    """``--only a,b --only c``; None where all checks are to run."""
    ids = [part.strip() for text in given for part in text.split(",")]
    for check_id in ids:
        check_named(check_id)
    return ids or None
