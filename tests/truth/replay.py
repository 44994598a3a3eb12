"""One case again: ``python -m tests.truth.replay family:index`` prints it, what is true of it, and the engine's report;
``python -m tests.truth.replay all [family ...]`` runs whole families and prints the tally;
``--records FILE``: with the kernel's answers that ``python -m tests.truth.records FILE`` wrote."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from deskmodel.cache import DiskCache
from deskmodel.fit import FitEngine
from deskmodel.meshes.store import ShapeStore
from tests.truth.families import all_names, case_named, sample_names
from tests.truth.judge import judge, truth_of
from tests.truth.records import Records
from tests.truth.suite import run_cases


def main(arguments: list[str]) -> int:
    with tempfile.TemporaryDirectory() as folder:
        engine = FitEngine(ShapeStore(DiskCache(Path(folder))))
        known = Records() if arguments[:1] == ["sample"] else None
        if "--records" in arguments:
            at = arguments.index("--records")
            known = Records(Path(arguments[at + 1]))
            del arguments[at : at + 2]
        if arguments and arguments[0] in ("all", "sample"):
            names = all_names() if arguments[0] == "all" else sample_names(250)
            chosen = [n for n in names if len(arguments) < 2 or n.split(":")[0] in arguments[1:]]
            tally = run_cases(chosen, engine, known)
            print(tally.details(400))
            return bool(tally.wrong)
        for name in arguments:
            case = case_named(name)
            truth = truth_of(case)
            report = engine.run(case.problem(truth.gap))
            print(case.reproduce(), truth, f"required gap {case.minimum(truth.gap)}", report, sep="\n")
            print("\n".join(map(str, judge(case, truth, report))) or "right")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
