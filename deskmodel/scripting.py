"""Running a script of the user's inside a process made for it: limits, and faults told at the script's own lines.

Only for child processes (``deskmodel.session.child``, ``deskmodel.solids.custom_child``): limits hold for the whole
process, and ``send`` ends it.
"""

from __future__ import annotations

import json
import os
import resource
import signal
import sys
import types
from collections.abc import Callable, Mapping
from contextlib import suppress
from functools import partial
from pathlib import Path
from types import FrameType, TracebackType
from typing import Any, NoReturn

import deskmodel
from deskmodel.errors import InputFault

__all__ = ["Guard", "OutOfTime", "answer", "execute", "limit_memory", "limit_time"]

MODULE = "desk_script"
"""Name under which a script runs: its own file name could hide a module that it or we import later."""


class OutOfTime(BaseException):
    """Raised inside the script when its time is over, so that the line it was at can be said."""


def limit_memory(size: int) -> None:
    """At most ``size`` bytes of address space for this process."""
    resource.setrlimit(resource.RLIMIT_AS, (size, size))


def limit_time(seconds: float) -> None:
    """From now on OutOfTime is raised after ``seconds``; 0 takes the limit away."""
    signal.signal(signal.SIGALRM, partial(_out_of_time, f"{seconds:g} s"))
    signal.setitimer(signal.ITIMER_REAL, seconds)


def _out_of_time(limit: str, number: int, frame: FrameType | None) -> None:
    raise OutOfTime(limit)


def answer(channel: int, work: Callable[[], Mapping[str, object]],
           also: Callable[[], Mapping[str, object]] = dict) -> NoReturn:
    """Send what ``work`` returns to the process that asked, or how it failed, and end this one.

    The answer is {"fault": fields of an InputFault}, {"crash": text, "where": place} or the mapping itself, and with it what
    ``also`` says however it went. Exit handlers and threads that the script left have no say any more.
    """
    os.set_inheritable(channel, False)
    value: Mapping[str, object]
    try:
        value = work()
    except InputFault as fault:
        value = {"fault": {"problem": fault.problem, "allowed": fault.allowed, "file": fault.file,
                           "line": fault.line, "key": fault.key}}
    except OutOfTime as error:  # between two calls of the script's code
        value = {"fault": {"problem": f"did not finish within {error}"}}
    except MemoryError:
        value = {"fault": {"problem": _memory_problem()}}
    except BaseException as error:  # whatever is left is ours, and must reach the process that asked
        value = {"crash": f"{type(error).__name__}: {_text_of(error)}", "where": _innermost(error)}
    limit_time(0)
    data = json.dumps({**value, **also()}, allow_nan=False).encode()
    for stream in (sys.stdout, sys.stderr):  # before the answer: whoever has that waits for nothing more
        with suppress(Exception):  # a script may have closed or replaced it
            stream.flush()
    with os.fdopen(channel, "wb") as pipe:
        pipe.write(len(data).to_bytes(8, "big") + data)
    os._exit(0)


def execute(script: Path, shown: str) -> types.ModuleType:
    """Run the script as a module; its folder comes first on the import path."""
    sys.path.insert(0, str(script.parent))
    sys.dont_write_bytecode = True  # compiled siblings are told stale by whole seconds; edits come faster
    sys.argv = [str(script)]
    source = script.read_bytes()
    try:
        text = source.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputFault(f"is not UTF-8 (byte 0x{source[error.start]:02x})", file=shown,
                         line=source[:error.start].count(b"\n") + 1) from None
    module = types.ModuleType(MODULE)
    module.__file__ = str(script)
    sys.modules[MODULE] = module
    if "\0" in text:
        raise InputFault("is not Python: it holds a null byte", file=shown, line=text[:text.index("\0")].count("\n") + 1)
    exec(compile(text, str(script), "exec", dont_inherit=True), module.__dict__)
    return module


class Guard:
    """Turns whatever a script raises into one InputFault at the deepest line of the script's own folder."""

    def __init__(self, script: Path, shown: str) -> None:
        """``script``: its resolved path; ``shown``: how the user names it."""
        self._shown = shown
        self._folder = script.parent
        self._package = Path(deskmodel.__file__).resolve().parent

    def call(self, function: Callable[..., Any], *args: object, **kwargs: object) -> Any:
        try:
            return function(*args, **kwargs)
        except InputFault as fault:
            file, line, via = self._place(fault.__traceback__)
            known = fault.file and self.shown_path(fault.file)
            problem = fault.problem if fault.file else fault.problem + via
            raise InputFault(problem, allowed=fault.allowed, file=known or fault.file or file,
                             line=fault.line if fault.file else line, key=fault.key) from None
        except SyntaxError as error:
            own = self.shown_path(error.filename or "")
            file, line = (own, error.lineno) if own else self._place(error.__traceback__)[:2]
            raise InputFault(f"is not valid Python: {error.msg}", file=file, line=line) from None
        except SystemExit as error:
            raise self._fault(error, f"ended itself with sys.exit({error.code!r:.100})") from None
        except OutOfTime as error:
            raise self._fault(error, f"did not finish within {error}") from None
        except MemoryError as error:
            raise self._fault(error, _memory_problem()) from None
        except RecursionError as error:
            raise self._fault(error, "calls itself without end (RecursionError)") from None
        except BaseException as error:  # a script may raise anything
            raise self._fault(error, f"raised {type(error).__name__}: {_text_of(error)}") from None

    def shown_path(self, filename: str) -> str | None:
        """How a file of the script's folder is named to the user; None for any other file."""
        path = Path(filename)
        if not path.is_absolute() or not path.is_relative_to(self._folder):
            return None
        if path.is_relative_to(self._package) and not path.is_relative_to(self._package / "templates"):
            return None
        inner = path.relative_to(self._folder)
        if {"site-packages", "dist-packages"} & set(inner.parts):
            return None
        return str(Path(self._shown).parent / inner)

    def _fault(self, error: BaseException, problem: str) -> InputFault:
        file, line, via = self._place(error.__traceback__)
        return InputFault(problem + via, file=file, line=line)

    def _place(self, traceback: TracebackType | None) -> tuple[str, int | None, str]:
        """File and line, and " (called from line 61)" where a function of the script was called there: many parts are made
        by one."""
        found: tuple[str, int | None] = (self._shown, None)
        via = calls = ""
        while traceback is not None:
            code = traceback.tb_frame.f_code
            own = self.shown_path(code.co_filename)
            if own:
                file, line = found
                via = "" if line is None or calls == "<module>" else (
                    f" (called from line {line})" if file == own else f" (called from {Path(file).name}:{line})")
                found, calls = (own, traceback.tb_lineno), code.co_name
            traceback = traceback.tb_next
        return *found, via


def _memory_problem() -> str:
    limit = resource.getrlimit(resource.RLIMIT_AS)[0]
    return f"needs more than {limit / 2**30:g} GiB of memory"


def _text_of(error: BaseException) -> str:
    try:
        text = str(error)
    except BaseException:  # even its text is the script's code
        text = "(its text cannot be read)"
    return text if len(text) <= 500 else text[:500] + "…"


def _innermost(error: BaseException) -> str:
    place = ""
    traceback = error.__traceback__
    while traceback is not None:
        place = f"{Path(traceback.tb_frame.f_code.co_filename).name}:{traceback.tb_lineno}"
        traceback = traceback.tb_next
    return place
