"""Insert fixings by the trade's rules.

Common practice: the wood under a countersunk M4 in a 1.5 plate is recessed 8.5 wide and 1.2 deep and the insert sits below
that; inserts stand 20 or more from glue lines, 40 or more from dowelled ends. ISO 273: 4.5 hole. ISO 10642: 5.96 edge hole.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from deskmodel import Bond, CutOut, Desk, DowelJoint, Hole, InputFault, InsertFixing, rectangle
from deskmodel.desk import Placed
from deskmodel.model import DeskModel
from tests.desks.build import bores, frozen, plate, rail


def one(thickness: float = 1.5, above: bool = False, length: float = 400, along: str = "x", **joint: object) -> DeskModel:
    """A rail with a plate under it (or on it), which begins 1 mm inside the rail's ends."""
    d = Desk("one")
    r = rail(d, "rail", length, (0, 0, 10), along)
    at = (1, 1, 70 if above else 10 - thickness)
    size = (length - 2, 20) if along[-1] == "x" else (20, length - 2)
    p = plate(d, "plate", *size, at, thickness)
    d.join(InsertFixing(p, r, **joint))
    return frozen(d)


@pytest.mark.parametrize("above", [False, True])
@pytest.mark.parametrize("along", ["x", "-x", "y", "-y"])
def test_the_numbers_of_the_trade(above: bool, along: str) -> None:
    model = one(above=above, along=along)
    pilots, holes = bores(model, "rail", "insert"), bores(model, "plate", "screw")
    assert len(pilots) == len(holes) >= 2
    for pilot in pilots:
        assert pilot.hole.counterbore == (8.5, 1.2)
        assert pilot.hole.diameter == 6.3
        assert pilot.hole.stage == "spot inserts"
        assert pilot.depth == pytest.approx(1.2 + 10 + 1)  # recess, insert, 1 below
        hole = min(holes, key=pilot.off_axis)
        assert pilot.off_axis(hole) < 1e-9
        assert (hole.hole.diameter, hole.hole.countersink) == (4.5, (8.96, 90))
        assert hole.hole.face == ("top" if above else "bottom")  # countersunk from outside
        assert pytest.approx(5.96) == 8.96 - 2 * 1.5
    z = 70.0 if above else 10.0
    inwards = -1 if above else 1
    for p in model.parts:
        kind = getattr(p.part, "kind", None)
        if kind == "insert":  # its mouth at the bottom of the recess
            assert p.pose.origin[2] == pytest.approx(z + inwards * 1.2)
            assert p.pose.axis(2)[2] == inwards
        if kind == "screw":  # its head flush with the outside of the plate
            assert p.pose.origin[2] == pytest.approx(z - inwards * 1.5)
            assert p.pose.axis(2)[2] == inwards
    for contact in model.contacts:
        assert contact.outer > contact.inner > 0
        assert contact.end > contact.start >= 0
        if "thread of the screw" in contact.reason:  # M4: major 4, core 3.242 (ISO 724); engaged from 1.2 to 10.5
            assert (contact.inner, contact.outer) == pytest.approx((1.621, 2.0))
            assert (contact.start, contact.end) == pytest.approx((2.7, 12.0))
        else:
            assert (contact.inner, contact.outer, contact.start, contact.end) == pytest.approx((3.15, 4.0, 0.0, 10.0))
    assert len(model.contacts) == 2 * len(pilots)


@pytest.mark.parametrize(("screw", "thickness", "recess"), [
    ("ISO 10642 M4x12", 1.0, 1.7), ("ISO 10642 M4x12", 2.0, 0.7), ("ISO 10642 M4x12", 2.4, 0.3), ("ISO 10642 M4x12", 2.5, 0),
    ("ISO 10642 M4x12", 3.0, 0), ("ISO 10642 M5x16", 1.5, 1.8), ("ISO 7380 M4x10", 1.5, 0), ("ISO 7380 M5x16", 1.5, 0)])
def test_recess_and_heads(screw: str, thickness: float, recess: float) -> None:
    # cone below the plate: k - t, and 0.2 of air, on the next tenth: 2.48 - 1 = 1.48 -> 1.7, ... 3.10 - 1.5 = 1.6 -> 1.8
    model = one(thickness, screw=screw)
    for pilot in bores(model, "rail", "insert"):
        assert (pilot.hole.counterbore[1] if pilot.hole.counterbore else 0) == pytest.approx(recess)
    for hole in bores(model, "plate", "screw"):
        assert (hole.hole.countersink is None) == screw.startswith("ISO 7380")
        assert hole.hole.diameter == (4.5 if "M4" in screw else 5.5)  # ISO 273 medium


def frame(**joint: object) -> tuple[DeskModel, dict[str, Placed]]:
    """Four rails dowelled to a rectangle with a cross in the middle, and a plate under it all."""
    d = Desk("frame")
    r = {"front": rail(d, "front", 600, (0, 0, 1.5)), "back": rail(d, "back", 600, (0, 378, 1.5)),
         "left": rail(d, "left", 356, (0, 22, 1.5), "y"), "cross": rail(d, "cross", 356, (300, 22, 1.5), "y"),
         "right": rail(d, "right", 356, (578, 22, 1.5), "y")}
    for name in ("left", "cross", "right"):
        d.join(DowelJoint(r[name], r["front"]), DowelJoint(r[name], r["back"]))
    d.bore(r["cross"], "x", (300, 200, 10), 12)  # low: in the way of a pilot hole
    p = plate(d, "under", 598, 398, (1, 1, 0), features=(CutOut(rectangle(60, 30, (150, 0))),))
    d.join(InsertFixing(p, list(r.values()), **joint))
    return frozen(d), r


def along(model: DeskModel, name: str) -> list[float]:
    """mm from the member's datum end to each insert."""
    origin, x = np.array(model.part(name).pose.origin), np.array(model.part(name).pose.axis(0))
    return sorted(float((pilot.mouth - origin) @ x) for pilot in bores(model, name, "insert"))


def test_rows_stay_clear_of_glue_lines_dowelled_ends_and_cuts() -> None:
    model, _ = frame()
    for name in ("left", "cross", "right"):  # dowelled at both ends
        places = along(model, name)
        assert places[0] >= 40
        assert places[-1] <= 356 - 40
    for name in ("front", "back"):  # ends meet them from 0 to 22, 300 to 322 and 578 to 600
        for place in along(model, name):
            assert all(place <= low - 20 or place >= high + 20 for low, high in ((0, 22), (300, 322), (578, 600)))
            assert 20 <= place <= 580
    for place in along(model, "front"):  # the opening over it from 151 to 211
        assert not 151 - 4.48 - 3 < place < 211 + 4.48 + 3
    for place in along(model, "cross"):  # the bore at 178, 12 wide
        assert abs(place - 178) >= 6 + 3 + 4.48 - 1e-9
    assert all(b - a >= 2 * 8.96 for name in ("front", "back", "left") for a, b in pairwise(along(model, name)))


@pytest.mark.parametrize("pitch", [20, 50, 120, 400])
def test_pitch_is_kept_where_nothing_is_in_the_way(pitch: float) -> None:
    places = along(one(length=600, pitch=pitch), "rail")
    steps = [b - a for a, b in pairwise(places)]
    assert places[0] == pytest.approx(21)  # 20 from where the plate begins
    assert max(steps) <= pitch + 1e-9
    assert max(steps) - min(steps) < 1e-9
    assert len(places) == math.ceil((598 - 40) / pitch - 1e-9) + 1  # no more than are needed


def test_screws_that_step_aside_leave_no_long_stretch() -> None:
    for pitch in (60, 90, 120, 150):
        model, _ = frame(pitch=pitch)
        for name in ("front", "back", "left", "cross", "right"):
            # past a joint: 22 and 20 to each side of it
            assert max(b - a for a, b in pairwise(along(model, name))) <= 1.5 * pitch + 62


def test_one_screw_where_there_is_room_for_one() -> None:
    assert along(one(length=42), "rail") == pytest.approx([21])
    with pytest.raises(InputFault, match="no place for a screw"):
        one(length=41.9)


@pytest.mark.parametrize(("direction", "expected"), [("x", [30, 200]), ("-x", [370, 200]), ("y", [30, 200]),
                                                     ("-y", [370, 200])])
def test_own_places_count_from_the_datum_end(direction: str, expected: list[float]) -> None:
    model = one(along=direction, at=(30, 200))
    axis = "xy".index(direction[-1])
    assert sorted(float(p.mouth[axis]) for p in bores(model, "rail", "insert")) == pytest.approx(sorted(expected))
    assert along(model, "rail") == pytest.approx([30, 200])


@pytest.mark.parametrize("joint", [
    {"at": ()}, {"at": (30, 30)}, {"at": (30, 35)}, {"at": (0.5,)}, {"at": (399.5,)}, {"at": (math.nan,)}, {"at": "30"},
    {"at": 30}, {"pitch": 19}, {"pitch": math.nan}, {"pitch": True}, {"screw": "ISO 10642 M4x13"}, {"screw": None},
    {"screw": "DIN 7991 M4x12"}, {"insert": "M5x10"}, {"insert": "M4x9"}, {"insert": ""},
    {"at": (4,)},  # the insert would break out of the rail's end
])
def test_refused(joint: dict[str, object]) -> None:
    with pytest.raises(InputFault) as caught:
        one(**joint)
    assert caught.value.allowed


def test_a_screw_too_short_for_its_insert() -> None:
    # M4 x 8 through 3 mm: 5 below the plate, no recess, 5 engaged: enough; through 5 mm 3 are left: less than one diameter
    one(3.0, screw="ISO 10642 M4x8")
    with pytest.raises(InputFault, match=r"engages 3\.0 mm"):
        one(5.0, screw="ISO 10642 M4x8")


def test_an_insert_too_wide_or_too_deep_for_the_member() -> None:
    for section, problem in (((15, 60), "insert Ø 8 in a face 15"), ((22, 14), "break through")):
        d = Desk("thin")
        r = rail(d, "rail", 400, (0, 0, 10), section=section)
        p = plate(d, "plate", 400, section[0], (0, 0, 8.5))
        d.join(InsertFixing(p, r))
        with pytest.raises(InputFault, match=problem):
            frozen(d)


def test_only_plates_on_timber() -> None:
    d = Desk("wrong")
    a, b = rail(d, "a", 400, (0, 0, 0)), rail(d, "b", 400, (0, 0, 60))
    d.join(InsertFixing(a, b))
    with pytest.raises(InputFault, match="'a' as the plate"):
        frozen(d)
    d = Desk("wrong")
    p, q = plate(d, "p", 400, 100, (0, 0, 0)), plate(d, "q", 400, 100, (0, 0, 1.5))
    d.join(InsertFixing(p, q))
    with pytest.raises(InputFault, match="an insert in 'q'"):
        frozen(d)


def test_two_fixings_of_one_member_keep_out_of_each_other() -> None:
    d = Desk("both")
    r = rail(d, "rail", 400, (0, 0, 10), section=(22, 20))  # pilots of 12.2 + 1.8 from both sides meet in 20
    below, above = plate(d, "below", 400, 22, (0, 0, 8.5)), plate(d, "above", 400, 22, (0, 0, 30))
    d.join(InsertFixing(below, r), InsertFixing(above, r))
    model = frozen(d)
    up, down = ([p for p in bores(model, "rail", "insert") if p.hole.face == face] for face in ("under edge", "face edge"))
    assert up
    assert down
    assert all(a.off_axis(b) >= 8.5 for a in up for b in down)


def test_hardware_stands_on_the_plate_where_the_faces_are_apart() -> None:
    d = Desk("apart")
    r = rail(d, "rail", 400, (0, 0, 10.3))
    p = plate(d, "plate", 400, 22, (0, 0, 8.5))
    d.join(InsertFixing(p, r))
    model = frozen(d)
    (record,) = model.joints
    assert record.apart == pytest.approx(0.3)
    screws = [q for q in model.parts if getattr(q.part, "kind", "") == "screw"]
    assert {round(q.pose.origin[2], 9) for q in screws} == {8.5}


def test_a_hole_that_is_there_already_and_a_bond_beside() -> None:
    d = Desk("holes")
    r = rail(d, "rail", 400, (0, 0, 10))
    p = plate(d, "plate", 400, 22, (0, 0, 8.5), features=(Hole("top", (20, 11), 6),))
    d.join(InsertFixing(p, r), Bond(p, r, thickness=0.5))
    places = along(frozen(d), "rail")
    assert min(abs(place - 20) for place in places) >= 3 + 3 + 4.48 - 1e-9
