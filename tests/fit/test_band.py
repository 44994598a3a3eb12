"""Where meshes alone cannot tell, the kernel does: faces with errors that add up to a hundredth and more."""

from __future__ import annotations

import cadquery as cq
import pytest

from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault
from deskmodel.fit import FitEngine, FitProblem, narrow
from deskmodel.meshes import ShapeStore, settings
from tests.fit.shapes import Made, body, bored, cylinder


def o_ring(minor: float) -> Made:
    return Made(f"o-ring {minor}", lambda: cq.Solid.makeTorus(10, minor))


def groove(minor: float) -> Made:
    return Made(f"groove {minor}", lambda: cq.Workplane().box(30, 30, 6).cut(cq.Solid.makeTorus(10, minor)).val())


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    calls: list[int] = []
    real = narrow.exact_overlap

    def counted(*args: object) -> object:
        calls.append(1)
        return real(*args)  # type: ignore[arg-type]
    monkeypatch.setattr(narrow, "exact_overlap", counted)
    return calls


def run(a: Made, b: Made) -> tuple[FitEngine, FitProblem]:
    return FitEngine(ShapeStore(DiskCache(None))), FitProblem((body("a", a), body("b", b)))


def test_a_ring_in_its_groove(asked: list[int]) -> None:
    engine, problem = run(groove(2.0), o_ring(2.0))
    depths = [engine.store.prepared(b.shape).max_depth for b in problem.bodies]
    assert sum(depths) > 0.0098  # a doubly curved surface is meshed no better
    report = engine.run(problem)
    assert report.overlaps == report.not_measured == ()
    assert asked
    engine, problem = run(groove(2.0), o_ring(2.012))
    assert [round(o.penetration, 2) for o in engine.run(problem).overlaps] == [0.01]


def test_a_coarse_mesh_still_gives_the_right_answer(monkeypatch: pytest.MonkeyPatch, asked: list[int]) -> None:
    from deskmodel.meshes import prepare

    monkeypatch.setattr(prepare, "DEFLECTION", 0.05)
    for press, found in ((0.0, False), (0.012, True), (0.02, True), (0.1, True)):
        engine, problem = run(bored(40, 4.0, 30), cylinder(4.0 + press, 30))
        report = engine.run(problem)
        assert report.not_measured == ()
        assert bool(report.overlaps) == found, press
        if found:
            assert report.overlaps[0].penetration == pytest.approx(press, abs=0.03)
    assert asked
    assert settings.DEFLECTION < 0.01


def test_a_pair_that_only_the_kernel_could_tell_and_it_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> object:
        raise BuildFault("the kernel failed to intersect two shapes")
    monkeypatch.setattr(narrow, "exact_overlap", fail)
    engine, problem = run(groove(2.0), o_ring(2.0))
    report = engine.run(problem)
    assert [n.why for n in report.not_measured] == ["the kernel failed to intersect two shapes"]


def test_pins_in_bores_ask_no_kernel(asked: list[int]) -> None:
    for press in (0.0, 0.02):
        engine, problem = run(bored(40, 4.0, 30), cylinder(4.0 + press, 30))
        engine.run(problem)
    assert not asked


def test_cores_that_meet_where_the_bodies_only_touch(monkeypatch: pytest.MonkeyPatch, asked: list[int]) -> None:
    """Seen on a plate of 1478 with a vent 24 from a countersink and a hole 800 away: the core's triangle between the three,
    0.01 wide, crossed the rim of the countersink, and its screw was said to overlap by 0.00 mm."""
    monkeypatch.setattr(narrow.Cores, "collide", lambda self: True)
    engine, problem = run(bored(40, 4.0, 30), cylinder(4.0, 30))
    assert engine.run(problem).overlaps == ()
    assert asked
