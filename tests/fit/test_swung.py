"""Turning past things: angles at first contact by trigonometry, nothing stepped over, what slides or touches is free."""

from __future__ import annotations

import math
import random

import pytest

from deskmodel.cache import DiskCache
from deskmodel.errors import InputFault
from deskmodel.fit import Body, FitEngine, FitProblem, SwingHit, swing
from deskmodel.frames import Pose, Vec, axis_angle
from deskmodel.meshes import ShapeStore
from tests.fit.shapes import body, bored, box, cylinder, hollow, tube

AXIS = (0.0, -1.0, 0.0)  # turns +x up to +z
ORIGIN = (0.0, 0.0, 0.0)
WITHIN = 0.1  # degrees


@pytest.fixture(scope="module")
def store() -> ShapeStore:
    return ShapeStore(DiskCache(None))


def strikes(store: ShapeStore, moving: list[Body], others: list[Body], angle: float = 95.0, point: Vec = ORIGIN,
            axis: Vec = AXIS) -> list[SwingHit]:
    report = swing(store, moving, others, point, axis, angle)
    assert report.not_measured == ()
    return list(report.hits)


ARM = body("arm", box(100, 40, 1.5), (0.0, -20.0, 0.0))  # from the axis to x 100, its top at z 1.5


@pytest.mark.parametrize(("near", "far", "high"), [(50, 60, 20), (10, 60, 70), (3, 5, 2.5), (90, 95, 2.5), (0.5, 1, 5)])
def test_its_top_meets_an_edge_over_it(store: ShapeStore, near: float, far: float, high: float) -> None:
    # the plane at 1.5 over the axis meets the farther corner (far, high) where far sin a = high cos a - 1.5
    expected = math.degrees(math.atan2(high, far) - math.asin(1.5 / math.hypot(high, far)))
    (hit,) = strikes(store, [ARM], [body("edge", box(far - near, 40, 30), (near, -20, high))])
    assert hit.angle == pytest.approx(expected, abs=WITHIN)
    assert (hit.point[0], hit.point[2]) == pytest.approx((far, high), abs=0.3)
    if expected > 1:
        assert strikes(store, [ARM], [body("edge", box(far - near, 40, 30), (near, -20, high))], expected - 0.1) == []


@pytest.mark.parametrize("high", [30.0, 80.0, 99.0, 100.0])
def test_its_tip_meets_a_ceiling(store: ShapeStore, high: float) -> None:
    # the upper corner of the tip stands at r sin(a + a0), r = hypot(100, 1.5); the ceiling begins beyond the arm's top
    r, a0 = math.hypot(100, 1.5), math.atan2(1.5, 100)
    expected = math.degrees(math.asin(high / r) - a0)
    x = r * math.cos(math.asin(high / r))
    (hit,) = strikes(store, [ARM], [body("ceiling", box(200, 40, 5), (x - 1, -20, high))])
    assert hit.angle == pytest.approx(expected, abs=WITHIN)


@pytest.mark.parametrize("behind", [0.5, 2.0, 8.0])
def test_leaning_back_on_a_wall(store: ShapeStore, behind: float) -> None:
    # a wall behind the axis, its edges at (-behind, 10) and (-behind, 60): the top, 1.5 ahead, meets one of them first
    expected = min(math.degrees(math.atan2(z, -behind) - math.asin(1.5 / math.hypot(z, behind))) for z in (10, 60))
    (hit,) = strikes(store, [ARM], [body("wall", box(10, 40, 50), (-behind - 10, -20, 10))], 180)
    assert hit.angle == pytest.approx(expected, abs=WITHIN)
    assert strikes(store, [ARM], [body("wall", box(10, 40, 50), (-behind - 10, -20, 10))], expected - 0.1) == []


def test_the_corner_of_a_lid_and_its_reveal(store: ShapeStore) -> None:
    """A lid 1.5 thick whose rear edge stands over the axis, the axis ``deep`` under its top, 2 mm from the plate behind. Its
    corner comes ``deep`` behind the axis: over 2 it strikes where deep sin a = 2. Later its top leans on the edge of the
    plate, (-2, deep), where deep cos a + 2 sin a = deep, which is tan(a / 2) = 2 / deep."""
    def lid(deep: float) -> list[SwingHit]:
        return strikes(store, [body("lid", box(100, 40, 1.5), (0, -20, deep - 1.5))],
                       [body("plate", box(50, 40, 1.5), (-52, -20, deep - 1.5))])
    assert lid(1.7) == []  # 99.2°, over 95
    (hit,) = lid(1.9)
    assert hit.angle == pytest.approx(math.degrees(2 * math.atan(2 / 1.9)), abs=WITHIN)
    (hit,) = lid(2.1)
    # so near its end the corner moves back 0.011 mm a degree: the cores, 0.001 deep each, meet where it is 0.002 too far
    assert math.degrees(math.asin(2 / 2.1)) < hit.angle < math.degrees(math.asin(2.003 / 2.1))


@pytest.mark.parametrize("shape", [box(0.05, 40, 0.05), box(0.3, 0.3, 0.3), box(0.04, 40, 30)])
def test_thin_things_are_not_stepped_over(store: ShapeStore, shape: object) -> None:
    for radius in (2.0, 20.0, 70.0, 99.0):
        hits = strikes(store, [ARM], [body("wire", shape, (radius * 0.6, -20, radius * 0.75))])
        assert len(hits) == 1, radius


def test_what_slides_or_touches_is_free(store: ShapeStore) -> None:
    others = [body("seat", box(100, 40, 20), (0, -20, -20)), body("left", box(220, 10, 220), (-110, -30, -110)),
              body("right", box(220, 10, 220), (-110, 20, -110))]
    assert strikes(store, [ARM], others) == []
    # a shaft in its bearing turns for ever
    turn = axis_angle((1, 0, 0), 90)
    shaft = body("shaft", cylinder(4, 60), (0, 30, 0), turn)
    bearing = body("bearing", bored(40, 4.0, 20), (0, 10, 0), turn)
    assert strikes(store, [shaft], [bearing], 360) == []
    assert strikes(store, [body("sleeve", tube(8, 4, 30), (0, 15, 0), turn)], [shaft], 360) == []


def test_a_lip_that_it_lies_under(store: ShapeStore) -> None:
    (hit,) = strikes(store, [ARM], [body("lip", box(2, 40, 5), (99, -20, 1.5))])
    assert hit.angle == pytest.approx(0.0, abs=0.02)


def test_overlapping_at_the_start_is_a_hit_after_nothing(store: ShapeStore) -> None:
    (hit,) = strikes(store, [ARM], [body("in the way", box(10, 10, 10), (50, 0, 1))])
    assert hit.angle == pytest.approx(0.0, abs=1e-6)
    for moving, other in ((box(2, 2, 2), box(30, 30, 30)), (box(30, 30, 30), box(2, 2, 2))):
        at = [(10.0, 10.0, 5.0) if shape.key == "box 2 2 2" else ORIGIN for shape in (moving, other)]
        (hit,) = strikes(store, [body("a", moving, at[0])], [body("b", other, at[1])])
        assert hit.angle == 0.0


def test_within_a_hollow(store: ShapeStore) -> None:
    # a pea at radius 30 in a case whose inner wall lies at x 5: it meets it where its lower corner does
    pea, case = body("pea", box(2, 2, 2), (30, -1, 10)), body("case", hollow(80, 5), (0, -40, 0))
    (hit,) = strikes(store, [pea], [case], 180)
    r, a0 = math.hypot(30, 12), math.atan2(12, 30)  # its corner that comes first to x 5
    assert hit.angle == pytest.approx(math.degrees(math.acos(5 / r) - a0), abs=WITHIN)


@pytest.mark.parametrize("seed", range(3))
def test_wherever_it_stands(store: ShapeStore, seed: int) -> None:
    rng = random.Random(seed)
    turn = axis_angle((rng.gauss(0, 1), rng.gauss(0, 1), rng.gauss(0, 1)), rng.uniform(0, 360))
    there = Pose(turn.rotation, (rng.uniform(-500, 500), 100 / 3, math.pi))
    moved = [Body(b.name, b.shape, there @ b.pose) for b in (ARM, body("edge", box(10, 40, 30), (50, -20, 20)))]
    (hit,) = strikes(store, moved[:1], moved[1:], point=there.origin, axis=turn.turn((0, -3, 0)))
    expected = math.degrees(math.atan2(20, 60) - math.asin(1.5 / math.hypot(20, 60)))
    assert hit.angle == pytest.approx(expected, abs=WITHIN)
    back = there.inverse().apply(hit.point)
    assert (back[0], back[2]) == pytest.approx((60, 20), abs=0.3)


def test_several_movers_the_first_first(store: ShapeStore) -> None:
    backing = body("backing", box(70, 30, 6), (15, -15, -6))
    post = body("post", box(5, 5, 5), (-40, 0, 30))
    hits = strikes(store, [ARM, backing], [post, body("edge", box(10, 40, 30), (50, -20, 20))], 170)
    assert [(h.other, h.moving) for h in hits] == [
        ("edge", "arm"), ("edge", "backing"), ("post", "arm"), ("post", "backing")]
    assert [h.angle for h in hits] == sorted(h.angle for h in hits)


def test_no_way_to_go(store: ShapeStore) -> None:
    for axis, angle in (((0.0, 0.0, 0.0), 10.0), (AXIS, -1.0), (AXIS, 361.0), (AXIS, float("nan"))):
        with pytest.raises(InputFault):
            swing(store, [ARM], [], ORIGIN, axis, angle)
    assert strikes(store, [ARM], [body("on it", box(5, 5, 5), (5, 5, 1.5))], 0.0) == []


def test_as_the_engine_says_at_many_places(store: ShapeStore) -> None:
    """A hit iff the engine finds an overlap somewhere on the way (places 0.5° apart; what is missed between is thinner)."""
    engine, rng = FitEngine(store), random.Random(11)
    shapes = [box(30, 20, 5), cylinder(6, 18), bored(40, 8.0, 10)]
    agreed = 0
    for _ in range(16):
        pose = axis_angle((rng.gauss(0, 1), rng.gauss(0, 1), rng.gauss(0, 1)), rng.uniform(0, 360))
        mover = body("mover", rng.choice(shapes), (rng.uniform(10, 40), 0, 0), pose)
        other = body("other", rng.choice(shapes), (rng.uniform(-20, 40), rng.uniform(-20, 20), rng.uniform(25, 60)),
                     axis_angle((rng.gauss(0, 1), 1, 0), rng.uniform(0, 360)))
        hits = strikes(store, [mover], [other], 120)
        first = next((k / 2 for k in range(241) if engine.run(FitProblem((
            Body("mover", mover.shape, axis_angle(AXIS, k / 2) @ mover.pose), other))).overlaps), None)
        if hits and first is None:
            continue  # a graze between two places
        assert bool(hits) == (first is not None)
        if hits and first is not None:
            assert first - 0.52 <= hits[0].angle <= first + 0.05
            agreed += 1
    assert agreed >= 4


def test_the_turn_itself(store: ShapeStore) -> None:
    """Turned by 360° it is where it was: what is free at the start and at the end is looked at between."""
    flag, pole = body("flag", box(10, 2, 2), (90, -1, 0)), body("pole", box(1, 1, 120), (-90, 0, -60))
    (hit,) = strikes(store, [flag], [pole], 360)
    # its far upper corner (100, 2) is the first to come to x -89 … the pole's side: cos(a + a0) r = -89
    expected = math.degrees(math.acos(-89 / math.hypot(100, 2)) - math.atan2(2, 100))
    assert hit.angle == pytest.approx(expected, abs=WITHIN)
