"""Legs on leg plates. ISO 4762 M6: head 10.22 × 6; ISO 273: 6.6; ISO 724: core of M6 4.917; the rest common practice."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from deskmodel import (
    CutOut,
    Desk,
    Groove,
    Hole,
    InputFault,
    InsertFixing,
    LegMount,
    Member,
    Plate,
    WoodScrewFixing,
    rectangle,
)
from deskmodel.cache import DiskCache
from deskmodel.fit import FitEngine
from deskmodel.meshes.store import ShapeStore
from deskmodel.model import DeskModel, freeze, read_json, write_json
from tests.desks.build import bores, frozen, plate
from tests.planted.harness import check_model


@pytest.fixture(scope="module")
def engine() -> FitEngine:
    return FitEngine(ShapeStore(DiskCache(None)))


def corner(leg: float = 45.0, along: str = "z", down: float = 0.0, shift: float = 0.0, grooved: bool = False,
           turned: str = "x", own_screws: bool = False, rng: Random | None = None, **mount: object) -> Desk:
    """A block 80 × 80 × 60 on an under-plate 1.5, a leg plate 4 thick below, a leg 500 long; the leg plate ``down`` mm too
    low, the leg ``shift`` mm out of the middle along x and y."""
    d = Desk("corner")
    block = d.place(Member("block", (80, 60), 80, "ash"), at=(0, 0, 1.5), along=turned)
    under = plate(d, "under", 200, 200, (0, 0, 0))
    features = (Groove("face side", leg / 2, 12, 10),) if grooved else ()
    first = (80 - leg) / 2 + shift
    foot = d.place(Member("leg", (leg, leg), 500, "ash", features), at=(first, first, -504.0 - down), along=along)
    steel = d.place(Plate("leg plate", rectangle(80, 80), 4, "steel"), at=(0, 0, -4.0 - down))
    if grooved:  # the groove runs along the leg's front side, from y first to first + 10: all parts are open over it
        way = CutOut(rectangle(12, 10, (40 - 6, first)), name="cable exit")
        d.cut(steel, way)
        d.cut(under, way)
        d.cut(block, Hole("under edge", (40, first + 5), 10, name="cable exit", purpose="cable"))
        d.cable("lead", 6, [(40, first + 5, 60), (40, first + 5, -500)])
    statements = [lambda: d.join(LegMount(foot, steel, block, under, **({"screw": "5x60"} | mount)))]
    if own_screws:
        statements.append(lambda: d.join(WoodScrewFixing(steel, foot, "5x60", at=((30, 30), (50, 30), (30, 50), (50, 50)))))
    statements.append(lambda: d.join(InsertFixing(under, d.place(Member("rail", (22, 60), 120, "ash"), at=(80, 0, 1.5)))))
    if rng:
        rng.shuffle(statements)
    for statement in statements:
        statement()
    return d


def findings(d: Desk, engine: FitEngine) -> list[tuple[str, ...]]:
    run = check_model(*freeze(d), engine)
    assert all(o.outcome in ("passed", "findings") for o in run.outcomes), [o.reason for o in run.outcomes]
    return [(f.id, *sorted(f.parts)) for f in run.findings]


def hardware(model: DeskModel, kind: str) -> list:
    return [p for p in model.parts if getattr(p.part, "kind", "") == kind and p.group == "leg mount"]


@pytest.mark.parametrize("along", ["z", "-z"])
@pytest.mark.parametrize("turned", ["x", "y"])
def test_the_numbers_of_the_trade(along: str, turned: str) -> None:
    model = frozen(corner(along=along, turned=turned))
    pilots = bores(model, "block", "insert")
    places = {(round(float(p.mouth[0]), 9), round(float(p.mouth[1]), 9)) for p in pilots}
    assert places == {(x, y) for x in (12, 68) for y in (12, 68)}  # 56 apart about the middle of 80
    for pilot in pilots:
        assert pilot.mouth[2] == pytest.approx(1.5)
        assert (pilot.hole.diameter, pilot.hole.stage) == (9.5, "spot inserts")
        assert pilot.depth == pytest.approx(25 - 5.5 + 1)  # the bolt ends 19.5 in the block, 1 below it
        for name in ("under", "leg plate"):
            hole = min(bores(model, name, "screw"), key=pilot.off_axis)
            assert pilot.off_axis(hole) < 1e-9
            assert hole.hole.diameter == 6.6
    for bolt in hardware(model, "screw"):
        assert bolt.pose.origin[2] == pytest.approx(-4)
        assert bolt.pose.axis(2) == (0, 0, 1)
    for contact in model.contacts:
        if "thread of the bolt" in contact.reason:
            assert (contact.inner, contact.outer) == pytest.approx((4.917 / 2, 3))
            assert (contact.start, contact.end) == pytest.approx((5.5, 20.5))  # 15 of insert from 5.5 on
    screws = [p for p in model.parts if getattr(p.part, "kind", "") == "wood screw"]
    at = {(round(s.pose.origin[0]), round(s.pose.origin[1])) for s in screws}
    assert at == {(x, y) for x in (28, 52) for y in (28, 52)}
    assert {s.pose.origin[2] for s in screws} == {0.0}  # flush with the top of the leg plate
    assert {r.kind for r in model.joints} >= {"leg mount", "wood-screw fixing"}
    assert any("hexagon key 5" in r.text for r in model.joints)  # ISO 4762 M6, from memory


@pytest.mark.parametrize("along", ["z", "-z"])
@pytest.mark.parametrize("turned", ["x", "y"])
def test_it_fits(engine: FitEngine, along: str, turned: str) -> None:
    assert findings(corner(along=along, turned=turned), engine) == []


def test_the_leg_may_be_screwed_by_the_script(engine: FitEngine) -> None:
    assert findings(corner(screw=None, own_screws=True), engine) == []
    assert ("unfastened-part", "leg") in findings(corner(screw=None), engine)


def test_a_leg_with_a_cable_groove(engine: FitEngine) -> None:
    # the screws of the leg stand 28 from two edges: 1.4 of steel are left between their countersinks and the way
    assert findings(corner(grooved=True), engine) == [("web-too-thin", "leg plate")]
    # without the way through the leg plate the cable meets steel
    model, lines = freeze(corner(grooved=True))
    closed = tuple(replace(p, part=replace(p.part, features=tuple(f for f in p.part.features if f.name != "cable exit")))
                   if p.name == "leg plate" else p for p in model.parts)
    run = check_model(replace(model, parts=closed), lines, engine)
    assert [(f.id, *f.parts) for f in run.findings] == [("keep-out-invaded", "leg plate")]


def test_room_for_bolt_and_key(engine: FitEngine) -> None:
    model = frozen(corner())
    rooms = [k for k in model.keep_outs if "bolt and key" in k.name]
    assert len(rooms) == 4
    assert {(round(k.keep_out.room.depth, 6), k.keep_out.kind) for k in rooms} == {(25, "service")}
    # beside a leg of 50 the head, 10.22 wide, has its axis 5.25 or 5.0 away; the insert then stands 9.75 or 10 from an edge
    near = ("insert-near-edge", "block", "leg plate")
    assert findings(corner(leg=50.0, pattern=(60.5, 30)), engine) == [near]
    assert [f for f in findings(corner(leg=50.0, pattern=(60, 30)), engine) if f != near] == [
        *(("parts-overlap", "leg", f"leg mount, bolt {i}") for i in (1, 2, 3, 4)), *[("keep-out-invaded", "leg")] * 4,
        ("head-proud", "leg", "leg plate")]
    # heads end at z -10: a board across two of them that begins 15 or 25 below
    for below, found in ((15, 2), (25, 0)):
        d = corner()
        d.place(Member("board", (20, 20), 80, "ash"), at=(0, 1, -10 - below - 20))
        assert findings(d, engine).count(("keep-out-invaded", "board")) == found


def test_0_3_out_of_place_is_found(engine: FitEngine) -> None:
    assert ("joint-faces-apart", "leg plate", "under") in findings(corner(down=0.3), engine)
    model, lines = freeze(corner())
    for name in ("leg mount, bolt 1", "leg mount, insert 2"):
        moved = tuple(replace(p, pose=p.pose.moved((0.3, 0, 0))) if p.name == name else p for p in model.parts)
        ids = {f.id for f in check_model(replace(model, parts=moved), lines, engine).findings}
        assert {"parts-overlap", "hole-without-partner"} <= ids


def test_written_and_read_back() -> None:
    model = frozen(corner(grooved=True))
    assert read_json(write_json(model)) == model


def test_order_of_statements_changes_nothing() -> None:
    assert len({write_json(frozen(corner(own_screws=True, screw=None, rng=Random(seed)))) for seed in range(4)}) == 1


@pytest.mark.parametrize(("more", "problem"), [
    ({"bolt": "ISO 10642 M6x25"}, "as the bolt of a leg"), ({"insert": "M4x10"}, "insert 'M4x10' with bolt"),
    ({"pattern": (58,)}, "pattern"), ({"pattern": (5, 58)}, "pattern 5"), ({"pattern": (76, 58)}, "leaves the under edge"),
    ({"bolt": "ISO 4762 M6x10"}, "engages 4.5 mm"), ({"screw": "9x9"}, "wood screw"),
    ({"screw_pattern": (44, 24)}, "leaves|lies over")])
def test_refused(more: dict[str, object], problem: str) -> None:
    with pytest.raises(InputFault, match=problem):
        frozen(corner(**more))


def test_parts_in_the_wrong_places() -> None:
    d = Desk("wrong")
    parts = [plate(d, "a", 80, 80, (0, 0, 0)), plate(d, "b", 80, 80, (0, 0, 1.5))]
    d.join(LegMount(parts[0], parts[1], parts[0], parts[1]))
    with pytest.raises(InputFault, match="as leg or leg block"):
        frozen(d)
