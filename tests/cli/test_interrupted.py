"""Commands that are interrupted, killed, or find nobody who takes what they say."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from deskmodel.cli import main
from tests.cli.commands import CLEAN, GLUED, command, deskmodel, environment, write
from tests.session.test_publish import left_over


def test_an_interrupt_ends_the_script_too(tmp_path: Path) -> None:
    write(tmp_path, "import os, time\ndef desk():\n    open('pid', 'w').write(str(os.getpid()))\n    time.sleep(60)\n")
    process = subprocess.Popen(command("check"), cwd=tmp_path, env=environment("off"), stderr=subprocess.PIPE, text=True)
    for _ in range(500):
        if (tmp_path / "pid").exists() and (tmp_path / "pid").read_text():
            break
        time.sleep(0.02)
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=10)
    assert process.returncode == 130
    assert "Traceback" not in err
    with pytest.raises(ProcessLookupError):
        os.kill(int((tmp_path / "pid").read_text()), 0)


def test_output_that_nobody_reads_any_more_is_no_fault(tmp_path: Path) -> None:
    process = subprocess.Popen(command("explain"), cwd=tmp_path, env=environment("off"), stdout=subprocess.PIPE,
                               stderr=subprocess.PIPE, text=True)
    assert process.stdout is not None
    process.stdout.close()
    assert process.stderr is not None
    assert "Traceback" not in process.stderr.read()
    process.stderr.close()
    assert process.wait() in (0, 130)  # 0: all was written before the reader left


@pytest.mark.slow
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize("arguments", [["check"], ["explain", "parts-overlap"]])
def test_a_full_disk_under_the_output_is_one_message(tmp_path: Path, cache: Path, arguments: list[str]) -> None:
    write(tmp_path, CLEAN)
    with Path("/dev/full").open("w") as full:
        ran = subprocess.run(command(*arguments), cwd=tmp_path, env=environment(cache), stdout=full, stderr=subprocess.PIPE,
                             text=True, timeout=300, check=False)
    assert ran.returncode == 2
    assert "the output cannot be written" in ran.stderr
    assert "Traceback" not in ran.stderr
    assert "Exception ignored" not in ran.stderr


def test_an_interrupt_while_a_library_loads_is_an_interrupt(monkeypatch: pytest.MonkeyPatch,
                                                            capsys: pytest.CaptureFixture[str]) -> None:
    """A compiled library that is stopped while it loads says that it cannot be imported."""
    def load(_: str) -> Any:
        def run(_: Any) -> int:
            try:
                raise KeyboardInterrupt
            except KeyboardInterrupt as stop:
                raise ImportError("initialisation failed") from stop
        return run

    monkeypatch.setattr(sys.modules["deskmodel.cli.main"], "_command", load)
    assert main(["explain"]) == 130
    assert capsys.readouterr().err == "interrupted; nothing was changed\n"


@pytest.mark.parametrize("times", [6, pytest.param(30, marks=pytest.mark.slow)])
def test_make_killed_at_random(tmp_path: Path, cache: Path, times: int) -> None:
    """The publishing itself is killed thirty times, and at each of its calls, in tests/session."""
    write(tmp_path, GLUED)
    assert deskmodel("make", cwd=tmp_path, cache=cache).returncode == 0
    start = time.monotonic()
    assert deskmodel("make", cwd=tmp_path, cache=cache).returncode == 0
    takes = time.monotonic() - start
    folder = tmp_path / "exports" / "small-frame"
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    seed = 4
    print(f"seed {seed}")
    chance = random.Random(seed)
    for _ in range(times):
        process = subprocess.Popen(command("make"), cwd=tmp_path, env=environment(cache), stdout=subprocess.DEVNULL,
                                   stderr=subprocess.DEVNULL)
        time.sleep(chance.uniform(0.3, 1.0) * takes)
        process.kill()
        process.wait()
        assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before
    assert deskmodel("make", cwd=tmp_path, cache=cache).returncode == 0
    assert left_over(folder) == []
