"""Straight travel: exact, without steps to slip between, and sliding is no striking."""

from __future__ import annotations

import random

import pytest

from deskmodel.cache import DiskCache
from deskmodel.errors import InputFault
from deskmodel.fit import Body, FitEngine, FitProblem, SweepHit, sweep
from deskmodel.frames import IDENTITY, Pose, Vec, axis_angle
from deskmodel.meshes import ShapeStore
from tests.fit.shapes import body, bored, box, cylinder, hollow, screw

UP = (0.0, 0.0, 1.0)


@pytest.fixture(scope="module")
def store() -> ShapeStore:
    return ShapeStore(DiskCache(None))


def strikes(store: ShapeStore, moving: list[Body], others: list[Body], way: Vec = UP,
            travel: float = 100.0) -> list[SweepHit]:
    report = sweep(store, moving, others, way, travel)
    assert report.not_measured == ()
    return list(report.hits)


COVER = body("cover", box(100, 100, 1.5))


def test_lifted_off_its_seat_between_walls(store: ShapeStore) -> None:
    others = [body("seat", box(100, 100, 20), (0, 0, -20)), body("wall", box(10, 100, 80), (100, 0, -10)),
              body("wall 2", box(10, 100, 80), (-10, 0, -10))]
    assert strikes(store, [COVER], others) == []


def test_what_stands_over_it(store: ShapeStore) -> None:
    lamp = body("lamp", box(10, 10, 1), (50, 50, 31.5))
    (hit,) = strikes(store, [COVER], [lamp])
    assert (hit.other, hit.moving) == ("lamp", "cover")
    assert hit.travel == pytest.approx(30.0, abs=0.02)
    assert 50 <= hit.point[0] <= 60
    assert hit.point[2] == pytest.approx(31.5, abs=0.05)
    assert strikes(store, [COVER], [lamp], travel=29.9) == []
    assert strikes(store, [COVER], [lamp], way=(0.0, 0.0, -1.0)) == []
    assert strikes(store, [COVER], [lamp], way=(0.0, 0.0, 0.001))[0].travel == pytest.approx(30.0, abs=0.02)


def test_small_and_thin_things_are_not_stepped_over(store: ShapeStore) -> None:
    for shape in (box(0.5, 0.5, 0.5), box(0.05, 40, 0.05)):  # wholly within the swept room: no face of it crosses the end
        hits = strikes(store, [COVER], [body("wire", shape, (30, 30, 61.5))])
        assert [round(hit.travel, 1) for hit in hits] == [60.0]


def test_a_lip_that_it_lies_under(store: ShapeStore) -> None:
    (hit,) = strikes(store, [COVER], [body("lip", box(2, 100, 5), (-1, 0, 1.5))])  # touches at the start
    assert hit.travel == pytest.approx(0.0, abs=0.02)
    assert strikes(store, [COVER], [body("lip", box(2, 100, 5), (-2, 0, 1.5))]) == []  # beside it, sliding along


def test_overlapping_at_the_start_is_a_hit_after_nothing(store: ShapeStore) -> None:
    (hit,) = strikes(store, [COVER], [body("in the way", box(100, 100, 20), (0, 0, 1))])
    assert hit.travel == 0.0
    (inside,) = strikes(store, [body("pea", box(2, 2, 2), (10, 10, 5))], [body("block", box(30, 30, 30))])
    assert inside.travel == 0.0


@pytest.mark.parametrize("turn", [IDENTITY, axis_angle((1, 2, -1), 64)])
def test_a_pin_through_its_bore(store: ShapeStore, turn: Pose) -> None:
    def way(pin: float) -> list[SweepHit]:
        there = turn @ Pose(origin=(0.0, 0.0, -35.0))
        return strikes(store, [body("pin", cylinder(pin, 30), there.origin, there)],
                       [body("plate", bored(40, 4.0, 10), (0.0, 0.0, 0.0), turn)], turn.turn(UP))
    assert way(4.0) == []
    assert way(3.9) == []
    assert [round(hit.travel, 1) for hit in way(4.05)] == [5.0]


def test_a_screw_leaves_and_a_head_does_not_follow(store: ShapeStore) -> None:
    # head at z 0..2 above... the shank (2) passes the bore of 2.25, the head (4) does not
    plate = body("plate", bored(40, 2.25, 6), (0.0, 0.0, 20.0))
    (hit,) = strikes(store, [body("screw", screw())], [plate])
    # the cone of 4 - z meets the bore's rim of 2.25 at z = 1.75 of the screw
    assert hit.travel == pytest.approx(20.0 - 1.75, abs=0.05)


def test_out_of_a_hollow(store: ShapeStore) -> None:
    (hit,) = strikes(store, [body("pea", box(2, 2, 2), (10, 10, 10))], [body("case", hollow(40, 5))])
    assert hit.travel == pytest.approx(35.0 - 12.0, abs=0.02)


def test_first_things_first_and_several_movers(store: ShapeStore) -> None:
    moving = [COVER, body("backing", box(76, 76, 6), (12, 12, -6))]
    others = [body("high", box(5, 5, 5), (50, 50, 90)), body("low", box(5, 5, 5), (50, 50, 10))]
    assert [(h.other, h.moving, round(h.travel, 1)) for h in strikes(store, moving, others)] == [
        ("low", "cover", 8.5), ("low", "backing", 10.0), ("high", "cover", 88.5), ("high", "backing", 90.0)]


def test_no_way_to_go(store: ShapeStore) -> None:
    for way, travel in (((0.0, 0.0, 0.0), 1.0), (UP, -1.0), (UP, float("nan"))):
        with pytest.raises(InputFault):
            sweep(store, [COVER], [], way, travel)
    assert strikes(store, [COVER], [body("on it", box(5, 5, 5), (5, 5, 1.5))], travel=0.0) == []


def test_as_the_engine_says_at_many_places(store: ShapeStore) -> None:
    """A hit iff the engine finds an overlap somewhere on the way (places 0.25 apart; what is missed between is thinner)."""
    engine, rng = FitEngine(store), random.Random(7)
    shapes = [box(30, 20, 5), cylinder(6, 18), bored(40, 8.0, 10), screw()]
    agreed = 0
    for _ in range(25):
        turn = axis_angle((rng.gauss(0, 1), rng.gauss(0, 1), rng.gauss(0, 1)), rng.uniform(0, 360))
        mover = body("mover", rng.choice(shapes), (0, 0, 0), turn)
        at = (rng.uniform(-25, 25), rng.uniform(-25, 25), rng.uniform(15, 40))
        other = body("other", rng.choice(shapes), at, axis_angle((rng.gauss(0, 1), 1, 0), rng.uniform(0, 360)))
        hits = strikes(store, [mover], [other], travel=30.0)
        first = next((k / 4 for k in range(121) if engine.run(FitProblem((
            Body("mover", mover.shape, mover.pose.moved((0, 0, k / 4))), other))).overlaps), None)
        if hits and first is None:
            continue  # a graze between two places
        assert bool(hits) == (first is not None)
        if hits and first is not None:
            assert first - 0.27 <= hits[0].travel <= first + 0.02
            agreed += 1
    assert agreed >= 5
