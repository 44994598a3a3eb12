"""The kernel's answers for the ordinary sample, written down, so that the ordinary run need not wait for the kernel.

``recorded.json`` holds what the oracle said of each pair, under a hash of shapes and poses (poses to 1e-6); a pair that
has changed, or was never asked, is measured there and then. The slow suite measures every pair anew and compares.
Written by ``python -m tests.truth.records``.
"""

from __future__ import annotations

import hashlib
import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any

from deskmodel.frames import Pose
from tests.truth.case import Case, Truth

__all__ = ["RECORDS", "Records", "case_key"]

RECORDS = Path(__file__).with_name("recorded.json")
_KEPT = ("depth", "gap", "convex", "hull", "kinds", "swallower", "reached")
SAMPLE = 250  # pairs of the ordinary suite


def _rounded(pose: Pose) -> list[float]:
    return [round(x, 6) + 0.0 for row in (*pose.rotation, pose.origin) for x in row]


def case_key(case: Case) -> str:
    text = f"{case.a}{_rounded(case.pose_a)}{case.b}{_rounded(case.pose_b)}"
    return hashlib.sha256(text.encode()).hexdigest()[:16]


class Records:
    def __init__(self, path: Path = RECORDS) -> None:
        self._path = path
        self._known: dict[str, dict[str, Any]] = json.loads(path.read_text("utf-8")) if path.exists() else {}

    def get(self, case: Case) -> Truth | None:
        found = self._known.get(case_key(case))
        return None if found is None else Truth(**{**found, "kinds": tuple(found["kinds"])})

    def put(self, case: Case, truth: Truth) -> None:
        said = {k: v for k, v in asdict(truth).items() if k in _KEPT}
        self._known[case_key(case)] = said

    def write(self) -> None:
        lines = [f"{json.dumps(key)}: {json.dumps(said)}" for key, said in sorted(self._known.items())]
        self._path.write_text("{\n" + ",\n".join(lines) + "\n}\n", "utf-8")


def main(arguments: list[str]) -> None:
    """Without arguments: the sample, into ``recorded.json``. With a file: all pairs, into that file (for work on the
    engine: ``python -m tests.truth.replay all --records FILE`` then needs no kernel)."""
    from tests.truth.families import all_names, case_named, sample_names
    from tests.truth.judge import Undecided, truth_of

    path = Path(arguments[0]) if arguments else RECORDS
    if not arguments:
        path.unlink(missing_ok=True)  # a file of one's own is continued
    records = Records(path)
    for i, name in enumerate(all_names() if arguments else sample_names(SAMPLE)):
        case = case_named(name)
        if case.truth is None and records.get(case) is None:
            try:
                records.put(case, truth_of(case, print))
            except Undecided:
                continue  # printed; it stays to be asked
        if i % 100 == 0:
            records.write()
    records.write()


if __name__ == "__main__":
    main(sys.argv[1:])
