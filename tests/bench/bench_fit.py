"""The fit engine's benchmark: ``python -m tests.bench.bench_fit`` from the checkout. Prints a table; asserts no time.

Ratios of one run are the claim; seconds depend on the machine and on who else uses it. Rows (``--rows``):

    cold second warm     one desk: first check, second start in a fresh process, after one change (default)
    kernel               the kernel on the pairs that boxes let through (slow; ``--pairs N`` measures N of them)
    plain plain-same     a plain script: default tessellation (slow), and the engine's own meshes
    250 1000 5000        desks in a row, alike and all distinct, time and peak memory (5000 is slow)
    all                  everything

``--desk generated`` (default) is a plain desk of 271 parts, ``--desk duty`` the worked desk in parts/ with its keep-outs.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from deskmodel.cache import DiskCache
from deskmodel.fit import FitEngine, FitProblem, FitReport
from deskmodel.meshes.store import ShapeStore
from tests.bench.desk import DeskPlan, desk_problem
from tests.bench.duty import DUTY_CHANGES, duty_problem

FAST = ("cold", "second", "warm")
ROWS = (*FAST, "kernel", "plain-same", "plain", "250", "1000", "5000")
DESKS = {"250": 1, "1000": 4, "5000": 19}  # of 271 parts


@dataclass(slots=True)
class Table:
    lines: int = 0

    def row(self, what: str, took: float, note: str = "", target: str = "", cpu: float | None = None) -> None:
        if not self.lines:
            load = ", ".join(f"{x:.1f}" for x in os.getloadavg())
            print(f"load {load} on {os.cpu_count()} cores; wall clock, and processor time where it was taken")
            print(f"{'row':42} {'wall':>10} {'processor':>10}  {'target':22} remarks")
        self.lines += 1
        spent = "" if cpu is None else _shown(cpu)
        print(f"{what:42} {_shown(took):>10} {spent:>10}  {target:22} {note}", flush=True)


def _shown(seconds: float) -> str:
    return f"{1e3 * seconds:7.1f} ms" if seconds < 1.0 else f"{seconds:8.2f} s"


def timed(work: Callable[[], FitReport]) -> tuple[float, float, FitReport]:
    """Wall clock, processor time (which other users of the machine disturb less), report."""
    start, own = time.perf_counter(), time.process_time()
    report = work()
    return time.perf_counter() - start, time.process_time() - own, report


def said(report: FitReport) -> str:
    findings = len(report.overlaps) + len(report.gap_faults) + len(report.contact_faults)
    known = report.cached / max(report.cached + report.measured, 1)
    return (f"{report.pairs} pairs, {report.near} near, {report.measured} measured, {known:.1%} known; "
            f"{findings} findings, {len(report.not_measured)} not measured")


def fresh(folder: Path) -> FitEngine:
    return FitEngine(ShapeStore(DiskCache(folder)))


def cold(table: Table, folder: Path, problem: FitProblem) -> tuple[float, FitEngine]:
    import OCP  # noqa: F401  the kernel's import is a row of its own (second start)
    import trimesh  # noqa: F401

    engine = fresh(folder)
    took, cpu, report = timed(lambda: engine.run(problem))
    table.row("cold, empty cache, kernel imported", took, said(report), cpu=cpu)
    again = FitEngine(engine.store)
    again._pairs = type(engine._pairs)(DiskCache(None))  # shapes known, pairs not
    pairs_only, own, report = timed(lambda: again.run(problem))
    table.row("  of which pairs (shapes prepared)", pairs_only, f"{engine.store.built} shapes built", cpu=own)
    engine.flush()
    return took, engine


def child(folder: Path, desks: int, kind: str) -> tuple[float, dict[str, float]]:
    start = time.perf_counter()
    done = subprocess.run([sys.executable, "-m", "tests.bench.child", str(folder), str(desks), kind],
                          capture_output=True, text=True, check=True)
    return time.perf_counter() - start, json.loads(done.stdout.splitlines()[-1])


def second(table: Table, folder: Path, desk: str) -> None:
    took, said_by = child(folder, 1, "duty" if desk == "duty" else "alike")
    heavy = [name for name in ("kernel", "cadquery", "trimesh") if said_by[name]] or ["no kernel, no trimesh"]
    table.row("second start, fresh process, wall clock", took,
              f"imports {said_by['imports']:.2f} s ({', '.join(heavy)}), check {said_by['check']:.3f} s, "
              f"{said_by['measured']} measured, {said_by['built']} built, {said_by['loaded']} loaded")


PLANS: tuple[tuple[str, str, Callable[[int], DeskPlan]], ...] = (
    ("one screw backed out a little", "<= 10 ms",
     lambda i: DeskPlan(moves=(("screw front rail 2", (0.0, 0.0, -0.03 * i)),))),
    ("one screw shifted into its insert", "<= 10 ms",
     lambda i: DeskPlan(moves=(("screw front rail 2", (0.02 * i, 0.0, 0.0)),))),
    ("one dowel shifted in its holes", "<= 10 ms",
     lambda i: DeskPlan(moves=(("dowel cross member 1.4 1.1", (0.02 * i, 0.0, 0.0)),))),
    ("one component moved, still free", "<= 10 ms",
     lambda i: DeskPlan(moves=(("component 2", (0.7 * i, 0.3 * i, 0.0)),))),
    ("one component moved, too near a member", "<= 10 ms",
     lambda i: DeskPlan(moves=(("component 2", (-10.0 - 0.3 * i, 0.0, 0.0)),))),
    ("one cross member moved", "<= 120 ms",
     lambda i: DeskPlan(moves=(("cross member 1.4", (0.07 * i, 0.0, 0.0)),))),
    ("the middle rail moved", "<= 120 ms", lambda i: DeskPlan(moves=(("middle rail", (0.07 * i, 0.0, 0.0)),))),
    ("one member re-cut (cable bore)", "<= 150 ms", lambda i: DeskPlan(extra_bore=150.0 + i)),
    ("under-plate re-cut (480 vents)", "<= 1.2 s", lambda i: DeskPlan(vent=5.0 - 0.01 * i)),
)


def changes_of(desk: str) -> Iterator[tuple[str, str, Callable[[int], FitProblem]]]:
    if desk == "duty":
        for what, target, change in DUTY_CHANGES:
            yield what, target, lambda i, change=change: duty_problem(change(i))
    else:
        for what, target, plan in PLANS:
            yield what, target, lambda i, plan=plan: desk_problem(plan(i))


def warm(table: Table, engine: FitEngine, repeats: int, desk: str) -> None:
    """Each change from the unchanged desk, several times with other numbers, so that nothing is known of it."""
    for what, target, changed in changes_of(desk):
        took, cpus, last = [], [], None
        for i in range(1, repeats + 1):
            seconds, cpu, last = timed(partial(engine.run, changed(i)))
            took.append(seconds)
            cpus.append(cpu)
        assert last is not None
        table.row(f"warm: {what}", statistics.median(took),
                  f"worst of {repeats} {1e3 * max(took):.0f} ms; {said(last)}", target, statistics.median(cpus))


def rivals(table: Table, rows: set[str], problem: FitProblem, engine: FitEngine, cold_took: float, pairs: int | None,
           ) -> None:
    from tests.bench.rivals import kernel_on_near_pairs, plain_script

    true = {frozenset((o.a, o.b)) for o in engine.run(problem).overlaps}
    if "kernel" in rows:
        r = kernel_on_near_pairs(problem, pairs)
        scaled = "" if pairs is None or pairs >= r.pairs else f" (scaled from {pairs} pairs)"
        table.row("kernel on box-filtered pairs" + scaled, r.seconds,
                  f"{r.seconds / cold_took:.1f} x cold (by its booleans alone {r.part / cold_took:.1f} x); "
                  f"{r.pairs} pairs, {len(r.overlaps - true)} overlaps the engine does not report, {r.failures} failures",
                  "cold >= 20 x faster")
    if "plain-same" in rows:
        def own(shape: object) -> tuple[object, object]:
            prepared = engine.store.prepared(shape)  # type: ignore[arg-type]
            return prepared.vertices, prepared.triangles

        r = plain_script(problem, own)  # type: ignore[arg-type]
        table.row("plain script, the engine's own meshes", r.seconds - r.part,
                  f"{len(r.overlaps - true)} false hits, {len(true - r.overlaps)} missed; no gaps, no depths")
    if "plain" in rows:
        r = plain_script(problem)
        table.row("plain script, default tessellation", r.seconds,
                  f"{r.seconds / cold_took:.0f} x cold; {r.part:.1f} s of it meshing; {len(r.overlaps - true)} "
                  f"false hits, {len(true - r.overlaps)} missed")


def many(table: Table, name: str) -> None:
    for kind in ("alike", "distinct"):
        with tempfile.TemporaryDirectory() as folder:
            wall, r = child(Path(folder), DESKS[name], kind)
        target = "<= 5 s, <= 1.5 GB" if name == "5000" and kind == "alike" else ""
        table.row(f"{int(r['parts'])} parts, {kind}, cold", r["check"],
                  f"peak {r['peak']:.2f} GB, wall {wall:.1f} s; {int(r['shapes'])} shapes, {int(r['near'])} near, "
                  f"{int(r['measured'])} measured; {int(r['findings'])} findings", target)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rows", nargs="+", default=list(FAST), choices=(*ROWS, "all"))
    parser.add_argument("--pairs", type=int, default=None, help="kernel: pairs to measure, the rest scaled")
    parser.add_argument("--repeats", type=int, default=7, help="warm: changes of each sort")
    parser.add_argument("--desk", choices=("generated", "duty"), default="generated")
    given = parser.parse_args()
    rows = set(ROWS) if "all" in given.rows else set(given.rows)
    table, problem = Table(), duty_problem() if given.desk == "duty" else desk_problem()
    with tempfile.TemporaryDirectory() as folder:
        if rows & {"cold", "second", "warm", "kernel", "plain", "plain-same"}:
            took, engine = cold(table, Path(folder), problem)
            if "second" in rows:
                second(table, Path(folder), given.desk)
            if "warm" in rows:
                warm(table, engine, given.repeats, given.desk)
            rivals(table, rows, problem, engine, took, given.pairs)
    for name in DESKS:
        if name in rows:
            many(table, name)


if __name__ == "__main__":
    main()
