"""One question to a fresh Python process: its answer, or how it ended without one.

Code of other people (a desk script, a shape as cadquery code) runs only this way. The process gets a group of its
own, no standard input, prints to our standard error, and answers on a pipe. Whatever it leaves behind in its
group is ended with it.
"""

from __future__ import annotations

import gc
import json
import os
import select
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import deskmodel

__all__ = ["Answer", "ask", "collect_seldom", "decoded", "ending", "environment", "read_answer"]

GRACE = 5.0
"""s. A child ends itself at its limit and says where it was; one that cannot is ended this much later."""


_PATIENT = 1.0
"""s for an answer before it is asked whether anybody still wants it; most are there long before."""
_ASKED = 0.05
"""s between two such questions."""


def collect_seldom() -> None:
    """For a process of one command: the kernel's import and a desk make hundreds of thousands of lasting objects and hardly
    a cycle; looking for cycles after each 700 of them takes a tenth of the time."""
    gc.set_threshold(100_000, 20, 50)


@dataclass(frozen=True, slots=True)
class Answer:
    """``value`` is the JSON object answered, or None; then ``ending`` says how the process ended."""

    value: dict[str, object] | None
    ending: str = ""


def ask(module: str, request: Mapping[str, object], *, seconds: float) -> Answer:
    """Run ``python -m module REQUEST``; the request is completed by "channel" (a file descriptor) and "seconds".

    The child writes one JSON object there, after its length as eight bytes (big-endian).
    """
    reading, writing = os.pipe()
    try:
        command = [sys.executable, "-P", "-m", module,
                   json.dumps({**request, "channel": writing, "seconds": seconds})]
        process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=2, pass_fds=(writing,),
                                   start_new_session=True, env=environment())
    except BaseException:
        os.close(reading)
        raise
    finally:
        os.close(writing)
    try:
        data, in_time = read_answer(reading, time.monotonic() + seconds + GRACE)
        value = decoded(data)
        if value is not None:
            return Answer(value)
        if not in_time:
            return Answer(None, f"did not finish within {seconds:g} s")
        return Answer(None, ending(process.wait(GRACE)))
    except subprocess.TimeoutExpired:
        return Answer(None, "closed its answer without giving one")
    finally:
        os.close(reading)
        _end_group(process)


def environment() -> dict[str, str]:
    """The child's: sets are walked in the same order on every run, and deskmodel is found where we found it."""
    environment = {**os.environ, "PYTHONHASHSEED": "0"}
    root = Path(deskmodel.__file__).resolve().parent.parent
    if root.name not in {"site-packages", "dist-packages"}:
        before = environment.get("PYTHONPATH")
        environment["PYTHONPATH"] = f"{before}{os.pathsep}{root}" if before else str(root)
    return environment


def read_answer(reading: int, deadline: float, needless: Callable[[], bool] | None = None) -> tuple[bytes, bool]:
    """All bytes up to a whole answer or the end of the pipe; False when the deadline came first, or when nobody wants it any
    more: ``needless`` is asked that now and then, once the answer has been long in coming."""
    data = bytearray()
    waiting = select.poll()
    waiting.register(reading, select.POLLIN)
    patient = time.monotonic() + _PATIENT
    while (left := deadline - time.monotonic()) > 0:
        if not waiting.poll(1000 * (left if needless is None else min(left, _ASKED))):
            if needless is None or (time.monotonic() > patient and needless()):
                break
            continue
        piece = os.read(reading, 1 << 20)
        if not piece:
            return bytes(data), True
        data += piece
        if len(data) >= 8 and len(data) >= 8 + int.from_bytes(data[:8], "big"):
            return bytes(data), True
    return bytes(data), False


def decoded(data: bytes) -> dict[str, object] | None:
    """The answer; None when it is missing, cut off, or something that only the code under test can have written."""
    end = 8 + int.from_bytes(data[:8], "big")
    if len(data) < max(end, 8):
        return None
    try:
        value = json.loads(data[8:end])  # a script that forked may have written a second one
    except ValueError:
        return None
    return value if isinstance(value, dict) else None


def ending(status: int) -> str:
    """How a process ended that gave no answer; ``status`` as ``subprocess`` counts."""
    if status >= 0:
        return f"ended its process itself, with exit status {status}"
    try:
        name = signal.Signals(-status).name
    except ValueError:
        name = str(-status)
    hint = " (out of memory?)" if -status == signal.SIGKILL else ""
    return f"its process was ended by {name}{hint}"


def _end_group(process: subprocess.Popen[bytes]) -> None:
    with suppress(ProcessLookupError, PermissionError):  # nobody left
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()
