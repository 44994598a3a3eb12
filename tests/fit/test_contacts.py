"""Designed contacts: the meant overlap is not told, everything else is, and a contact that is not there is missed."""

from __future__ import annotations

import math

import pytest

from deskmodel.errors import InputFault
from deskmodel.fit import DesignedContact, FitEngine, FitProblem, FitReport
from deskmodel.frames import IDENTITY, Pose, Vec, axis_angle
from tests.fit.shapes import body, bored, box, cylinder, screw, tube

THREAD = (1.65, 2.0)  # an M4 screw in its insert: bore 3.3 (common practice), outer diameter 4


def thread(end: float = 10.0, start: float = 0.0) -> DesignedContact:
    return DesignedContact("screw", "insert", IDENTITY, *THREAD, start, end, "thread")


def screwed(engine: FitEngine, at: Vec = (0.0, 0.0, 0.0), contacts: tuple[DesignedContact, ...] = (thread(),),
            turn: Pose = IDENTITY) -> FitReport:
    """A rod of 4 in a tube of 8 bored 3.3 and 10 long, the rod at ``at``, all turned."""
    there = turn @ Pose(origin=at)
    return engine.run(FitProblem((body("insert", tube(4.0, 1.65, 10), (0, 0, 0), turn),
                                  body("screw", cylinder(2.0, 12), there.origin, there)), contacts=contacts))


@pytest.mark.parametrize("turn", [IDENTITY, axis_angle((1, 2, 3), 50)])
def test_as_designed(engine: FitEngine, turn: Pose) -> None:
    report = screwed(engine, turn=turn)
    assert report.overlaps == report.contact_faults == report.not_measured == ()


@pytest.mark.parametrize("shift", [0.02, 0.1, 0.3])
def test_a_screw_set_aside_is_found(engine: FitEngine, shift: float) -> None:
    report = screwed(engine, (shift, 0.0, 0.0))
    assert len(report.overlaps) == 1
    # the relieved rod of 1.65 in the bore of 1.65: a crescent as thick as the shift
    assert report.overlaps[0].penetration == pytest.approx(shift, abs=0.01)
    assert report.contact_faults == ()  # more than half of the ring is still in the insert


def test_without_the_contact_the_thread_itself_is_an_overlap(engine: FitEngine) -> None:
    report = screwed(engine, contacts=())
    assert report.overlaps[0].penetration == pytest.approx(2.0 - 1.65, abs=0.01)
    assert report.overlaps[0].volume == pytest.approx(math.pi * (4.0 - 1.65**2) * 10, rel=0.01)


def test_outside_the_ring_nothing_is_forgiven(engine: FitEngine) -> None:
    report = screwed(engine, contacts=(thread(end=6.0),))  # the thread is declared over 6 of 10
    assert report.overlaps[0].volume == pytest.approx(math.pi * (4.0 - 1.65**2) * 4, rel=0.02)
    assert report.overlaps[0].penetration == pytest.approx(0.35, abs=0.01)


def test_two_rings_of_one_pair(engine: FitEngine) -> None:
    report = screwed(engine, contacts=(thread(end=6.0), thread(start=6.0)))
    assert report.overlaps == report.contact_faults == report.not_measured == ()


def test_contacts_that_are_not_there(engine: FitEngine) -> None:
    for at in ((30.0, 0.0, 0.0), (0.0, 0.0, 9.0)):  # beside it; only 1 of 10 engaged
        report = screwed(engine, at)
        assert [f.male for f in report.contact_faults] == ["screw"]
        assert report.contact_faults[0].share <= 0.2
        assert report.contact_faults[0].reason == "thread"
    gone = screwed(engine, (500.0, 0.0, 0.0)).contact_faults[0]
    # in the middle of the ring, wherever the screw went
    assert gone.point == pytest.approx((500.0, 0.0, 5.0), abs=1e-6)


def test_a_thin_press_fit(engine: FitEngine) -> None:
    # a pin of 4.02 pressed into a bore of 4.00 (radii): the ring is 0.02 deep
    for inner, overlap in ((4.0, False), (4.01, True)):
        contact = DesignedContact("pin", "block", IDENTITY, inner, 4.02, 0.0, 30.0, "press fit")
        report = engine.run(FitProblem((body("block", bored(40, 4.0, 30)), body("pin", cylinder(4.02, 30))),
                                       contacts=(contact,)))
        assert report.contact_faults == report.not_measured == ()
        # the ring reaches only to 4.01: what lies between 4.00 and 4.01 was not meant
        assert bool(report.overlaps) == overlap
        if overlap:
            assert report.overlaps[0].penetration == pytest.approx(0.01, abs=0.006)
    loose = DesignedContact("pin", "block", IDENTITY, 4.0, 4.02, 0.0, 30.0, "press fit")
    report = engine.run(FitProblem((body("block", bored(40, 4.03, 30)), body("pin", cylinder(4.02, 30))), contacts=(loose,)))
    assert [f.share for f in report.contact_faults] == [0.0]


def test_the_head_of_a_screw_still_counts(engine: FitEngine) -> None:
    # the shank is relieved where the thread is; the head, sunk 1 mm too deep into the insert's end, is not
    contact = DesignedContact("screw", "insert", IDENTITY, *THREAD, 2.0, 12.0, "thread")
    good = engine.run(FitProblem((body("insert", tube(4.0, 1.65, 10), (0.0, 0.0, 2.0)), body("screw", screw())),
                                 contacts=(contact,)))
    assert good.overlaps == good.contact_faults == ()
    deep = engine.run(FitProblem((body("insert", tube(4.0, 1.65, 10), (0.0, 0.0, 1.0)), body("screw", screw())),
                                 contacts=(contact,)))
    assert len(deep.overlaps) == 1
    assert deep.overlaps[0].point[2] < 2.0


def test_rings_and_names_that_make_no_sense(engine: FitEngine) -> None:
    bodies = (body("insert", tube(4.0, 1.65, 10)), body("screw", cylinder(2.0, 12)))
    for contact in (DesignedContact("screw", "nut", IDENTITY, 1.65, 2.0, 0.0, 1.0, ""),
                    DesignedContact("screw", "insert", IDENTITY, 2.0, 1.65, 0.0, 1.0, ""),
                    DesignedContact("screw", "insert", IDENTITY, 1.65, 2.0, 1.0, 0.0, ""),
                    DesignedContact("screw", "screw", IDENTITY, 1.65, 2.0, 0.0, 1.0, "")):
        with pytest.raises(InputFault):
            engine.run(FitProblem(bodies, contacts=(contact,)))


def test_roles_and_owners(engine: FitEngine) -> None:
    def count(first: str, second: str, owner: str | None = None) -> int:
        report = engine.run(FitProblem((body("a", box(20, 20, 20), role=first, owner=owner),
                                        body("b", box(20, 20, 20), (15.0, 1.0, 1.0), role=second, owner=owner))))
        assert report.pairs == len(report.overlaps)
        return len(report.overlaps)
    assert count("part", "part") == 1
    assert count("part", "keep-out") == count("keep-out", "part") == 1
    assert count("part", "plug") == count("plug", "part") == 1
    assert count("plug", "plug") == 1
    assert count("keep-out", "keep-out") == 0
    assert count("keep-out", "plug") == count("plug", "keep-out") == 0
    assert count("part", "keep-out", "radio") == count("part", "part", "radio") == 0


@pytest.mark.parametrize(("wider", "found"), [(0.002, None), (0.006, None), (0.01, True), (0.03, True)])
def test_a_male_wider_than_its_ring(engine: FitEngine, wider: float, found: bool | None) -> None:
    # what stands outside the ring is a skin of that thickness, all of it in the female
    contact = DesignedContact("pin", "block", IDENTITY, 4.0, 4.1, 0.0, 30.0, "press fit")
    report = engine.run(FitProblem((body("block", bored(40, 4.0, 30)), body("pin", cylinder(4.1 + wider, 30))),
                                   contacts=(contact,)))
    assert report.not_measured == report.contact_faults == ()
    if found is not None:  # in between either answer is right
        assert bool(report.overlaps) == found
        assert report.overlaps[0].penetration == pytest.approx(wider, abs=0.004)
