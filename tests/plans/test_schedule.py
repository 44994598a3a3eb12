"""The drilling schedule against rows worked by hand, against the model it is made from, and against how it may not change.

Dowels (common practice): a member 60 high carries them 15 and 45 from its face edge; the end hole of a dowel 8 × 40 in a
22 mm member is 26 deep, the face hole 22 - 6 = 16. The tip of a drill of 118° (ISO 5419, from memory) is 4 / tan 59° = 2.403
long at Ø 8.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import groupby
from pathlib import Path
from random import Random
from typing import Any

import pytest

from deskmodel import Desk, DowelJoint, Flange, Hole, InsertFixing, Member, Plate, VentField, rectangle
from deskmodel.component import Component
from deskmodel.hardware import Hardware
from deskmodel.model import DeskModel, freeze, read_json, write_json
from deskmodel.plans import DrillRow, Schedule, drilling_schedule
from deskmodel.service import default_service
from deskmodel.session.script import load_script
from deskmodel.workshop import Bit, Workshop, default_workshop
from tests.desks.build import frozen, plate, rail
from tests.desks.small import HOSTILE_NAMES, small_desk

ROOT = Path(__file__).parent.parent.parent
TIP = 4 / math.tan(math.radians(59))
TWO_SETS = Workshop("test", (Bit(8, "brad-point", 75, 118, "test"), Bit(20, "Forstner", 50, 180, "test")), (), ())


@cache
def duty() -> DeskModel:
    return read_json(load_script(ROOT / "parts" / "desk.py").model)


@cache
def shelf() -> DeskModel:
    return read_json(load_script(ROOT / "deskmodel" / "templates" / "shelf" / "desk.py").model)


def measured(row: DrillRow) -> tuple[Any, ...]:
    return (row.face, row.x, row.x_from, row.y, row.y_from, row.diameter, row.shoulder, round(row.tip, 3), row.through)


def corner() -> DeskModel:
    """A rail 22 × 60 from front to back that ends in the back side of a front rail, 100 from its left end."""
    d = Desk("corner", workshop=TWO_SETS)
    front = rail(d, "front", 300, (0, 0, 0))
    d.join(DowelJoint(rail(d, "rail", 200, (100, 22, 0), "y"), front))
    return frozen(d)


def test_a_rail_and_the_member_it_meets_by_hand() -> None:
    schedule = drilling_schedule(corner())
    # the rail's datum end meets the front: both holes on the middle of its 22, 15 and 45 from the face edge
    assert [measured(row) for row in schedule.of("rail")] == [
        ("datum end", 11, "face side", 15, "face edge", 8, 26, round(26 + TIP, 3), False),
        ("datum end", 11, "face side", 45, "face edge", 8, 26, round(26 + TIP, 3), False)]
    # in the front: 100 + 11 from its datum end, the same two distances from the face edge
    assert [measured(row) for row in schedule.of("front")] == [
        ("back side", 111, "datum end", 15, "face edge", 8, 16, round(16 + TIP, 3), False),
        ("back side", 111, "datum end", 45, "face edge", 8, 16, round(16 + TIP, 3), False)]
    assert {row.joints for row in schedule.rows} == {("rail to front",)}
    assert {(row.purpose, row.stage) for row in schedule.rows} == {("dowel", "drill")}
    assert {row.step("bore").tool.text for row in schedule.rows} == {"brad-point bit 8"}
    assert {row.stock for row in schedule.of("rail")} == {"ash 22 × 60 × 200"}
    # along y the rail's own y points left: its face side looks right, its datum end to the front
    assert schedule.marks == {"front": "face side front, face edge up, datum end left",
                              "rail": "face side right, face edge up, datum end front"}


def test_never_from_the_far_end_the_back_side_or_the_under_edge() -> None:
    holes = [Hole("far end", (5, 50), 8, 20, 118), Hole("back side", (190, 50), 8, 16, 118),
             Hole("under edge", (190, 17), 8, 20), Hole("face edge", (180, 17), 8, 20), Hole("face side", (30, 10), 20)]
    d = Desk("d", workshop=TWO_SETS)
    d.place(Member("rail", (22, 60), 200, "ash", tuple(holes)), at=(0, 0, 0))
    rows = {row.face: measured(row)[1:] for row in drilling_schedule(frozen(d)).rows}
    assert rows == {
        "far end": (5, "face side", 60 - 50, "face edge", 8, 20, round(20 + TIP, 3), False),
        "back side": (190, "datum end", 60 - 50, "face edge", 8, 16, round(16 + TIP, 3), False),
        "under edge": (190, "datum end", 17, "face side", 8, 20, 20, False),  # a flat bottom
        "face edge": (180, "datum end", 17, "face side", 8, 20, 20, False),
        "face side": (30, "datum end", 60 - 10, "face edge", 20, 22, 22, True)}


def holes_of(model: DeskModel, part: str) -> list[Hole]:
    return [f for f in model.part(part).part.features if isinstance(f, Hole)]


@pytest.mark.parametrize("model", [duty, shelf], ids=["duty desk", "shelf"])
def test_every_hole_of_every_member_once(model: Any) -> None:
    desk = model()
    schedule = drilling_schedule(desk)
    members = [p.name for p in desk.parts if isinstance(p.part, Member)]
    for name in members:
        listed = Counter((row.face, row.at, row.diameter, row.purpose, row.stage) for row in schedule.of(name))
        assert listed == Counter((h.face, h.at, h.diameter, h.purpose, h.stage) for h in holes_of(desk, name))
        assert set(listed.values()) <= {1}
    in_members = sum(len(holes_of(desk, name)) for name in members)
    assert in_members > 60
    assert sum(len(row.parts) for row in schedule.rows if not row.cut) == in_members
    assert set(schedule.marks) == {name for name in members if holes_of(desk, name)}


@pytest.mark.parametrize("model", [duty, shelf], ids=["duty desk", "shelf"])
def test_plates_are_listed_for_what_the_laser_cannot_do_and_nothing_is_lost(model: Any) -> None:
    desk = model()
    schedule = drilling_schedule(desk)
    elsewhere = {each.part: each.count for each in schedule.elsewhere}
    for placed in desk.parts:
        if isinstance(placed.part, Member | Component | Hardware):
            continue
        fields = sum(f.columns * f.rows - len(f.left_out) for f in placed.part.features if isinstance(f, VentField))
        rows = schedule.of(placed.name)
        assert len(rows) + elsewhere.get(placed.name, 0) == len(holes_of(desk, placed.name)) + fields
        assert all(row.cut and row.countersink for row in rows)  # metal: only the sinking is left


@pytest.mark.parametrize("model", [duty, shelf], ids=["duty desk", "shelf"])
def test_mating_dowel_holes_lie_alike_from_the_face_edge_and_along(model: Any) -> None:
    """For each dowel joint: equal distances from the face edge of both, and along the row the same steps."""
    desk = model()
    schedule = drilling_schedule(desk)
    of_joint: dict[str, dict[str, list[DrillRow]]] = {}
    for row in schedule.rows:
        if row.purpose == "dowel":
            for part, joint in zip(row.parts, row.joints, strict=True):
                of_joint.setdefault(joint, {}).setdefault(part, []).append(row)
    joints = [joint for joint in desk.joints if joint.kind == "dowel joint"]
    assert len(joints) > 5
    assert set(of_joint) == {joint.name for joint in joints}
    for joint in joints:
        a, b = (sorted(of_joint[joint.name][part], key=lambda row: row.y) for part in (joint.a, joint.b))
        assert {row.y_from for row in (*a, *b)} == {"face edge"}
        assert [row.y for row in a] == pytest.approx([row.y for row in b], abs=1e-6)
        assert [row.y for row in a] == pytest.approx([15, 45], abs=1e-6)
        assert {row.x_from for row in a} == {"face side"}
        assert {row.x_from for row in b} == {"datum end"}
        # one above the other: neither row steps along its member; in the end on the middle of the thickness
        assert {round(row.x, 6) for row in a} == {11}
        assert len({round(row.x, 6) for row in b}) == 1
        # where the end stands along the other member, from the desk: the end's middle less the other's own datum end
        end, other = desk.part(joint.a), desk.part(joint.b)
        mouth = end.face(a[0].face).point(*a[0].at)
        datum = other.face("datum end").origin
        along = other.pose.axis(0)
        assert sum((m - o) * d for m, o, d in zip(mouth, datum, along, strict=True)) == pytest.approx(b[0].x, abs=1e-6)


PLACES = [((0, 0, 0), "x", 0), ((50, -20, 7.5), "y", 0), ((0, 0, 0), "-x", 90), ((3, 4, 5), "z", 180), ((1, 1, 1), "-z", 33)]


@pytest.mark.parametrize(("at", "along", "turn"), PLACES)
def test_where_a_member_stands_changes_no_row(at: Any, along: str, turn: float) -> None:
    holes = (Hole("far end", (5, 50), 8, 20, 118), Hole("under edge", (190, 17), 8, 20), Hole("face side", (30, 10), 20))
    rows = []
    for place in (((0, 0, 0), "x", 0), (at, along, turn)):
        d = Desk("d", workshop=TWO_SETS)
        d.place(Member("rail", (22, 60), 200, "ash", holes), at=place[0], along=place[1], turn=place[2])
        rows.append(drilling_schedule(frozen(d)).rows)
    assert rows[0] == rows[1]


def test_a_joint_moved_and_turned_as_a_whole_keeps_its_rows() -> None:
    """The corner again, along the other axis and elsewhere: a rail from left to right into a member from front to back."""
    d = Desk("corner", workshop=TWO_SETS)
    front = rail(d, "front", 300, (500, 40, 9), "y")  # its face side looks right, its back side left
    d.join(DowelJoint(rail(d, "rail", 200, (300, 140, 9), "-x"), front))
    moved = drilling_schedule(frozen(d))
    assert moved.of("front") == drilling_schedule(corner()).of("front")  # 140 + 11 - 40 from its datum end
    assert list(map(measured, moved.of("rail"))) == list(map(measured, drilling_schedule(corner()).of("rail")))


def pair(second: tuple[Hole, ...], along: str = "x") -> Schedule:
    holes = (Hole("face side", (30, 10), 8, 10, 118, name="one"), Hole("datum end", (5, 20), 8, 20, 118, name="two"))
    d = Desk("d", workshop=TWO_SETS)
    d.place(Member("a", (22, 60), 200, "ash", holes), at=(0, 0, 0))
    d.place(Member("b", (22, 60), 200, "ash", second), at=(0, 500, 0), along=along)
    return drilling_schedule(frozen(d))


def test_members_that_are_alike_are_listed_once_with_their_names() -> None:
    again = (Hole("datum end", (5, 20), 8, 20, 118, name="other"), Hole("face side", (30, 10), 8, 10, 118, name="names"))
    assert [row.parts for row in pair(again).rows] == [("a", "b"), ("a", "b")]
    turned = pair(again, "-x")  # the same piece of wood, the other way round in the desk
    assert [row.parts for row in turned.rows] == [("a", "b"), ("a", "b")]
    assert turned.marks["a"] != turned.marks["b"]


@pytest.mark.parametrize("mirrored", [
    (Hole("back side", (30, 10), 8, 10, 118), Hole("datum end", (17, 20), 8, 20, 118)),  # about its own middle plane
    (Hole("face side", (170, 10), 8, 10, 118), Hole("far end", (5, 20), 8, 20, 118)),  # end for end
])
def test_mirror_images_are_not_alike(mirrored: tuple[Hole, ...]) -> None:
    assert sorted(row.parts for row in pair(mirrored).rows) == [("a",), ("a",), ("b",), ("b",)]


def test_another_notch_or_wood_is_not_alike() -> None:
    hole = Hole("face side", (30, 10), 8, 10, 118)
    assert {row.parts for row in pair((hole, Hole("datum end", (5, 20), 8, 20, 118), Hole("far end", (5, 20), 8, 5))).rows
            } == {("a",), ("b",)}


def changes(rows: tuple[DrillRow, ...], what: Any) -> int:
    return len([key for key, _ in groupby(rows, what)])


@pytest.mark.parametrize("model", [duty, shelf], ids=["duty desk", "shelf"])
def test_bit_and_fence_change_least(model: Any) -> None:
    """Each bit is chucked once a stage, and with it each fence set once: fewer changes there cannot be."""
    schedule = drilling_schedule(model())

    def bit(row: DrillRow) -> Any:
        return row.stage, row.cut, row.steps[0].tool

    def fence(row: DrillRow) -> Any:
        return *bit(row), row.face in ("datum end", "far end"), row.y_from, round(row.y, 6)

    everything = [schedule.rows, *(schedule.of(name) for name in schedule.marks)]
    for rows in everything:
        assert changes(rows, bit) == len({bit(row) for row in rows})
        assert changes(rows, fence) == len({fence(row) for row in rows})
    stages = [row.stage for row in schedule.rows]
    assert [stage for stage, _ in groupby(stages)] == [s for s in ("crosscut", "drill", "spot inserts") if s in stages]


@pytest.mark.parametrize("model", [duty, shelf], ids=["duty desk", "shelf"])
def test_inserts_are_spotted_and_nothing_else_of_them_is_drilled_before(model: Any) -> None:
    rows = drilling_schedule(model()).rows
    inserts = [row for row in rows if row.purpose == "insert"]
    assert inserts
    assert all(row.stage == "spot inserts" and row.spotted for row in inserts)
    assert {row.stage for row in rows if row.purpose in ("dowel", "cable")} == {"drill"}


def test_what_comes_with_its_part_is_named() -> None:
    d = Desk("d", workshop=TWO_SETS)
    hole = Hole("top", (20, 20), 5)
    for name, material, more in (("steel", "steel", {}), ("ply", "birch ply", {}), ("print", "PETG", {"printed": True}),
                                 ("glass", "glass", {}), ("bent", "steel", {"flanges": (Flange("back", 30),)})):
        d.place(Plate(name, rectangle(100, 60, (10, 10)), 2, material, (hole,), **more), at=(0, 0, 100))
    d.place(Plate("sunk", rectangle(100, 60, (10, 10)), 2, "steel", (Hole("top", (20, 25), 5, countersink=(8, 90)),)),
            at=(0, 0, 0))
    schedule = drilling_schedule(frozen(d))
    assert {row.parts: (row.cut, row.x, row.x_from, row.y, row.y_from) for row in schedule.rows} == {
        ("ply",): (False, 10, "left edge", 10, "front edge"),  # the outline begins at (10, 10)
        ("sunk",): (True, 10, "left edge", 15, "front edge")}
    assert {each.part: (each.count, each.why) for each in schedule.elsewhere} == {
        "steel": (1, "cut by the laser"), "bent": (1, "cut by the laser, before it is bent"),
        "glass": (1, "cut by the glazier"), "print": (1, "printed with the part")}


@pytest.mark.parametrize("seed", range(6))
def test_order_of_the_script_changes_nothing(seed: int) -> None:
    schedules = [drilling_schedule(freeze(small_desk(rng=rng))[0]) for rng in (None, Random(seed))]
    assert schedules[0] == schedules[1]
    assert len(schedules[0].rows) > 20


def test_read_back_from_the_file_it_is_the_same() -> None:
    assert drilling_schedule(read_json(write_json(duty()))) == drilling_schedule(duty())


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_joints_of_parts_with_any_name_are_found(name: str) -> None:
    d = Desk("d", workshop=default_workshop())
    a, b = rail(d, name, 300, (0, 0, 1.5)), rail(d, "rail, dowel hole 1", 200, (0, 22, 1.5), "y")
    under = plate(d, f"{name[:200]}, plate", 300, 200, (0, 0, 0))
    d.join(DowelJoint(b, a), InsertFixing(under, [a]))
    d.cut(a, Hole("face side", (150, 30), 8, 5, 118, name="by hand, dowel hole 1"))
    rows = drilling_schedule(frozen(d)).of(name)
    told = Counter((row.purpose, row.joints[0]) for row in rows)
    assert told["dowel", f"rail, dowel hole 1 to {name}"] == 2
    assert told["insert", f"{name[:200]}, plate fixing"] >= 2
    assert told["shape", ""] == 1


def test_what_the_cutting_service_does_is_not_drilled_again() -> None:
    """Countersinks that it offers, and plates of ply that it cuts."""
    def listed(**laser: object) -> set[tuple[str, str]]:
        d = Desk("d", service=replace(default_service(), laser=replace(default_service().laser, **laser)))
        d.place(Plate("steel", rectangle(100, 60), 1.5, "steel", (
            Hole("top", (20, 20), 4.5, countersink=(8, 90), name="sunk"), Hole("top", (60, 20), 5, depth=1, name="blind"))),
            at=(0, 0, 0))
        d.place(Plate("ply", rectangle(100, 60), 6, "birch ply", (Hole("top", (20, 20), 8, name="plain"),)), at=(0, 100, 0))
        return {(row.parts[0], "countersink" if row.countersink else "hole") for row in drilling_schedule(freeze(d)[0]).rows}

    assert listed() == {("steel", "countersink"), ("steel", "hole"), ("ply", "hole")}
    assert listed(offers=("countersink",)) == {("steel", "hole"), ("ply", "hole")}
    assert listed(cuts=("metal", "ply"), offers=("countersink", "blind hole")) == set()
