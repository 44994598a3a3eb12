"""The short-lived process in which a desk script runs; it imports no kernel and may do what it likes.

Started by ``deskmodel.session.script`` with one argument, a JSON request. The answer is one JSON object on the
pipe whose descriptor the request names, after its length as eight bytes, so that whatever the script prints
(sent to standard error) cannot disturb it.
"""

from __future__ import annotations

import importlib.util
import json
import os
import resource
import signal
import sys
import types
from collections.abc import Callable
from functools import partial
from pathlib import Path
from types import FrameType, TracebackType
from typing import Any

import deskmodel
from deskmodel.desk import Desk
from deskmodel.errors import InputFault
from deskmodel.model import write_json
from deskmodel.session.parameters import Parameter, bind_parameters

__all__ = ["main"]

MODULE = "desk_script"
"""Name under which the script runs: its own file name could hide a module that it or we import later."""


class _OutOfTime(BaseException):
    """Raised inside the script when its time is over, so that the line it was at can be said."""


def main(request_text: str) -> None:
    request = json.loads(request_text)
    channel = int(request["channel"])
    os.set_inheritable(channel, False)
    seconds = float(request["seconds"])
    resource.setrlimit(resource.RLIMIT_AS, (int(request["memory"]),) * 2)
    signal.signal(signal.SIGALRM, partial(_out_of_time, f"{seconds:g} s"))
    signal.setitimer(signal.ITIMER_REAL, seconds)
    script = Path(request["script"])
    try:
        answer = _run(script, request["shown"], request["texts"], request["values"])
    except InputFault as fault:
        answer = {"fault": {"problem": fault.problem, "allowed": fault.allowed, "file": fault.file,
                            "line": fault.line, "key": fault.key}}
    except MemoryError:
        answer = {"fault": {"problem": _memory_problem(), "file": request["shown"]}}
    except _OutOfTime as error:
        answer = {"fault": {"problem": f"did not finish within {error}", "file": request["shown"]}}
    except BaseException as error:  # noqa: BLE001  # whatever is left is ours, and must reach the parent
        answer = {"crash": f"{type(error).__name__}: {_text_of(error)}", "where": _innermost(error)}
    signal.setitimer(signal.ITIMER_REAL, 0)
    data = json.dumps(answer, allow_nan=False).encode()
    with os.fdopen(channel, "wb") as pipe:
        pipe.write(len(data).to_bytes(8, "big") + data)
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(0)  # exit handlers and threads of the script have no say any more


def _run(script: Path, shown: str, texts: dict[str, str], values: dict[str, Parameter]) -> dict[str, object]:
    guard = _Guard(script, shown)
    module = guard.call(_execute, script, shown)
    function = getattr(module, "desk", None)
    if function is None:
        raise InputFault("defines no function named desk", allowed="def desk(...) -> Desk", file=shown)
    if not callable(function):
        raise InputFault(f"desk is {_kind_of(function)}", allowed="def desk(...) -> Desk", file=shown)
    line = _line_of(function)
    try:
        parameters = bind_parameters(function, texts, values)
    except InputFault as fault:
        raise fault.located(file=shown, line=line) from None
    result = guard.call(function, **parameters)
    if not isinstance(result, Desk):
        hint = "; is the last line 'return' missing?" if result is None else ""
        raise InputFault(f"desk() returned {_kind_of(result)}{hint}", allowed="a Desk", file=shown, line=line)
    frozen = guard.call(result.freeze)
    return {"model": write_json(frozen), "lines": dict(result.lines), "parameters": parameters}


def _execute(script: Path, shown: str) -> types.ModuleType:
    sys.path.insert(0, str(script.parent))
    sys.dont_write_bytecode = True  # compiled siblings are told stale by whole seconds; edits come faster
    sys.argv = [str(script)]
    source = script.read_bytes()
    try:
        text = source.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputFault(f"is not UTF-8 (byte 0x{source[error.start]:02x})", file=shown,
                         line=source[:error.start].count(b"\n") + 1) from None
    spec = importlib.util.spec_from_loader(MODULE, loader=None, origin=str(script))
    assert spec is not None
    module = importlib.util.module_from_spec(spec)
    module.__file__ = str(script)
    sys.modules[MODULE] = module
    try:
        code = compile(text, str(script), "exec", dont_inherit=True)
    except ValueError as error:  # a null byte
        raise InputFault(f"is not Python: {error}", file=shown) from None
    exec(code, module.__dict__)
    return module


class _Guard:
    """Turns whatever a script raises into one InputFault at the deepest line of the script's own folder."""

    def __init__(self, script: Path, shown: str) -> None:
        self.script = script
        self.shown = shown
        self.folder = script.parent
        self.package = Path(deskmodel.__file__).resolve().parent

    def call(self, function: Callable[..., Any], *args: object, **kwargs: object) -> Any:
        try:
            return function(*args, **kwargs)
        except InputFault as fault:
            file, line = self.place(fault.__traceback__)
            raise (fault if fault.file else fault.located(file=file, line=line)) from None
        except SyntaxError as error:
            own = self.shown_path(error.filename or "")
            file, line = (own, error.lineno) if own else self.place(error.__traceback__)
            raise InputFault(f"is not valid Python: {error.msg}", file=file, line=line) from None
        except SystemExit as error:
            raise self.fault(error, f"ended itself with sys.exit({error.code!r})") from None
        except _OutOfTime as error:
            raise self.fault(error, f"did not finish within {error}") from None
        except MemoryError as error:
            raise self.fault(error, _memory_problem()) from None
        except RecursionError as error:
            raise self.fault(error, "calls itself without end (RecursionError)") from None
        except BaseException as error:  # noqa: BLE001  # a script may raise anything
            raise self.fault(error, f"raised {type(error).__name__}: {_text_of(error)}") from None

    def fault(self, error: BaseException, problem: str) -> InputFault:
        file, line = self.place(error.__traceback__)
        return InputFault(problem, file=file, line=line)

    def place(self, traceback: TracebackType | None) -> tuple[str, int | None]:
        found: tuple[str, int | None] = (self.shown, None)
        while traceback is not None:
            own = self.shown_path(traceback.tb_frame.f_code.co_filename)
            if own:
                found = (own, traceback.tb_lineno)
            traceback = traceback.tb_next
        return found

    def shown_path(self, filename: str) -> str | None:
        """How a file of the script's folder is named to the user; None for any other file."""
        path = Path(filename)
        if not path.is_absolute() or not path.is_relative_to(self.folder) or path.is_relative_to(self.package):
            return None
        inner = path.relative_to(self.folder)
        if {"site-packages", "dist-packages"} & set(inner.parts):
            return None
        return str(Path(self.shown).parent / inner)


def _out_of_time(limit: str, number: int, frame: FrameType | None) -> None:
    raise _OutOfTime(limit)


def _memory_problem() -> str:
    limit = resource.getrlimit(resource.RLIMIT_AS)[0]
    return f"needs more than {limit / 2**30:g} GiB of memory"


def _line_of(function: Callable[..., object]) -> int | None:
    code = getattr(function, "__code__", None)
    return code.co_firstlineno if code is not None else None


def _kind_of(value: object) -> str:
    return "None" if value is None else f"a value of type {type(value).__name__}"


def _text_of(error: BaseException) -> str:
    try:
        text = str(error)
    except BaseException:  # noqa: BLE001  # even its text is the script's code
        text = "(its text cannot be read)"
    return text if len(text) <= 500 else text[:500] + "…"


def _innermost(error: BaseException) -> str:
    traceback = error.__traceback__
    place = ""
    while traceback is not None:
        place = f"{Path(traceback.tb_frame.f_code.co_filename).name}:{traceback.tb_lineno}"
        traceback = traceback.tb_next
    return place


if __name__ == "__main__":
    main(sys.argv[1])
