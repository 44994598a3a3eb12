"""The short-lived process in which a desk script runs; it imports no kernel and may do what it likes.

Started by ``deskmodel.session.script`` with one argument, a JSON request; answers as ``deskmodel.processes`` says.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NoReturn

from deskmodel.desk import Desk
from deskmodel.errors import InputFault
from deskmodel.model import freeze, write_json
from deskmodel.scripting import Guard, answer, execute, limit_memory, limit_time
from deskmodel.session.files_read import FilesRead
from deskmodel.session.parameters import bind_parameters

__all__ = ["main"]


def main(request_text: str) -> NoReturn:
    request = json.loads(request_text)
    limit_memory(int(request["memory"]))
    limit_time(float(request["seconds"]))
    reads = FilesRead(Path(request["script"]).parent)
    answer(int(request["channel"]), lambda: _run(request), lambda: {"files": reads.files})


def _run(request: Mapping[str, Any]) -> dict[str, object]:
    script, shown = Path(request["script"]), str(request["shown"])
    guard = Guard(script, shown)
    module = guard.call(execute, script, shown)
    function = getattr(module, "desk", None)
    if function is None:
        raise InputFault("defines no function named desk", allowed="def desk(...) -> Desk", file=shown)
    if not callable(function):
        raise InputFault(f"desk is {_kind_of(function)}", allowed="def desk(...) -> Desk", file=shown)
    line = _line_of(function)
    try:
        parameters = bind_parameters(function, request["texts"], request["values"])
    except InputFault as fault:
        raise fault.located(file=shown, line=line) from None
    desk = guard.call(function, **parameters)
    if not isinstance(desk, Desk):
        hint = "; is 'return' missing?" if desk is None else ""
        raise InputFault(f"desk() returned {_kind_of(desk)}{hint}", allowed="a Desk", file=shown, line=line)
    named = {name: value for name, value in parameters.items() if value is not None}
    model, lines = guard.call(freeze, desk, named)
    text = guard.call(write_json, model)
    try:
        text.encode()
    except UnicodeEncodeError as error:
        raise InputFault(f"a name or text holds {text[error.start]!r}, which is no character", file=shown) from None
    return {"model": text, "lines": lines, "parameters": named}


def _line_of(function: Callable[..., object]) -> int | None:
    code = getattr(function, "__code__", None)
    return code.co_firstlineno if code is not None else None


def _kind_of(value: object) -> str:
    return "None" if value is None else f"a value of type {type(value).__name__}"


if __name__ == "__main__":
    main(sys.argv[1])
