"""One measurement in a fresh process; prints one line of JSON. Run by ``bench_fit`` as ``python -m tests.bench.child``.

    FOLDER DESKS alike|distinct|duty    builds the problem, checks it with the cache in FOLDER
"""

from __future__ import annotations

import time

START = time.perf_counter()  # before every import of ours

import json  # noqa: E402
import resource  # noqa: E402
import sys  # noqa: E402
from pathlib import Path  # noqa: E402

from deskmodel.cache import DiskCache  # noqa: E402
from deskmodel.fit import FitEngine  # noqa: E402
from deskmodel.meshes.store import ShapeStore  # noqa: E402
from tests.bench.desk import desk_problem, desks_problem  # noqa: E402


def main() -> None:
    _, folder, desks, kind = sys.argv
    imported = time.perf_counter()
    if kind == "duty":
        from tests.bench.duty import duty_problem

        problem = duty_problem()
    elif desks == "1" and kind == "alike":
        problem = desk_problem()
    else:
        problem = desks_problem(int(desks), kind == "distinct")
    made = time.perf_counter()
    engine = FitEngine(ShapeStore(DiskCache(Path(folder))))
    report = engine.run(problem)
    checked = time.perf_counter()
    engine.flush()
    print(json.dumps({
        "imports": imported - START, "problem": made - imported, "check": checked - made,
        "flush": time.perf_counter() - checked,
        "peak": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0 / 1024.0,  # GB (Linux counts in kB)
        "kernel": "OCP" in sys.modules, "cadquery": "cadquery" in sys.modules, "trimesh": "trimesh" in sys.modules,
        "bodies": len(problem.bodies), "parts": sum(b.role == "part" for b in problem.bodies),
        "shapes": len({b.shape.key for b in problem.bodies}), "near": report.near, "measured": report.measured,
        "cached": report.cached, "built": engine.store.built, "loaded": engine.store.loaded,
        "findings": len(report.overlaps) + len(report.gap_faults) + len(report.contact_faults)
        + len(report.not_measured)}))


if __name__ == "__main__":
    main()
