"""Gaps with closed forms."""

from __future__ import annotations

import math

import cadquery as cq
import pytest

from deskmodel.errors import InputFault
from deskmodel.fit import FitEngine, FitProblem, GapFault, RequiredGap
from deskmodel.frames import Pose, axis_angle
from tests.fit.shapes import Made, body, bored, box, cylinder, plate


def gaps(engine: FitEngine, a: Made, b: Made, pose: Pose, minimum: float) -> tuple[GapFault, ...]:
    report = engine.run(FitProblem((body("a", a), body("b", b, pose.origin, pose)),
                                   (RequiredGap("a", "b", minimum, "air"),)))
    assert not report.not_measured
    return report.gap_faults


@pytest.mark.parametrize(("gap", "minimum", "fault"), [
    (5.0, 5.0, False), (4.99, 5.0, True), (5.01, 5.0, False), (1e-6, 0.5, True), (0.0, 0.5, True), (0.0, 0.0, False),
    (0.3, 0.0, False), (100.0, 5.0, False)])
def test_boxes(engine: FitEngine, gap: float, minimum: float, fault: bool) -> None:
    found = gaps(engine, box(20, 20, 20), box(10, 10, 10), Pose(origin=(20.0 + gap, 3.0, 4.0)), minimum)
    assert bool(found) == fault
    if fault:
        f = found[0]
        assert f.gap == pytest.approx(gap, abs=1e-6)
        assert f.direction == pytest.approx((1, 0, 0))
        assert f.point_a[0] == pytest.approx(20.0)
        assert f.point_b[0] == pytest.approx(20.0 + gap)


def test_round_things(engine: FitEngine) -> None:
    # a pin of 4 in a bore of 6: 2 all round; 1.5 where it stands 0.5 aside
    assert gaps(engine, bored(40, 6, 30), cylinder(4, 30), Pose(), 2.0) == ()
    found = gaps(engine, bored(40, 6, 30), cylinder(4, 30), Pose(origin=(0.5, 0, 0)), 2.0)
    assert found[0].gap == pytest.approx(1.5, abs=1e-6)
    assert found[0].direction == pytest.approx((-1, 0, 0), abs=1e-6) or found[0].point_a[0] > 0
    # crossed cylinders: distance of the axes less both radii
    crossed = Pose(axis_angle((0, 1, 0), 90).rotation, (-20.0, 20.0, 15.0))
    assert gaps(engine, cylinder(4, 30), cylinder(2, 40), crossed, 14.1)[0].gap == pytest.approx(14.0, abs=1e-6)


def test_an_overlap_has_no_gap(engine: FitEngine) -> None:
    for at in ((19.0, 3.0, 3.0), (5.0, 5.0, 5.0)):
        found = gaps(engine, box(20, 20, 20), box(10, 10, 10), Pose(origin=at), 1.0)
        assert found[0].gap == 0.0
        assert math.isclose(math.hypot(*found[0].direction), 1.0)


def test_the_nearest_triangles_are_not_the_nearest_faces(engine: FitEngine) -> None:
    # A boss of radius 3 stands 1.000 over the floor across its end's rim... its lands 1.009: told apart only exactly.
    # Bosses lie across (their round side is nearest), lands are flat; chords of a boss hide up to 0.003.
    def bossed() -> cq.Shape:
        land = cq.Solid.makeBox(40, 20, 10)
        boss = cq.Solid.makeCylinder(3, 20, cq.Vector(10, 0, 3 - 0.009), cq.Vector(0, 1, 0))
        return land.fuse(boss)
    for land_gap, minimum in ((1.009, 1.005), (1.009, 1.0001), (1.0089, 1.0)):
        shape = Made("bossed", bossed)
        found = gaps(engine, box(60, 40, 5), shape, Pose(origin=(5.0, 5.0, 5.0 + land_gap)), minimum)
        assert found, minimum
        assert found[0].gap == pytest.approx(land_gap - 0.009, abs=1e-6)
    assert gaps(engine, box(60, 40, 5), Made("bossed", bossed), Pose(origin=(5.0, 5.0, 6.0091)), 1.0) == ()


def test_over_a_field_of_holes(engine: FitEngine) -> None:
    # a pin of 2 that stands over the middle of a hole of 2.5: nearest is the hole's rim, not the plate's face below it
    found = gaps(engine, plate(24, 20, 2.5), cylinder(2.0, 10), Pose(origin=(80.0, 80.0, 1.5 + 1.0)), 3.0)
    assert found[0].gap == pytest.approx(math.hypot(0.5, 1.0), abs=1e-6)


def test_both_ways_round_and_reasons(engine: FitEngine) -> None:
    bodies = (body("a", box(20, 20, 20)), body("b", box(10, 10, 10), (23.0, 5.0, 5.0)))
    report = engine.run(FitProblem(bodies, (RequiredGap("b", "a", 5.0, "plug"), RequiredGap("a", "b", 3.5, "air"),
                                            RequiredGap("a", "b", 2.0, "paint"))))
    assert [(f.a, f.minimum, f.reason, f.direction[0]) for f in report.gap_faults] == [
        ("b", 5.0, "plug", -1.0), ("a", 3.5, "air", 1.0)]
    assert {f.gap for f in report.gap_faults} == {3.0}


def test_what_cannot_be_asked(engine: FitEngine) -> None:
    bodies = (body("a", box(20, 20, 20)), body("b", box(10, 10, 10), (23.0, 5.0, 5.0)))
    for gap in (RequiredGap("a", "c", 5.0, ""), RequiredGap("a", "a", 5.0, ""), RequiredGap("a", "b", -1.0, ""),
                RequiredGap("a", "b", math.nan, "")):
        with pytest.raises(InputFault):
            engine.run(FitProblem(bodies, (gap,)))
    with pytest.raises(InputFault, match="two bodies"):
        engine.run(FitProblem((bodies[0], bodies[0])))
    for rotation in (((1.0, 0, 0), (0, 1.0, 0), (0, 0, -1.0)), ((2.0, 0, 0), (0, 2.0, 0), (0, 0, 2.0))):
        with pytest.raises(InputFault, match="not rigid"):
            engine.run(FitProblem((bodies[0], body("m", box(1, 1, 1), (0.0, 0.0, 0.0), Pose(rotation)))))
    with pytest.raises(InputFault, match="not rigid"):
        engine.run(FitProblem((bodies[0], body("m", box(1, 1, 1), (math.nan, 0.0, 0.0)))))
