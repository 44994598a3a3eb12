"""Runs a desk script in a process of its own and brings back the desk it describes, as text.

Nothing of the script's code runs here; this module imports no kernel and no mesh library.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from deskmodel.errors import BuildFault, InputFault
from deskmodel.processes import ask
from deskmodel.session.nursery import Nursery
from deskmodel.session.parameters import Parameter

__all__ = ["SCRIPT_CHILD", "SCRIPT_SECONDS", "WATCH_SECONDS", "LoadedScript", "Ran", "find_script", "load_script",
           "run_script", "shown"]

SCRIPT_CHILD = "deskmodel.session.child"
"""What runs in the script's process."""

SCRIPT_SECONDS = 30.0
"""s. A desk of 300 parts takes well under one; whoever needs more says so with --script-timeout."""

WATCH_SECONDS = 10.0
"""s that it may run in the watch: whoever edits wants to hear soon that it hangs."""

MEMORY = 4 << 30
"""Bytes of address space the script may map: far above any desk, below what stalls a small machine."""

DEFAULTS = ("parts/desk.py", "desk.py")


@dataclass(frozen=True, slots=True)
class LoadedScript:
    """``model`` is the text of model.json; ``lines`` says which line made what ("front rail": "desk.py:41");
    ``parameters`` are all arguments of the call, defaults included."""

    script: Path
    model: str
    lines: Mapping[str, str]
    parameters: Mapping[str, Parameter]


@dataclass(frozen=True, slots=True)
class Ran:
    """``desk`` or ``fault``; ``files``: what its process opened to read, absolute, None where it did not live to say so."""

    desk: LoadedScript | None
    fault: InputFault | None
    files: tuple[Path, ...] | None


def find_script(given: str | None) -> Path:
    """The script that was named, else the default one below the current folder."""
    if given is not None:
        return Path(given)
    for default in DEFAULTS:
        if Path(default).is_file():
            return Path(default)
    raise InputFault("there is no desk script here", allowed=f"{' or '.join(DEFAULTS)}, or the path of one; "
                     "'deskmodel new FOLDER' writes a first one")


def shown(path: Path) -> str:
    """A path as a person here would write it: relative below the current folder, else absolute."""
    absolute = Path(os.path.abspath(path))
    try:
        return str(absolute.relative_to(Path.cwd()))
    except ValueError:
        return str(absolute)


def load_script(script: Path, *, texts: Mapping[str, str] | None = None,
                values: Mapping[str, Parameter] | None = None, seconds: float = SCRIPT_SECONDS) -> LoadedScript:
    """Call ``desk(**parameters)`` of the script. ``texts`` are parameters as typed (``--set``), ``values`` typed ones.

    Raises InputFault, with file and line where there is one, for anything the script or its parameters got wrong:
    a file that is missing, a folder, or not UTF-8; a syntax error; no function ``desk``, or one that returns
    something else; any exception; sys.exit and os._exit; too much time or memory. Raises BuildFault only for
    faults of deskmodel itself.
    """
    ran = run_script(script, texts=texts, values=values, seconds=seconds)
    if ran.desk is None:
        assert ran.fault is not None
        raise ran.fault
    return ran.desk


def run_script(script: Path, *, texts: Mapping[str, str] | None = None, values: Mapping[str, Parameter] | None = None,
               seconds: float = SCRIPT_SECONDS, nursery: Nursery | None = None,
               needless: Callable[[], bool] | None = None) -> Ran:
    """As ``load_script``; the InputFault comes back, and which files the script read. Raises BuildFault as it does.
    ``nursery``: of ``SCRIPT_CHILD``, for whoever runs scripts again and again, and may give up one that has become
    ``needless``."""
    name = shown(script)
    try:
        _must_be_a_file(script, name)
    except InputFault as fault:
        return Ran(None, fault, None)
    request = {"script": str(script.resolve()), "shown": name, "texts": dict(texts or {}), "values": dict(values or {}),
               "memory": MEMORY}
    answer = (ask(SCRIPT_CHILD, request, seconds=seconds) if nursery is None
              else nursery.ask(request, seconds=seconds, needless=needless))
    if answer.value is None:
        return Ran(None, InputFault(answer.ending, file=name), None)
    return _ran(script, answer.value)


def _must_be_a_file(script: Path, name: str) -> None:
    if script.is_dir():
        inside = next((script / d for d in DEFAULTS if (script / d).is_file()), None)
        raise InputFault("is a folder", file=name,
                         allowed=f"the script in it, {inside}" if inside else "a desk script, a .py file")
    if not script.exists():
        raise InputFault("there is no such file", file=name)
    if not script.is_file():
        raise InputFault("is not a plain file", file=name)
    if not os.access(script, os.R_OK):
        raise InputFault("may not be read", file=name)


def _ran(script: Path, value: dict[str, Any]) -> Ran:
    if "crash" in value:
        raise BuildFault(f"the desk could not be written down: {value['crash']} ({value['where']})")
    files = tuple(Path(file) for file in value["files"])
    if "fault" in value:
        return Ran(None, InputFault(**value["fault"]), files)
    return Ran(LoadedScript(script, value["model"], value["lines"], value["parameters"]), None, files)
