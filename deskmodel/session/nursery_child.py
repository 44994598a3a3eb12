"""The waiting process (see ``nursery``): forks a run for each request and says how it ended.

Started with the name of a module and the number of its socket. It has one thread and imports no kernel, so a fork of it is
whole. The fork keeps neither the socket nor anything else of it; the end of the socket ends both.
"""

from __future__ import annotations

import gc
import importlib
import json
import os
import select
import signal
import socket
import sys
import time
import traceback
from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import Any, NoReturn

__all__ = ["main"]

_LOOK = 0.002
"""s between two looks at whether a run has ended."""
_LONGEST = 1 << 22
"""Bytes of a request."""


def main(module: str, number: str) -> None:
    asked = socket.socket(fileno=int(number))
    asked.set_inheritable(False)
    work: Callable[[str], NoReturn] = importlib.import_module(module).main
    gc.collect()
    gc.freeze()  # what is here now is for good: no fork has to copy it only to count it
    run: int | None = None
    try:
        while True:
            told, descriptors = _next(asked)
            if told is None:
                return
            if "request" in told and len(descriptors) == 2:
                run = _forked(asked, work, told["request"], *descriptors)
            elif run is not None:
                status = _ended(run, float(told["end"]), asked)
                run = None
                _say(asked, {"status": status})
    except OSError:  # nobody is there any more
        return
    finally:
        if run is not None:
            _ended(run, 0.0, asked)


def _next(asked: socket.socket) -> tuple[dict[str, Any] | None, list[int]]:
    """(what is asked, descriptors that came with it); None at the end."""
    line, descriptors = b"", []
    while not line.endswith(b"\n"):
        piece, came, _, _ = socket.recv_fds(asked, 1 << 16, 2)
        if not piece or len(line) > _LONGEST:
            return None, []
        line += piece
        descriptors += came
    for descriptor in descriptors:
        os.set_inheritable(descriptor, False)
    told: dict[str, Any] = json.loads(line)
    return told, descriptors


def _say(asked: socket.socket, told: Mapping[str, object]) -> None:
    asked.sendall(json.dumps(told).encode() + b"\n")


def _forked(asked: socket.socket, work: Callable[[str], NoReturn], request: Mapping[str, object], channel: int,
            printed: int) -> int:
    """The number of a new process that does the work. It begins when that number has been told: whoever asks must know
    whether anything was run, also where a script ends this process as the first thing that it does."""
    waits, goes = os.pipe()
    run = os.fork()
    if run == 0:
        try:
            asked.close()
            os.close(goes)
            os.setsid()
            if not os.read(waits, 1):
                os._exit(1)
            os.close(waits)
            os.dup2(printed, 2)
            os.dup2(printed, 1)
            os.close(printed)
            work(json.dumps({**request, "channel": channel}))
        except BaseException:  # ours; what a script raises has become its answer
            traceback.print_exc()
        finally:
            os._exit(1)
    for descriptor in (waits, channel, printed):
        os.close(descriptor)
    _say(asked, {"run": run})
    os.write(goes, b"x")
    os.close(goes)
    return run


def _ended(run: int, seconds: float, asked: socket.socket) -> int | None:
    """How the run ended, as ``subprocess`` counts; None where it did not within ``seconds`` and was ended. What it left in
    its group is ended with it, and only then may its number be given to another process."""
    deadline = time.monotonic() + seconds
    while not (over := os.waitid(os.P_PID, run, os.WEXITED | os.WNOWAIT | os.WNOHANG)) and time.monotonic() < deadline:
        ready, _, _ = select.select([asked], [], [], _LOOK)
        if ready:  # the end: nobody waits for this
            break
    for end in (os.killpg, os.kill):  # it leads a group of its own, unless it has only just begun
        with suppress(ProcessLookupError, PermissionError):
            end(run, signal.SIGKILL)
    _, status = os.waitpid(run, 0)
    return os.waitstatus_to_exitcode(status) if over else None


if __name__ == "__main__":
    main(*sys.argv[1:])
