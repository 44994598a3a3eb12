"""What the engine remembers, forgets and says it does not know."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault
from deskmodel.fit import Body, DesignedContact, FitEngine, FitProblem, FitReport, RequiredGap
from deskmodel.fit.pair_store import PairStore
from deskmodel.fit.result import CLEAR, PairResult
from deskmodel.frames import IDENTITY, Pose, axis_angle
from deskmodel.meshes import ShapeStore
from tests.fit.shapes import Made, body, bored, box, cylinder, tube


def row(count: int, moved: int = -1, spin: float = 0.0) -> FitProblem:
    """Blocks with a bore, a pin in each, the last pin too thick; one block may stand 0.05 aside."""
    bodies: list[Body] = []
    for k in range(count):
        at = (50.0 * k + (0.05 if k == moved else 0.0), 0.0, 0.0)
        bodies.append(body(f"block {k}", bored(40, 4.0, 30), at))
        pin = cylinder(4.05 if k == count - 1 else 4.0, 30)
        bodies.append(body(f"pin {k}", pin, (50.0 * k, 0.0, 0.0), axis_angle((0, 0, 1), spin * k)))
    gaps = tuple(RequiredGap(f"block {k}", f"block {k + 1}", 10.0, "row") for k in range(count - 1))
    return FitProblem(tuple(bodies), gaps)


def told(report: FitReport) -> tuple[object, ...]:
    return (report.overlaps, report.gap_faults, report.contact_faults, report.not_measured)


def engine(folder: Path | None = None) -> FitEngine:
    return FitEngine(ShapeStore(DiskCache(folder, salt="test")))


def test_equal_pairs_are_measured_once_and_changes_only() -> None:
    own = engine()
    first = own.run(row(12, spin=17.0))
    assert first.pairs == 24 * 23 // 2
    assert len(first.overlaps) == 1
    assert first.measured <= 3  # pin in bore, thick pin in bore, block beside block
    again = own.run(row(12, spin=23.0))  # pins spun: nothing new
    assert (again.measured, told(again)[:2]) == (0, told(first)[:2])
    aside = own.run(row(12, moved=3))
    assert 1 <= aside.measured <= 3  # its pin, two neighbours
    assert {(o.a, o.b) for o in aside.overlaps} == {("block 3", "pin 3"), ("block 11", "pin 11")}
    assert [(f.a, round(f.gap, 6)) for f in aside.gap_faults] == [("block 3", 9.95)]


def test_a_second_start_measures_nothing(tmp_path: Path) -> None:
    own = engine(tmp_path)
    first = own.run(row(6, moved=2))
    own.flush()
    later = engine(tmp_path)
    second = later.run(row(6, moved=2))
    assert second.measured == 0
    assert (later.store.built, later.store.loaded) == (0, own.store.built)
    assert told(second) == told(first)


def test_a_start_with_everything_cached_loads_no_kernel(tmp_path: Path) -> None:
    code = """
import json, sys
from pathlib import Path
from deskmodel.cache import DiskCache
from deskmodel.fit import Body, FitEngine, FitProblem, DesignedContact
from deskmodel.frames import Pose
from deskmodel.meshes import ShapeStore
class Shape:
    def __init__(self, key, number): self.key, self.number = key, number
    def build(self):
        import cadquery as cq
        return (cq.Solid.makeBox(20, 20, 20) if self.number else cq.Solid.makeCylinder(4, 30)).wrapped
engine = FitEngine(ShapeStore(DiskCache(sys.argv[1])))
ring = DesignedContact("c", "a", Pose(origin=(0, 0, 0)), 3.0, 4.0, 1.0, 19.0, "meant")
report = engine.run(FitProblem((Body("a", Shape("a", 1), Pose()), Body("b", Shape("a", 1), Pose(origin=(19.9, 1, 1))),
                                Body("c", Shape("c", 0), Pose(origin=(10, 10, 0)))), contacts=(ring,)))
engine.flush()
loaded = [name for name in ("OCP", "cadquery", "trimesh") if name in sys.modules]
print(json.dumps([len(report.overlaps), report.measured, loaded]))
"""
    path = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    runs = [json.loads(subprocess.run([sys.executable, "-c", code, str(tmp_path)], capture_output=True, text=True,
                                      check=True, env=path).stdout) for _ in range(2)]
    assert runs[0][1] > 0
    assert "OCP" in runs[0][2]
    assert runs[1] == [runs[0][0], 0, []]


def test_moving_everything_changes_no_finding() -> None:
    own, problem = engine(), row(4, moved=1)
    before = own.run(problem)
    by = Pose(axis_angle((1, -2, 0.5), 71).rotation, (311.0, -87.0, 1200.0))
    after = own.run(replace(problem, bodies=tuple(replace(b, pose=by @ b.pose) for b in problem.bodies)))
    assert [(o.a, o.b, o.kind) for o in after.overlaps] == [(o.a, o.b, o.kind) for o in before.overlaps]
    for o, p in zip(before.overlaps, after.overlaps, strict=True):
        assert p.penetration == pytest.approx(o.penetration, abs=1e-3)
        assert p.volume == pytest.approx(o.volume, rel=0.05)
    assert [f.gap for f in after.gap_faults] == pytest.approx([f.gap for f in before.gap_faults], abs=1e-6)


def test_the_order_of_the_bodies_changes_nothing() -> None:
    problem = row(5, moved=1)
    shuffled = list(problem.bodies)
    random.Random(3).shuffle(shuffled)
    one, two = engine().run(problem), engine().run(replace(problem, bodies=tuple(shuffled)))
    assert {frozenset((o.a, o.b)): (o.kind, o.penetration, o.volume) for o in one.overlaps} == {
        frozenset((o.a, o.b)): (o.kind, o.penetration, o.volume) for o in two.overlaps}
    assert {(f.a, f.b, f.gap) for f in one.gap_faults} == {(f.a, f.b, f.gap) for f in two.gap_faults}


@dataclass(frozen=True)
class Broken:
    key: str
    why: str

    def build(self) -> object:
        raise ValueError(self.why)


def test_a_shape_that_fails_is_never_a_pass() -> None:
    report = engine().run(FitProblem((body("good", box(10, 10, 10)), body("far", box(10, 10, 10), (500.0, 0, 0)),
                                      Body("bad", Broken("bad", "no such profile"), IDENTITY)),
                                     contacts=(DesignedContact("bad", "good", IDENTITY, 1, 2, 0, 1, "meant"),)))
    assert {frozenset((n.a, n.b)) for n in report.not_measured} == {frozenset(("good", "bad")), frozenset(("far", "bad"))}
    assert all("no such profile" in n.why for n in report.not_measured)


def test_an_open_shell_is_not_measured_but_the_rest_is() -> None:
    def shell() -> object:
        import cadquery as cq

        return cq.Workplane().box(10, 10, 10).faces("<Z").val()
    face = Made("face", shell)  # type: ignore[arg-type]
    report = engine().run(FitProblem((body("face", face, (5.0, 5.0, 10.0)), body("a", box(10, 10, 10)),
                                      body("b", box(10, 10, 10), (9.0, 0, 0)))))
    assert [(o.a, o.b) for o in report.overlaps] == [("a", "b")]
    assert ("face", "a") in {(n.a, n.b) for n in report.not_measured}


def test_a_kernel_failure_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    from deskmodel.solids import measure

    def fail(*_: object) -> object:
        raise BuildFault("the kernel found no distance")
    monkeypatch.setattr(measure, "distance", fail)
    problem = FitProblem((body("a", box(10, 10, 10)), body("b", box(10, 10, 10), (11.0, 0, 0))),
                         (RequiredGap("a", "b", 2.0, "air"),))
    own = engine()
    report = own.run(problem)
    assert [(n.a, n.b, n.why) for n in report.not_measured] == [("a", "b", "the kernel found no distance")]
    assert report.gap_faults == ()


def test_pair_results_on_disk_survive_only_whole(tmp_path: Path) -> None:
    cache = DiskCache(tmp_path)
    store = PairStore(cache)
    store.put(b"k" * 16, CLEAR)
    store.put(b"u" * 16, PairResult(why="not known"))
    store.flush()
    other = PairStore(cache)  # another process wrote meanwhile
    other.put(b"o" * 16, CLEAR)
    other.flush()
    read = PairStore(cache)
    assert read.get(b"k" * 16) is CLEAR
    assert read.get(b"o" * 16) is CLEAR
    assert read.get(b"u" * 16) is None  # what was not measured is tried again
    path = cache.path("pairs")
    assert path is not None
    path.write_bytes(path.read_bytes()[:-3])
    assert PairStore(cache).get(b"k" * 16) is None


def test_progress_is_told() -> None:
    seen: list[tuple[int, int]] = []
    report = engine().run(row(3), lambda done, of: seen.append((done, of)))
    assert seen[0] == (0, report.measured)
    assert seen[-1] == (report.measured, report.measured)


def test_nothing_to_do() -> None:
    assert engine().run(FitProblem(())) == FitReport()
    assert engine().run(FitProblem((body("a", box(1, 1, 1)),))).pairs == 0


def test_memory_of_shapes_is_bounded() -> None:
    store = ShapeStore(DiskCache(None), memory=200_000)
    own = FitEngine(store)
    for k in range(30):
        own.run(FitProblem((body("a", tube(4.0, 1.65, 10 + k)), body("b", box(1, 1, 1), (50.0, 0, 0)))))
    assert store._bytes < 400_000
    assert len(store._shapes) < 15


def test_what_was_made_of_shapes_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    from deskmodel.meshes import store as store_module

    monkeypatch.setattr(store_module, "_MADE", 500_000)
    own, problem = engine(), row(6, moved=2)
    before = engine().run(problem)
    for k in range(5):
        own.run(FitProblem((body("a", tube(4.0, 1.65, 10 + k)), body("b", tube(4.0, 1.65, 11.5 + k), (1.0, 0, 0)))))
    after = own.run(problem)
    assert told(after) == told(before)
    assert own.store._made_bytes <= 1_500_000
