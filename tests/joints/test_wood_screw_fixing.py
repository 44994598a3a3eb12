"""Wood-screw fixings. Screws by DIN 7997 and DIN 7996 with threads of DIN 7998, all from memory; pilot holes of 70 to 100 %
of the core, clearance by ISO 273; the rules of rows are those of inserts (common practice)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from deskmodel import (
    CutOut,
    Desk,
    DowelJoint,
    Flange,
    Hole,
    InputFault,
    InsertFixing,
    Member,
    Plate,
    Veneer,
    WoodScrewFixing,
    rectangle,
)
from deskmodel.fit import FitEngine
from deskmodel.model import DeskModel, freeze
from tests.desks.build import bores, frozen, plate, rail
from tests.desks.equipment import box_with_rim, equipment
from tests.planted.harness import check_model


def under(thickness: float = 1.5, above: bool = False, along: str = "x", **joint: object) -> DeskModel:
    """A rail 400 long with a plate under it (or on it)."""
    d = Desk("under")
    r = rail(d, "rail", 400, (0, 0, 10), along)
    size = (400, 22) if along[-1] == "x" else (22, 400)
    p = plate(d, "plate", *size, (0, 0, 70 if above else 10 - thickness), thickness)
    d.join(WoodScrewFixing(p, r, **joint))
    return frozen(d)


def screws(model: DeskModel) -> list:
    return [p for p in model.parts if getattr(p.part, "kind", "") == "wood screw"]


@pytest.mark.parametrize("above", [False, True])
@pytest.mark.parametrize("along", ["x", "-x", "y", "-y"])
def test_a_plate_on_a_rail(above: bool, along: str) -> None:
    model = under(above=above, along=along)
    pilots, holes = bores(model, "rail", "screw"), bores(model, "plate", "screw")
    assert len(pilots) == len(holes) == len(screws(model)) == 4  # (400 - 40) / 120 = 3 stretches
    for pilot in pilots:
        hole = min(holes, key=pilot.off_axis)
        assert pilot.off_axis(hole) < 1e-9
        assert (hole.hole.diameter, hole.hole.countersink, hole.hole.depth) == (4.5, (7.5, 90), None)
        assert hole.hole.face == ("top" if above else "bottom")  # countersunk from outside
        assert (pilot.hole.diameter, pilot.hole.stage) == (2.5, "spot inserts")
        assert pilot.depth == pytest.approx(30 - 1.5)
        assert pilot.hole.point == 118
        # 90° cone of 7.5: at the wood's face, 1.5 below, still 4.5 wide, and 0.4 of air
        assert pilot.hole.countersink == pytest.approx((4.9, 90))
    z, inwards = (71.5, -1) if above else (8.5, 1)
    for p in screws(model):
        assert p.pose.origin[2] == pytest.approx(z)
        assert p.pose.axis(2)[2] == inwards
    for contact in model.contacts:
        assert (contact.inner, contact.outer) == (1.25, 2.0)  # pilot to crest of the thread
        # from where the cone ends (1.75) to where the tip, 4 long, is as thin as the pilot: 30 - 4 × 2.5 / 4
        assert (contact.start, contact.end) == pytest.approx((1.75, 27.5))
        assert contact.female == "rail"
    (record,) = model.joints
    assert (record.kind, len(record.hardware)) == ("wood-screw fixing", 4)


@pytest.mark.parametrize(("screw", "thickness", "sunk"), [
    ("4x30", 1.0, 7.5 - 2 + 0.4), ("4x30", 1.75, None), ("4x30", 6, None), ("5x40", 1.5, 9.2 - 3 + 0.4),
    ("3x20", 1.3, None), ("4x30 pan", 1.5, None)])
def test_the_cone_comes_out_below_a_thin_plate_only(screw: str, thickness: float, sunk: float | None) -> None:
    for pilot in bores(under(thickness, screw=screw), "rail", "screw"):
        assert (pilot.hole.countersink is None) == (sunk is None)
        if sunk:
            assert pilot.hole.countersink == pytest.approx((sunk, 90))


def test_pan_heads_sit_on_the_plate() -> None:
    model = under(screw="4x16 pan")
    assert all(hole.hole.countersink is None for hole in bores(model, "plate", "screw"))
    for p in screws(model):
        low, high = p.part.blank.bounds
        assert (low[2], high[2], high[0]) == (-2.8, 16, 4)  # DIN 96: 0.7 d high, 2 d wide (from memory)
        assert p.pose.origin[2] == 8.5
        assert p.part.designation == "wood screw 4 × 16 pan"


def test_a_cleat_on_a_rail() -> None:
    d = Desk("cleat")
    r = rail(d, "rail", 400, (0, 0, 0))
    c = rail(d, "cleat", 300, (50, 22, 20), section=(20, 20))
    d.join(WoodScrewFixing(c, r, screw="4x35", at=(80, 320)))
    model = frozen(d)
    # from the rail's datum end, not the cleat's
    assert sorted(float(h.mouth[0]) for h in bores(model, "rail", "screw")) == [80, 320]
    assert {h.depth for h in bores(model, "rail", "screw")} == {15}
    assert {(h.hole.face, h.hole.diameter) for h in bores(model, "cleat", "screw")} == {("back side", 4.5)}
    assert {float(h.mouth[2]) for h in bores(model, "cleat", "screw")} == {30}


def test_points_on_a_bracket() -> None:
    d = Desk("bracket")
    a, b = rail(d, "a", 400, (0, 0, 0)), rail(d, "b", 200, (0, 22, 0), "y")
    d.join(DowelJoint(b, a))
    p = plate(d, "bracket", 100, 80, (0, 0, 60), 3)
    d.join(WoodScrewFixing(p, [a, b], screw="4x20", at=((40, 11), (80, 11), (11, 55))))
    model = frozen(d)
    assert sorted(map(tuple, (h.mouth[:2] for h in bores(model, "a", "screw")))) == [(40, 11), (80, 11)]
    assert [tuple(h.mouth[:2]) for h in bores(model, "b", "screw")] == [(11, 55)]
    assert {(r.b, len(r.hardware)) for r in model.joints if r.kind == "wood-screw fixing"} == {("a", 2), ("b", 1)}


@pytest.mark.parametrize(("at", "problem"), [
    (((50, 50), (80, 11), (11, 55)), r"\(50, 50\) of 'bracket', which lies over none"), (((80, 11),), "lies over 'b'"),
    (((80, 11), (11, 99)), "over"), (((80, 2), (11, 55)), "leaves the")])
def test_points_beside_the_members(at: object, problem: str) -> None:
    d = Desk("bracket")
    a, b = rail(d, "a", 400, (0, 0, 0)), rail(d, "b", 200, (0, 22, 0), "y")
    p = plate(d, "bracket", 100, 80, (0, 0, 60), 3)
    d.join(WoodScrewFixing(p, [a, b], screw="4x20", at=at))
    with pytest.raises(InputFault, match=problem):
        frozen(d)


def test_through_the_leg_of_a_bracket() -> None:
    """A plate with a leg bent up against a rail: the screws go through the leg from its other side."""
    d = Desk("angle")
    r = rail(d, "rail", 400, (0, 40, 0))
    p = d.place(Plate("angle", rectangle(100, 40), 2, "steel", flanges=(Flange("back", 40),)), at=(50, 0, 0))
    d.join(WoodScrewFixing(p, r, "4x20 pan", at=((20, 25), (80, 25))))
    model = frozen(d)
    assert sorted(tuple(np.round(h.mouth, 9)) for h in bores(model, "rail", "screw")) == [(70, 40, 25), (130, 40, 25)]
    assert {h.hole.face for h in bores(model, "angle", "screw")} == {"back flange inside"}
    assert [tuple(np.round(q.pose.origin, 9)) for q in screws(model)] == [(70, 38, 25), (130, 38, 25)]


# ---- equipment by its own holes

def boxed(on: tuple[float, float, float] = (0, 0, 0), box: object = None, along: str = "x", **joint: object) -> DeskModel:
    d = Desk("box")
    board = d.place(Member("board", (60, 22), 400, "ash"), at=on)
    c = d.place(box or box_with_rim(), at=(50, 10, 22), along=along)
    d.join(WoodScrewFixing(c, board, **{"screw": "4x16 pan", **joint}))
    return frozen(d)


def test_equipment_by_its_own_holes() -> None:
    model = boxed()
    pilots = bores(model, "board", "screw")
    assert sorted(tuple(map(float, p.mouth)) for p in pilots) == [(55, 18, 22), (55, 42, 22), (145, 18, 22), (145, 42, 22)]
    assert {p.hole.stage for p in pilots} == {"fit out"}
    assert {p.depth for p in pilots} == {13.5}  # the rim is 2.5 thick, the box beside it 30
    assert {round(p.pose.origin[2], 9) for p in screws(model)} == {24.5}
    assert len(model.part("box").part.features) == 4  # nothing is drilled into it
    assert {(round(c.start, 9), c.female) for c in model.contacts} == {(2.5, "board")}


@pytest.mark.parametrize("along", ["x", "-x", "y", "-y"])
@pytest.mark.parametrize("hangs", [False, True])
def test_equipment_turned_every_way(along: str, hangs: bool) -> None:
    """On a board or, upside down, under one: each pilot is coaxial with a mounting hole, each head on the rim."""
    d = Desk("turned")
    board = d.place(Member("board", (200, 22), 400, "ash"), at=(0, 0, 0))
    c = d.place(box_with_rim(), at=(50, 50, -30 if hangs else 22), along=along, turn=180 if hangs else 0)
    d.join(WoodScrewFixing(c, board, "4x16 pan"))
    model = frozen(d)
    placed = model.part("box")
    holes = [placed.pose.apply((x, y, 0)) for x in (5, 95) for y in (8, 32)]
    pilots = bores(model, "board", "screw")
    assert len(pilots) == 4
    for pilot in pilots:
        assert min(math.dist(pilot.mouth[:2], hole[:2]) for hole in holes) < 1e-9
        assert pilot.hole.face == ("under edge" if hangs else "face edge")
    assert {round(p.pose.origin[2], 9) for p in screws(model)} == {-2.5 if hangs else 24.5}


def test_holes_beside_the_member_stay_empty() -> None:
    model = boxed((0, -25, 0))  # the board reaches to y 35: over the holes at y 18
    assert sorted(tuple(map(float, p.mouth[:2])) for p in bores(model, "board", "screw")) == [(55, 18), (145, 18)]


def test_a_rim_above_the_bottom() -> None:
    """The rim begins 5 above the box's bottom: 5 + 2.5 between wood and head."""
    box = equipment("box", (((80, 40, 30), (10, 0, 0)), ((100, 40, 2.5), (0, 0, 5))), ((5, 8), (95, 8)), 4.5)
    d = Desk("box")
    board = d.place(Member("board", (60, 22), 400, "ash"), at=(0, 0, 0))
    d.join(WoodScrewFixing(d.place(box, at=(50, 10, 22)), board, screw="4x20 pan"))
    model = frozen(d)
    assert {p.depth for p in bores(model, "board", "screw")} == {12.5}
    assert {round(p.pose.origin[2], 9) for p in screws(model)} == {29.5}


@pytest.mark.parametrize(("more", "problem"), [
    ({"screw": "4x16"}, "countersunk wood screw 4x16 in the mounting holes"), ({"screw": "5x20 pan"}, "Ø 4.5"),
    ({"box": box_with_rim(diameter=8.5)}, "Ø 8.5"), ({"at": (10, 30)}, "screws at"),
    ({"screw": "4x30 pan"}, "22 mm thick there"),
    ({"box": equipment("bare", (((80, 40, 30), (0, 0, 0)),), (), 4)}, "'bare' has no mounting holes"),
    ({"box": equipment("tall", (((80, 40, 30), (0, 0, 0)),), ((9, 9),), 4.5)}, "reaches 0 mm into"),
    ({"on": (0, -45, 0)}, "no screw of 'box' lies over 'board'")])
def test_refused_equipment(more: dict[str, object], problem: str) -> None:
    with pytest.raises(InputFault, match=problem) as caught:
        boxed(**more)
    assert caught.value.allowed


# ---- rows, lengths, refusals

def test_rows_keep_to_the_rules_of_inserts() -> None:
    d = Desk("row")
    front, end = rail(d, "front", 400, (0, 0, 1.5)), rail(d, "end", 200, (100, 22, 1.5), "y")
    p = plate(d, "under", 400, 222, (0, 0, 0), features=(CutOut(rectangle(30, 10, (200, 6))),))
    d.join(DowelJoint(end, front), WoodScrewFixing(p, [front, end], screw="4x20", pitch=60))
    model = frozen(d)
    for pilot in bores(model, "front", "screw"):
        x = pilot.mouth[0]
        assert not 100 - 20 < x < 122 + 20  # 20 from the glue line
        assert not 200 - 3.75 - 3 < x < 230 + 3.75 + 3  # 3 of material between head and opening
        assert 20 <= x <= 380
    assert all(pilot.mouth[1] >= 22 + 40 - 1e-9 for pilot in bores(model, "end", "screw"))  # 40 from a dowelled end


def test_beside_inserts_in_the_same_member() -> None:
    d = Desk("both")
    r = rail(d, "rail", 400, (0, 0, 10))
    p = plate(d, "plate", 400, 22, (0, 0, 8.5))
    d.join(WoodScrewFixing(p, r, screw="3x20"), InsertFixing(p, r))
    model = frozen(d)
    inserts, pilots = bores(model, "rail", "insert"), bores(model, "rail", "screw")
    assert min(a.off_axis(b) for a in inserts for b in pilots) >= 8.5 / 2 + 3 + 2.8 - 1e-9


def test_own_pilot() -> None:
    model = under(pilot=2.0)
    assert {p.hole.diameter for p in bores(model, "rail", "screw")} == {2.0}
    assert {c.inner for c in model.contacts} == {1.0}
    assert "pilot hole 2" in model.joints[0].text


def test_screws_too_short_and_too_long() -> None:
    # 4 of tip and one diameter must be in the wood: 12 through 4 leaves 8
    under(4, screw="4x12")
    with pytest.raises(InputFault, match=r"4x12 reaches 7\.9 mm into 'rail'"):
        under(4.1, screw="4x12")
    d = Desk("thin")
    r = rail(d, "rail", 400, (0, 0, 10), section=(60, 22))
    p = plate(d, "plate", 400, 60, (0, 0, 8.5))
    d.join(WoodScrewFixing(p, r, screw="4x25"))
    with pytest.raises(InputFault, match=r"reaches 23\.5 mm into 'rail', 22 mm thick there"):
        frozen(d)


@pytest.mark.parametrize("joint", [
    {"screw": "4x31"}, {"screw": "7x30"}, {"screw": "4x30 raised"}, {"screw": None}, {"pitch": 19}, {"pitch": math.nan},
    {"pilot": 4}, {"pilot": 0}, {"pilot": True}, {"at": ()}, {"at": (30, 33)}, {"at": "30"}, {"at": 30}, {"at": (400.5,)},
    {"at": ((30,),)}, {"at": ((30, 11), 40)}, {"at": ((30, 11), (33, 11))}, {"at": ((30, math.inf),)}, {"at": ((399, 11),)},
    {"into": ()}, {"into": ("rail", "rail")}])
def test_refused(joint: dict[str, object]) -> None:
    with pytest.raises(InputFault) as caught:
        one_of(joint)
    assert caught.value.allowed


def one_of(joint: dict[str, object]) -> DeskModel:
    d = Desk("under")
    rail(d, "rail", 400, (0, 0, 10))
    plate(d, "plate", 400, 22, (0, 0, 8.5))
    d.join(WoodScrewFixing(**{"part": "plate", "into": "rail", **joint}))
    return frozen(d)


def test_only_timber_takes_wood_screws_and_veneer_stays_whole() -> None:
    d = Desk("ply")
    p, q = plate(d, "p", 100, 100, (0, 0, 0), 18, "birch ply"), plate(d, "q", 100, 100, (0, 0, 18), 2)
    d.join(WoodScrewFixing(q, p))
    with pytest.raises(InputFault, match="a wood screw in 'p'"):
        frozen(d)
    d = Desk("veneer")
    r = rail(d, "rail", 400, (0, 0, 0))
    p = plate(d, "top", 400, 22, (0, 0, 60), 6, "birch ply", veneer=Veneer("ash veneer", 0.6, "top"))
    d.join(WoodScrewFixing(p, r))
    with pytest.raises(InputFault, match="veneered top"):
        frozen(d)


def test_the_screw_stands_on_the_plate_where_the_faces_are_apart() -> None:
    d = Desk("apart")
    r = rail(d, "rail", 400, (0, 0, 10.3))
    p = plate(d, "plate", 400, 22, (0, 0, 8.5))
    d.join(WoodScrewFixing(p, r))
    model = frozen(d)
    assert model.joints[0].apart == pytest.approx(0.3)
    assert {round(q.pose.origin[2], 9) for q in screws(model)} == {8.5}
    assert {h.depth for h in bores(model, "rail", "screw")} == {28.5}  # as where it fits
    assert {round(c.start, 9) for c in model.contacts} == {1.8}


def test_a_hole_in_the_way_of_given_places() -> None:
    d = Desk("hole")
    r = d.place(Member("rail", (22, 60), 400, "ash", (Hole("under edge", (101, 11), 6, 20),)), at=(0, 0, 10))
    p = plate(d, "plate", 400, 22, (0, 0, 8.5))
    d.join(WoodScrewFixing(p, r, at=(100,)))
    with pytest.raises(InputFault, match=r"wood screw 1 at .* of 'rail', where it is cut away"):
        frozen(d)


def test_a_row_steps_aside_from_a_hole() -> None:
    d = Desk("hole")
    r = d.place(Member("rail", (22, 60), 400, "ash", (Hole("under edge", (20, 11), 6, 20),)), at=(0, 0, 10))
    d.join(WoodScrewFixing(plate(d, "plate", 400, 22, (0, 0, 8.5)), r))
    # half the hole, 3 of material, half the head
    assert min(abs(float(h.mouth[0]) - 20) for h in bores(frozen(d), "rail", "screw")) >= 3 + 3 + 3.75 - 1e-9


def test_a_head_in_a_countersink_that_a_slot_clips_is_no_overlap() -> None:
    """Head and countersink share a cone; where a slot has taken a piece of its rim, the facets of the two meshes differ
    and cross each other by up to 0.05 mm, the bodies do not."""
    d = Desk("leg")
    p = d.place(Plate("leg plate", rectangle(80, 80), 6, "steel", (CutOut(rectangle(26, 17, (53, 31.5))),)), (0, 0, 46))
    leg = d.place(Member("leg", (46, 46), 46, "ash"), (17, 17, 0), along="x")
    d.join(WoodScrewFixing(p, leg, "5x30", at=((30, 30), (50, 30), (30, 50), (50, 50))))
    model, lines = freeze(d)
    assert [f for f in check_model(model, lines, FitEngine()).findings if f.id == "parts-overlap"] == []
