"""A process that waits with deskmodel imported, and from which the watch's scripts are forked: each run then starts at once.

It imports no kernel and runs no code of a script itself: each run is a fork of its own, with a group of its own, in which
the script's modules are imported anew. What the one-shot commands promise of a run (``deskmodel.processes.ask``) holds here
too. Where there is no waiting process to be had, ``ask`` takes over; one that a script ended or stopped is not trusted with
another run, and that script is not run a second time.
"""

from __future__ import annotations

import json
import os
import select
import signal
import socket
import subprocess
import sys
import time
import weakref
from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import Any

from deskmodel import processes
from deskmodel.processes import Answer, ask, decoded, ending, environment, read_answer

__all__ = ["Nursery"]

_OFFERED = hasattr(os, "fork") and hasattr(os, "waitid") and hasattr(socket, "send_fds")
"""Elsewhere each run is a process of its own from the start."""

_START = 30.0
"""s for the waiting process to make its imports, on a machine that is busy."""


class Nursery:
    """``close`` ends it, and the run that is at work; so does the end of the object or of this process."""

    def __init__(self, module: str) -> None:
        """``module``: its ``main(request)`` is what each fork runs, as ``python -m module REQUEST`` would."""
        self._module = module
        self._waiting: _Waiting | None = None

    def begin(self) -> None:
        """Start the waiting process now: it makes its imports while others make theirs."""
        if self._waiting is None and _OFFERED:
            with suppress(OSError):
                self._waiting = _Waiting(self._module)

    def ask(self, request: Mapping[str, object], *, seconds: float, needless: Callable[[], bool] | None = None) -> Answer:
        """As ``deskmodel.processes.ask``; a run that has become ``needless`` is ended as if its time were over."""
        self.begin()
        answer = None if self._waiting is None else self._waiting.ask(request, seconds, needless)
        if self._waiting is not None and not self._waiting.sound:
            self.close()
        return ask(self._module, request, seconds=seconds) if answer is None else answer

    def close(self) -> None:
        if self._waiting is not None:
            self._waiting.end()
        self._waiting = None


class _Waiting:
    """The process. JSON, one line each way on a socket: {"request"} with the descriptors for the answer and for what it
    prints, answered by {"run"}: the number of the fork; then {"end": seconds} to wait for its end that long, answered by
    {"status"}, None where it had to be ended."""

    def __init__(self, module: str) -> None:
        ours, theirs = socket.socketpair()
        try:
            command = [sys.executable, "-P", "-m", "deskmodel.session.nursery_child", module, str(theirs.fileno())]
            process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=2, pass_fds=(theirs.fileno(),),
                                       start_new_session=True, env=environment())
        except BaseException:
            ours.close()
            raise
        finally:
            theirs.close()
        self._process, self._socket = process, ours
        self._run: int | None = None
        self.sound = True
        self._finalizer = weakref.finalize(self, _end, process, ours)

    def ask(self, request: Mapping[str, object], seconds: float, needless: Callable[[], bool] | None) -> Answer | None:
        """None where nothing was run. Not ``sound`` from then on where the waiting process is not what it should be."""
        self._socket.settimeout(_START)
        reading, writing = os.pipe()
        try:
            try:
                line = json.dumps({"request": {**request, "seconds": seconds}}).encode() + b"\n"
                sent = socket.send_fds(self._socket, [line], [writing, 2])
                if sent < len(line):  # else it may be at work by now, and the script have ended it
                    self._socket.sendall(line[sent:])
            except OSError:
                self.sound = False
                return None
            finally:
                os.close(writing)
            if not self._begun():
                return None
            data, in_time = read_answer(reading, time.monotonic() + seconds + processes.GRACE, needless)
            value = decoded(data)
            how = self._ended(processes.GRACE if value is None and in_time else 0.0)
        finally:
            os.close(reading)
        if value is not None:
            return Answer(value)
        return Answer(None, how if in_time else f"did not finish within {seconds:g} s")

    def _begun(self) -> bool:
        """Whether the run has begun, for sure: no script may be run twice. A waiting process that says nothing is ended;
        what it had said by then holds, since a run begins only once it is told."""
        for seconds in (_START, 0.0):
            try:
                self._run = int(self._told(seconds)["run"])
                return True
            except (OSError, ValueError, KeyError):
                self.sound = False
                self._process.kill()
                self._process.wait()
        return False

    def _ended(self, seconds: float) -> str:
        """Once the run has ended, or was ended: how."""
        try:
            self._socket.sendall(json.dumps({"end": seconds}).encode() + b"\n")
            status = self._told(seconds + processes.GRACE)["status"]
        except (OSError, ValueError, KeyError):
            self.sound = False
            return "ended or stopped the process that it was started from"
        self._run = None
        return "closed its answer without giving one" if status is None else ending(int(status))

    def _told(self, seconds: float) -> dict[str, Any]:
        line = b""
        while not line.endswith(b"\n"):
            ready, _, _ = select.select([self._socket], [], [], seconds)
            piece = self._socket.recv(4096) if ready else b""
            if not piece:
                raise OSError("the waiting process does not answer")
            line += piece
        told: dict[str, Any] = json.loads(line)
        return told

    def end(self) -> None:
        self._finalizer()
        if self._run is not None:  # the waiting process could not end it, or is ended by somebody else
            with suppress(ProcessLookupError, PermissionError):
                os.killpg(self._run, signal.SIGKILL)
        self._run = None


def _end(process: subprocess.Popen[bytes], ours: socket.socket) -> None:
    """At the end of the socket it ends by itself, its run with it."""
    ours.close()
    try:
        process.wait(1.0)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
