"""The fit engine: from a problem to a report, measuring only what it has not measured before."""

from __future__ import annotations

import atexit
import weakref
from collections.abc import Callable
from functools import partial

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.fit.asked import Asked, near_pairs
from deskmodel.fit.contacts import CONTACT_SHARE, ring_key, ring_share
from deskmodel.fit.narrow import Side, judge
from deskmodel.fit.pair_store import PairStore
from deskmodel.fit.placed import pose_of
from deskmodel.fit.problem import BodyShape, ContactFault, FitProblem, FitReport, NotMeasured
from deskmodel.fit.report import Told, contact_fault, tell
from deskmodel.fit.result import PairResult
from deskmodel.fit.shapes import ShapeTable
from deskmodel.fit.spin import Axes, relative
from deskmodel.frames import Vec
from deskmodel.meshes.store import ShapeStore

__all__ = ["FitEngine", "Progress"]

Progress = Callable[[int, int], None]
"""Called with (pairs measured so far, pairs to measure in this run)."""

_MEMORY = 400_000  # pair results kept
_FLUSH = 50  # new results from which a run saves them at once; fewer wait for ``flush`` or the end


class FitEngine:
    """Keeps prepared shapes and pair results from run to run, so that a run after a change measures only pairs whose
    shape or relative pose changed. One engine serves one thread."""

    def __init__(self, store: ShapeStore | None = None) -> None:
        self.store = ShapeStore() if store is None else store
        self._pairs = PairStore(self.store.cache)
        self._known: dict[tuple[str, str, float, bool, bytes], PairResult] = {}
        self._rings: dict[tuple[str, str, str, bytes], tuple[float, Vec]] = {}
        atexit.register(_flush, weakref.ref(self))

    def flush(self) -> None:
        """Save what was measured to the disk cache. Done by itself after long runs and at the end."""
        self._pairs.flush()

    def run(self, problem: FitProblem, progress: Progress | None = None) -> FitReport:
        """Judge every pair of bodies. Raises InputFault for a problem that contradicts itself (two bodies of one name,
        a gap or contact that names a body that is not there); what can't be measured is in the report."""
        self.store.next_round()
        asked = Asked(problem)
        shapes = ShapeTable(self.store, [body.shape for body in problem.bodies])
        if not problem.bodies:
            return FitReport()
        near = near_pairs(asked, shapes)
        first, second = shapes.of_body[near.i], shapes.of_body[near.j]
        for row, contacts in near.contacts:
            for male, source in asked.relieved(contacts, self.store):
                index = shapes.add(source)
                if male == near.i[row]:
                    first[row] = index
                else:
                    second[row] = index
        swap = shapes.other_first(first, second)
        base, other = np.where(swap, near.j, near.i), np.where(swap, near.i, near.j)
        shape_base, shape_other = np.where(swap, second, first), np.where(swap, first, second)
        at = near.placed
        rel = relative(at.rotation[base], at.origin[base], at.rotation[other], at.origin[other],
                       shapes.axes.take(shape_base), shapes.axes.take(shape_other))
        keys = [(shapes.keys[a], shapes.keys[b], minimum, overlaps, pose.tobytes())
                for a, b, minimum, overlaps, pose in zip(shape_base.tolist(), shape_other.tolist(),
                                                         near.minimum.tolist(), near.overlaps.tolist(),
                                                         rel.keys, strict=True)]
        results, missing = self._recall(keys)
        for done, row in enumerate(missing):
            if progress is not None:
                progress(done, len(missing))
            a, b = int(shape_base[row]), int(shape_other[row])
            result = results[row] = self._measure(shapes, a, b, rel.rotation[row], rel.origin[row],
                                                  float(near.minimum[row]), bool(near.overlaps[row]))
            self._known[keys[row]] = result
            if result.why is None:
                self._pairs.put(shapes.digest(keys[row]), result)
        if progress is not None:
            progress(len(missing), len(missing))
        told = Told(problem, asked, near, base, other, rel, shapes)
        report = tell(told, [self._known[key] if found is None else found
                             for key, found in zip(keys, results, strict=True)])
        contact_faults, unknown = self._contacts(problem, asked, shapes, near.placed.rotation, near.placed.origin)
        self._bound()
        return FitReport(report.overlaps, report.gap_faults, contact_faults, report.not_measured + unknown,
                         asked.roles.pairs(), near.count, len(missing), len(keys) - len(missing))

    def _recall(self, keys: list[tuple[str, str, float, bool, bytes]]) -> tuple[list[PairResult | None], list[int]]:
        """What is known of each key, and the rows to measure: the first of each key that nothing is known of."""
        results: list[PairResult | None] = [self._known.get(key) for key in keys]
        missing: list[int] = []
        planned: set[tuple[str, str, float, bool, bytes]] = set()
        for row, found in enumerate(results):
            if found is not None or keys[row] in planned:
                continue
            stored = self._pairs.get(ShapeTable.digest(keys[row]))
            if stored is not None:
                self._known[keys[row]] = results[row] = stored
            else:
                planned.add(keys[row])
                missing.append(row)
        return results, missing

    def _measure(self, shapes: ShapeTable, a: int, b: int, rotation: NDArray[np.float64],
                 origin: NDArray[np.float64], minimum: float, overlaps: bool) -> PairResult:
        why = shapes.why[a] or shapes.why[b]
        if why:
            return PairResult(why=why)
        return judge(self._side(shapes, a), self._side(shapes, b), rotation, origin, minimum, overlaps)

    def _side(self, shapes: ShapeTable, index: int) -> Side:
        source, shape = shapes.sources[index], shapes.prepared(index)
        self.store.using(shape)
        return Side(shape, partial(self.store.brep, source), partial(self.store.faces, source))

    def _contacts(self, problem: FitProblem, asked: Asked, shapes: ShapeTable, rotation: NDArray[np.float64],
                  origin: NDArray[np.float64]) -> tuple[tuple[ContactFault, ...], tuple[NotMeasured, ...]]:
        if not problem.contacts:
            return (), ()
        male = np.array([asked.index[contact.male] for contact in problem.contacts])
        female = np.array([asked.index[contact.female] for contact in problem.contacts])
        none = Axes(np.zeros(len(male), bool), np.zeros((len(male), 3)), np.zeros((len(male), 3)))
        rel = relative(rotation[male], origin[male], rotation[female], origin[female], none, none)
        faults: list[ContactFault] = []
        unknown: list[NotMeasured] = []
        for row, contact in enumerate(problem.contacts):
            a, b = int(shapes.of_body[male[row]]), int(shapes.of_body[female[row]])
            why = shapes.why[a] or shapes.why[b]
            if why:
                unknown.append(NotMeasured(contact.male, contact.female, why))
                continue
            key = (shapes.keys[a], shapes.keys[b], ring_key(contact), rel.keys[row].tobytes())
            found = self._rings.get(key)
            if found is None:
                try:
                    found = ring_share(shapes.prepared(a), shapes.prepared(b), rel.rotation[row], rel.origin[row],
                                       contact, partial(self._breps, shapes.sources[a], shapes.sources[b]))
                except BuildFault as fault:
                    unknown.append(NotMeasured(contact.male, contact.female, str(fault)))
                    continue
                self._rings[key] = found
            if found[0] < CONTACT_SHARE:
                faults.append(contact_fault(contact, pose_of(rotation[male[row]], origin[male[row]]), *found))
        return tuple(faults), tuple(unknown)

    def _breps(self, male: BodyShape, female: BodyShape) -> tuple[object, object]:
        return self.store.brep(male), self.store.brep(female)

    def _bound(self) -> None:
        while len(self._known) > _MEMORY:  # the oldest first
            del self._known[next(iter(self._known))]
        while len(self._rings) > _MEMORY:
            del self._rings[next(iter(self._rings))]
        if self._pairs.unsaved >= _FLUSH:
            self._pairs.flush()


def _flush(engine: weakref.ref[FitEngine]) -> None:
    alive = engine()
    if alive is not None:
        alive.flush()
