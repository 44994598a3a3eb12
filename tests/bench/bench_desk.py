"""The duty desk from end to end: ``python -m tests.bench.bench_desk`` from the checkout. Prints a table; asserts no time.

Each row is the command as people start it, in a process of its own, imports included: ``make`` and ``check`` with an empty
cache, then again. Wall clock depends on who else uses the machine; *processor* (all processes) and *first* (the process
that was started, without those that it starts) do so less: on two idle cores the wall clock lies between the longest
process and the sum. *memory* is the peak of what all processes hold together (proportional set size, read ten times a
second, so short peaks are missed; Linux only).

Bytecode is compiled once before anything is timed, as an installation does it or a first start leaves it.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
AIMS = {("make", "cold"): "10 s, 1.2 GB", ("make", "second"): "4 s, 1.2 GB"}
_EVERY = 0.1  # s


@dataclass(frozen=True, slots=True)
class Run:
    """Seconds and bytes."""

    wall: float
    processor: float
    first: float
    memory: int


def main() -> None:
    arguments = _arguments()
    with tempfile.TemporaryDirectory(prefix="deskmodel-bench-") as place:
        folder = Path(place)
        environment = {**os.environ, "PYTHONPYCACHEPREFIX": str(folder / "compiled"), "PYTHONPATH": str(ROOT)}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        timed("make", folder, folder / "first cache", environment)
        print(f"{'duty desk':14} {'wall':>8} {'processor':>10} {'first':>8} {'memory':>9}  {'load':>5}  aim")
        for repeat in range(arguments.repeats):
            for command in ("make", "check"):
                cache = folder / f"cache {command} {repeat}"
                for start in ("cold", "second"):
                    load = os.getloadavg()[0]
                    run = timed(command, folder, cache, environment)
                    print(f"{command + ' ' + start:14} {run.wall:6.2f} s {run.processor:8.2f} s {run.first:6.2f} s "
                          f"{run.memory / 2**30:6.2f} GB  {load:5.1f}  {AIMS.get((command, start), '')}", flush=True)


def timed(command: str, folder: Path, cache: Path, environment: dict[str, str]) -> Run:
    """One run of ``deskmodel command`` for the worked desk. RuntimeError where it finds anything or fails."""
    arguments = [sys.executable, "-m", "deskmodel", command, str(ROOT / "parts" / "desk.py")]
    if command == "make":
        arguments += ["--out", str(folder / "out")]
    begin = time.perf_counter()
    process = subprocess.Popen(arguments, env={**environment, "DESKMODEL_CACHE": str(cache)}, cwd=ROOT,
                               stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    memory, first = 0, 0.0
    while True:
        ended, status, used = os.wait4(process.pid, os.WNOHANG)
        if ended:
            break
        memory = max(memory, sum(_held(pid) for pid in _family(process.pid)))
        first = _own_seconds(process.pid) or first
        time.sleep(_EVERY)
    wall = time.perf_counter() - begin
    process.returncode = os.waitstatus_to_exitcode(status)
    said = process.stderr.read().decode() if process.stderr else ""
    if process.returncode:
        raise RuntimeError(f"{command} ended with {process.returncode}: {said[-500:]}")
    return Run(wall, used.ru_utime + used.ru_stime, first, memory)


def _family(pid: int) -> list[int]:
    """The process and all below it."""
    found = [pid]
    try:
        for task in Path(f"/proc/{pid}/task").iterdir():
            for child in (task / "children").read_text().split():
                found += _family(int(child))
    except OSError:  # ended meanwhile, or no Linux
        pass
    return found


def _held(pid: int) -> int:
    try:
        for line in Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines():
            if line.startswith("Pss:"):
                return int(line.split()[1]) * 1024
    except OSError:
        pass
    return 0


def _own_seconds(pid: int) -> float:
    """Processor time of the process itself."""
    try:
        fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
    except (OSError, IndexError):
        return 0.0


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--repeats", type=int, default=1, help="how often each row is run (default: 1)")
    return parser.parse_args()


if __name__ == "__main__":
    main()
