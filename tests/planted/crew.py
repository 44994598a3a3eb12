"""All edits of one desk by as many processes as there are cores.

    python -m tests.planted.crew parts --share 0.05 --seed 1
"""

from __future__ import annotations

import argparse
import json
import os
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict
from multiprocessing import get_context
from pathlib import Path

from deskmodel.fit import FitEngine
from deskmodel.model import Parameter
from tests.planted.answers import Answers
from tests.planted.edits import Edit, dropped, edits_of
from tests.planted.expected import Told
from tests.planted.harness import bare_desk, copied, run_in
from tests.planted.judge import Verdict, judge, told_of
from tests.planted.oracle import Oracle

__all__ = ["RIGHT", "Place", "all_edits", "judge_all", "parameters_for", "summary"]

RIGHT = ("refused", "found", "beyond", "harmless")
_OTHER_COMPUTER = "laptop-dock"


def all_edits(root: Path) -> list[Edit]:
    return [*edits_of(root), *dropped(bare_desk(root.resolve(), {}))]


def parameters_for(edit: Edit) -> dict[str, Parameter]:
    """The duty desk's variant in which the edited line or sheet counts."""
    return {"computer": _OTHER_COMPUTER} if _OTHER_COMPUTER in edit.name or f'"{_OTHER_COMPUTER}"' in edit.about else {}


class Place:
    """What a process keeps from edit to edit. ``proven``: the kernel is not asked about the desk without an edit."""

    def __init__(self, root: Path, proven: bool = False) -> None:
        self._kept = tempfile.TemporaryDirectory()
        self.folder = copied(root, Path(self._kept.name) / "desk")
        self.engine, self.oracle = FitEngine(), Oracle(Answers())
        self._proven = proven
        self._clean: dict[tuple[Parameter, ...], frozenset[Told]] = {}

    def judge(self, edit: Edit) -> Verdict:
        parameters = parameters_for(edit)
        variant = tuple(parameters.values())
        if variant not in self._clean:
            run = run_in(self.folder, {}, self.engine, parameters)
            self._clean[variant] = told_of(run)
            if self._proven and run.model is not None and run.question is not None:
                self.oracle.prove(run.model, run.question.problem, run.question.keep_outs)
        return judge(edit, self.folder, self.engine, self.oracle, parameters, self._clean[variant])


_place: Place | None = None


def _begin(root: str) -> None:
    global _place
    _place = Place(Path(root))


def _one(edit: Edit) -> Verdict:
    assert _place is not None
    return _place.judge(edit)


def judge_all(root: Path, edits: Sequence[Edit], processes: int | None = None) -> Iterator[Verdict]:
    """In the order in which they are done with."""
    with ProcessPoolExecutor(processes or os.cpu_count(), mp_context=get_context("spawn"), initializer=_begin,
                             initargs=(str(root),)) as pool:
        for done in as_completed([pool.submit(_one, edit) for edit in edits]):
            yield done.result()


def summary(verdicts: Sequence[Verdict]) -> Mapping[str, int]:
    return dict(sorted(Counter(verdict.kind for verdict in verdicts).items()))


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("root", type=Path)
    parser.add_argument("--share", type=float, default=1.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="", help="edits with this in their names")
    parser.add_argument("--processes", type=int)
    parser.add_argument("--out", type=Path, help="a line of JSON for each edit; what is in it is not done again")
    given = parser.parse_args()
    edits = [edit for edit in all_edits(given.root) if given.only in edit.name]
    total = len(edits)
    random.Random(given.seed).shuffle(edits)
    edits = edits[:max(1, round(given.share * total))]
    done = set()
    if given.out and given.out.exists():
        done = {json.loads(line)["name"] for line in given.out.read_text().splitlines()}
    edits = [edit for edit in edits if edit.name not in done]
    started, verdicts = time.monotonic(), []
    for verdict in judge_all(given.root, edits, given.processes):
        verdicts.append(verdict)
        if given.out:
            with given.out.open("a") as file:
                file.write(json.dumps(asdict(verdict)) + "\n")
        if verdict.kind not in RIGHT:
            print(verdict.kind, verdict.name, *verdict.told, sep="\n    ", flush=True)
    print(f"{len(verdicts)} of {total} edits, seed {given.seed}, {time.monotonic() - started:.0f} s: {summary(verdicts)}")
    return 0 if all(verdict.kind in RIGHT for verdict in verdicts) else 1


if __name__ == "__main__":
    sys.exit(main())
