"""Runs named cases through an engine and tallies what came of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from deskmodel.fit import FitEngine
from tests.truth.case import SEED, Case, Truth, gap_verdict, overlap_verdict
from tests.truth.families import FAMILIES, case_named
from tests.truth.judge import Undecided, Wrong, judge, truth_of
from tests.truth.records import Records

__all__ = ["Tally", "run_cases"]


@dataclass(slots=True)
class Tally:
    pairs: int = 0
    closed: int = 0
    recorded: int = 0  # of the others: the kernel's answer was written down earlier
    verdicts: Counter[str] = field(default_factory=Counter)  # of the overlap: must, never, either
    in_band: Counter[str] = field(default_factory=Counter)  # of the pairs in the band: reported or not
    gap_band: Counter[str] = field(default_factory=Counter)  # requirements within 0.01 of the true gap: met exactly?
    failures: list[str] = field(default_factory=list)  # of the oracle's kernel, settled or not: all are counted
    undecided: list[str] = field(default_factory=list)  # those that stayed so
    wrong: list[tuple[Case, Truth, list[Wrong]]] = field(default_factory=list)

    def of(self, sort: str) -> list[tuple[Case, Truth, list[Wrong]]]:
        return [w for w in self.wrong if any(x.sort == sort for x in w[2])]

    def summary(self) -> str:
        return (f"truth of the fit engine, seed {SEED}: {self.pairs} pairs, {self.closed} in closed form, "
                f"{self.pairs - self.closed} by the kernel ({self.recorded} written down, "
                f"{len(self.failures)} kernel failures, {len(self.undecided)} of them not settled); overlaps "
                f"{dict(self.verdicts)}, in the band {dict(self.in_band)}; gap requirements "
                f"within 0.01 of the gap {dict(self.gap_band)}; wrong verdicts {len(self.of('verdict'))}, "
                f"wrong values {len(self.of('value'))}")

    def details(self, most: int = 20) -> str:
        lines = [self.summary(), *(f"KERNEL {u}" for u in self.failures)]
        for case, truth, wrongs in self.wrong[:most]:
            lines += [f"WRONG {case.reproduce()}", f"  true: {truth}", *(f"  {w.sort}: {w.what}" for w in wrongs)]
        if len(self.wrong) > most:
            lines.append(f"... and {len(self.wrong) - most} more: " + " ".join(c.name for c, _, _ in self.wrong[most:]))
        return "\n".join(lines)


def run_cases(names: Iterable[str], engine: FitEngine, records: Records | None = None) -> Tally:
    """``records``: the kernel's answers where they are known; None: it is asked for every pair without closed form."""
    tally = Tally()
    for name in names:
        case = case_named(name)
        tally.pairs += 1
        tally.closed += FAMILIES[case.family].closed
        try:
            truth = records.get(case) if records else None
            tally.recorded += truth is not None
            truth = truth or truth_of(case, tally.failures.append)
        except Undecided as fault:
            tally.undecided.append(str(fault))
            continue
        report = engine.run(case.problem(truth.gap))
        verdict = overlap_verdict(truth)
        tally.verdicts[verdict] += 1
        if verdict == "either":
            tally.in_band["reported" if report.overlaps else "let pass"] += 1
        minimum = case.minimum(truth.gap)
        if minimum is not None and gap_verdict(truth, minimum) == "either":
            right = bool(report.gap_faults) == (truth.gap < minimum)
            tally.gap_band["as the exact gap" if right else "otherwise"] += 1
        wrongs = judge(case, truth, report)
        if wrongs:
            tally.wrong.append((case, truth, wrongs))
    return tally
