"""Overlaps with closed forms: touching is none, 0.01 mm always is one, depth and volume as planted."""

from __future__ import annotations

import math

import pytest

from deskmodel.fit import FitEngine, FitProblem, Overlap
from deskmodel.frames import IDENTITY, Pose, axis_angle
from tests.fit.shapes import Made, body, bored, box, compound, cylinder, hollow, plate, screw, tube

TURNS = [IDENTITY, axis_angle((0, 0, 1), 90), axis_angle((1, 2, 3), 37), axis_angle((-1, 0.2, 0.4), 211)]


def overlaps(engine: FitEngine, a: Made, b: Made, pose: Pose = IDENTITY, turn: Pose = IDENTITY) -> tuple[Overlap, ...]:
    """Of ``b`` at ``pose`` in the frame of ``a``, the whole turned by ``turn`` and moved."""
    whole = Pose(turn.rotation, (3.0, -11.0, 700.0)) if turn is not IDENTITY else IDENTITY
    there = whole @ pose
    report = engine.run(FitProblem((body("a", a, whole.origin, whole), body("b", b, there.origin, there))))
    assert not report.not_measured
    return report.overlaps


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("depth", [-1.0, -1e-6, 0.0, 0.01, 0.011, 0.05, 3.0])
def test_boxes_side_by_side(engine: FitEngine, turn: Pose, depth: float) -> None:
    found = overlaps(engine, box(20, 20, 20), box(20, 20, 20), Pose(origin=(20.0 - depth, 3.0, 2.0)), turn)
    if depth <= 0.0:
        assert found == ()
        return
    assert len(found) == 1
    o = found[0]
    assert o.kind == "overlap"
    assert o.penetration == pytest.approx(depth, abs=1e-4)
    assert o.volume == pytest.approx(depth * 17 * 18, rel=1e-3)  # 20 less the shifts of 3 and 2


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("press", [0.0, 0.01, 0.02, 0.05, 0.2])
def test_a_pin_in_its_bore(engine: FitEngine, turn: Pose, press: float) -> None:
    # from z = -1 to 29 in a block of 30: 29 mm of engagement
    spin = axis_angle((0, 0, 1), 1.234)
    found = overlaps(engine, bored(40, 4.0, 30), cylinder(4.0 + press, 30), Pose(spin.rotation, (0.0, 0.0, -1.0)), turn)
    if press == 0.0:
        assert found == ()
        return
    assert len(found) == 1
    assert found[0].penetration == pytest.approx(press, abs=0.005)
    exact = math.pi * ((4.0 + press) ** 2 - 16.0) * 29
    assert found[0].volume == pytest.approx(exact, rel=0.02, abs=2 * math.pi * 4 * 29 * 0.003)


def test_a_pin_aside_in_its_bore_is_a_crescent(engine: FitEngine) -> None:
    for aside in (0.01, 0.05, 0.3):
        found = overlaps(engine, bored(40, 4.0, 30), cylinder(4.0, 30), Pose(origin=(aside, 0.0, 0.0)))
        assert len(found) == 1
        assert found[0].penetration == pytest.approx(aside, abs=0.005)  # a crescent is as thick as the shift
    assert overlaps(engine, bored(40, 4.1, 30), cylinder(4.0, 30), Pose(origin=(0.1, 0.0, 0.0))) == ()  # it just touches


def test_a_loose_pin_is_no_overlap(engine: FitEngine) -> None:
    assert overlaps(engine, bored(40, 4.0, 30), cylinder(3.9, 30)) == ()


def test_swallowed(engine: FitEngine) -> None:
    for a, b, at in ((box(20, 20, 20), box(5, 6, 7), (5.0, 6.0, 7.0)), (box(5, 6, 7), box(20, 20, 20), (-5.0, -6.0, -7.0))):
        found = overlaps(engine, a, b, Pose(origin=at), TURNS[2])
        assert len(found) == 1
        assert found[0].kind == "swallowed"
        assert found[0].a == ("a" if a.key == "box 20 20 20" else "b")  # the one that swallows
        assert found[0].volume == pytest.approx(5 * 6 * 7)
        assert found[0].penetration == pytest.approx(5.0)


def test_inside_and_flush_with_a_face_is_an_overlap(engine: FitEngine) -> None:
    found = overlaps(engine, box(20, 20, 20), box(5, 6, 7), Pose(origin=(0.0, 6.0, 7.0)))
    assert [o.kind for o in found] == ["overlap"]
    assert found[0].volume == pytest.approx(210)


def test_in_a_hollow_is_no_overlap(engine: FitEngine) -> None:
    assert overlaps(engine, hollow(40, 5), box(5, 6, 7), Pose(origin=(10.0, 10.0, 10.0))) == ()
    assert overlaps(engine, hollow(40, 5), box(30, 30, 30), Pose(origin=(5.0, 5.0, 5.0))) == ()  # fits exactly
    found = overlaps(engine, hollow(40, 5), box(30, 30, 30), Pose(origin=(5.02, 5.0, 5.0)))
    assert found[0].penetration == pytest.approx(0.02, abs=1e-3)
    assert overlaps(engine, tube(10, 5, 20), cylinder(5, 20)) == ()


@pytest.mark.parametrize("turn", TURNS)
def test_duplicates(engine: FitEngine, turn: Pose) -> None:
    found = overlaps(engine, box(20, 21, 22), box(20, 21, 22), IDENTITY, turn)
    assert [o.kind for o in found] == ["duplicate"]
    assert found[0].volume == pytest.approx(20 * 21 * 22)
    spun = overlaps(engine, cylinder(4, 40), cylinder(4, 40), axis_angle((0, 0, 1), 33), turn)
    assert [o.kind for o in spun] == ["duplicate"]  # a body of revolution: its spin means nothing
    aside = overlaps(engine, box(20, 21, 22), box(20, 21, 22), Pose(origin=(0.1, 0, 0)), turn)
    assert [o.kind for o in aside] == ["overlap"]


def test_the_same_section_shifted_along(engine: FitEngine) -> None:
    # all four sides in common planes: no face crosses another, no round fraction helps
    for shift in (5.0, 6.0, 10 / 3, 0.01):
        found = overlaps(engine, box(10, 22, 60), box(10, 22, 60), Pose(origin=(10.0 - shift, 0.0, 0.0)), TURNS[2])
        assert [o.kind for o in found] == ["overlap"], shift
        assert found[0].penetration == pytest.approx(shift, abs=1e-4)


def test_a_screw_in_a_plate_of_many_holes(engine: FitEngine) -> None:
    # hole 2.25 round the shank of 2: 0.25 of play; the head's cone meets the hole's edge at z = 4 - 2.25
    sunk = Pose(origin=(80.0, 48.0, -1.75))
    assert overlaps(engine, plate(24, 20, 2.25), screw(), sunk) == ()
    deeper = Pose(origin=(80.0, 48.0, -1.70))
    found = overlaps(engine, plate(24, 20, 2.25), screw(), deeper)
    assert len(found) == 1
    # a triangle of revolution with legs of 0.05: as thick as its largest circle, 0.05 (2 - sqrt 2)
    assert found[0].penetration == pytest.approx(0.05 * (2 - math.sqrt(2)), abs=0.006)
    assert found[0].volume == pytest.approx(2 * math.pi * 2.26 * 0.05**2 / 2, rel=0.15)
    point = found[0].point
    assert math.hypot(point[0] - 80.0, point[1] - 48.0) == pytest.approx(2.26, abs=0.03)


def test_a_compound_of_solids_is_judged_solid_by_solid(engine: FitEngine) -> None:
    leg = box(10, 10, 50)
    legs = compound((leg, (0.0, 0.0, 0.0)), (leg, (10.0, 0.0, 0.0)), (box(5, 5, 5), (50.0, 0.0, 0.0)))
    assert overlaps(engine, legs, box(5, 5, 5), Pose(origin=(30.0, 0.0, 0.0))) == ()
    two = overlaps(engine, legs, box(10, 4, 4), Pose(origin=(5.0, 3.0, 3.0)))
    assert len(two) == 1
    assert two[0].volume == pytest.approx(160)
    assert two[0].pieces == 2
    inside = overlaps(engine, legs, box(2, 2, 2), Pose(origin=(51.0, 1.0, 1.0)))
    assert [o.kind for o in inside] == ["swallowed"]


def test_two_places_of_one_pair(engine: FitEngine) -> None:
    # a fork over a bar that is 0.1 too thick on both sides
    fork = Made("fork", lambda: box(30, 30, 30).make().cut(cq_box(10, 40, 20, 10, -5, 10)))
    found = overlaps(engine, fork, box(10.2, 30, 15), Pose(origin=(9.9, 0.0, 12.0)))
    assert found[0].pieces == 2
    assert found[0].penetration == pytest.approx(0.1, abs=1e-3)
    assert found[0].volume == pytest.approx(2 * 0.1 * 30 * 15, rel=1e-3)
    low, high = found[0].box
    assert low[0] == pytest.approx(9.9)
    assert high[0] == pytest.approx(20.1)


def cq_box(x: float, y: float, z: float, *at: float) -> object:
    import cadquery as cq

    return cq.Solid.makeBox(x, y, z, cq.Vector(*at))
