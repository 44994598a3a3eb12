"""Covers that open with a tool only. ISO 273: 3.4 and 4.5 holes; ISO 724: core of M3 2.459; the rest common practice."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from deskmodel import Cover, CoverScrews, Desk, DowelJoint, InputFault, InsertFixing, Member, Rest, Veneer
from deskmodel.cache import DiskCache
from deskmodel.desk import Placed
from deskmodel.fit import FitEngine
from deskmodel.meshes.store import ShapeStore
from deskmodel.model import DeskModel, freeze, read_json, write_json
from tests.desks.build import bores, frozen, plate, rail
from tests.planted.harness import check_model

ASH = Veneer("ash veneer", 0.6)


@pytest.fixture(scope="module")
def engine() -> FitEngine:
    return FitEngine(ShapeStore(DiskCache(None)))


BESIDE = ("insert-near-edge", 5.0)
"""An insert Ø 6 in the middle of a seat 10 wide is told, and to be bedded in epoxy (common practice)."""


def bay(shift: float = 0.0, over: float | None = None, rng: Random | None = None, veneer: Veneer | None = None,
        under: bool = False, **screws: object) -> Desk:
    """A frame 300 × 200 × 60 round a bay of 256 × 156; the cover lies 10 mm on each member, ``shift`` mm too high; a shelf
    ``over`` mm above it."""
    d = Desk("bay")
    p: dict[str, Placed] = {}
    for y in (0, 178):
        p[f"rail {y}"] = rail(d, f"rail {y}", 300, (0, y, 1.5))
    for x in (0, 278):
        p[f"end {x}"] = d.place(Member(f"end {x}", (22, 60), 156, "ash"), at=(x, 22, 1.5), along="y")
    cover = d.place(Cover("cover", (276, 176), veneer=veneer), at=(12, 12, 62 + shift))
    seats = list(p.values())
    statements = [lambda e=e, r=r: d.join(DowelJoint(p[e], p[r])) for e in ("end 0", "end 278")
                  for r in ("rail 0", "rail 178")]
    statements.append(lambda: d.join(CoverScrews(cover, seats, **screws)))
    if under:
        statements.append(lambda: d.join(InsertFixing(plate(d, "under", 298, 198, (1, 1, 0)), seats)))
    if over is not None:
        shelf = plate(d, "shelf", 300, 50, (0, 70, 63.5 + over), 3)
        d.join(Rest(shelf, "rail 0", pad=5)) if over < 5 else None
    if rng:
        rng.shuffle(statements)
    for statement in statements:
        statement()
    return d


def hardware(model: DeskModel, kind: str) -> list:
    return [p for p in model.parts if getattr(p.part, "kind", "") == kind]


def test_the_numbers_of_the_trade() -> None:
    model = frozen(bay())
    for name, middle in (("rail 0", 17), ("rail 178", 183)):  # the seats are y 12 to 22 and 178 to 188
        pilots = bores(model, name, "insert")
        assert len(pilots) >= 2
        for pilot in pilots:
            assert pilot.mouth[1] == pytest.approx(middle)
            assert pilot.mouth[2] == pytest.approx(61.5)
            assert (pilot.hole.diameter, pilot.hole.stage) == (5.0, "spot inserts")
            assert pilot.depth == pytest.approx(7)  # M3x8 through 1.5 and 0.5: 6 in an insert of 6, and 1 below
            hole = min(bores(model, "cover", "screw"), key=pilot.off_axis)
            assert pilot.off_axis(hole) < 1e-9
            assert hole.hole.diameter == 3.4
    for screw in hardware(model, "screw"):
        assert screw.pose.origin[2] == pytest.approx(63.5)  # the head stands on the plate
        assert screw.pose.axis(2) == (0, 0, -1)
    for each in hardware(model, "insert"):
        assert each.pose.origin[2] == pytest.approx(61.5)
    for contact in model.contacts:
        if "thread of the screw" in contact.reason:
            assert (contact.inner, contact.outer) == pytest.approx((2.459 / 2, 1.5))
            assert (contact.start, contact.end) == pytest.approx((2.0, 8.0))
    record = next(r for r in model.joints if r.kind == "cover screws")
    assert (record.apart, record.layer) == (pytest.approx(0), 0.5)
    assert "2 mm of wood beside it" in record.text
    assert "hexagon key 2" in record.text  # ISO 7380-1 M3, from memory


def test_the_model_knows_the_tool_and_what_leaves_with_the_cover() -> None:
    model = frozen(bay())
    (lift,) = model.lifts
    assert lift.tool == "hexagon key 2"
    assert set(lift.parts) == {"cover", "cover backing", *(p.name for p in hardware(model, "screw"))}
    assert read_json(write_json(model)) == model
    d = Desk("by hand")
    d.place(Cover("cover", (276, 176)), at=(12, 12, 62))
    assert frozen(d).lifts[0].tool is None


@pytest.mark.parametrize("veneer", [None, ASH])
def test_it_fits_and_lifts_with_its_screws(engine: FitEngine, veneer: Veneer | None) -> None:
    run = check_model(*freeze(bay(veneer=veneer, under=True)), engine)
    assert {(f.id, f.measured) for f in run.findings} == {BESIDE}
    assert {o.outcome for o in run.outcomes if o.id != BESIDE[0]} == {"passed"}


def test_in_veneer_the_heads_stand_in_bare_circles() -> None:
    model = frozen(bay(veneer=ASH))
    circles = [f for f in model.part("cover veneer").part.features if "bare circle" in f.name]
    assert len(circles) == len(hardware(model, "screw"))
    assert [f.outline.as_circle[1] * 2 for f in circles] == pytest.approx([5.7 + 2] * len(circles))  # ISO 7380-1 M3: dk 5.7
    assert len(model.part("cover veneer").part.features) == len(circles)  # the screw holes lie in them
    assert {s.pose.origin[2] for s in hardware(model, "screw")} == {63.5}


def test_a_cover_that_lies_too_high_is_found(engine: FitEngine) -> None:
    run = check_model(*freeze(bay(shift=0.3)), engine)
    found = [f for f in run.findings if f.id != BESIDE[0]]
    assert {f.id for f in found} == {"joint-faces-apart"}
    assert [f.measured for f in found] == pytest.approx([0.8] * 4)


def test_a_screw_beside_its_hole_is_found(engine: FitEngine) -> None:
    model, lines = freeze(bay())
    moved = tuple(replace(p, pose=p.pose.moved((0.3, 0, 0))) if p.name == "cover screws, screw 1" else p
                  for p in model.parts)
    run = check_model(replace(model, parts=moved), lines, engine)
    assert {(f.id, *sorted(f.parts)) for f in run.findings if f.id != BESIDE[0]} == {
        ("parts-overlap", "cover screws, insert 1", "cover screws, screw 1"),
        ("parts-overlap", "cover", "cover screws, screw 1"),
        ("hole-without-partner", "cover")}


def test_what_stands_over_it_is_still_struck(engine: FitEngine) -> None:
    run = check_model(*freeze(bay(over=40)), engine)
    struck = [f for f in run.findings if f.id == "cover-strikes"]
    assert {f.parts for f in struck} == {("cover", "shelf")}
    assert struck[0].measured == pytest.approx(40, abs=0.02)


def test_order_of_statements_changes_nothing() -> None:
    assert len({write_json(frozen(bay(rng=Random(seed), under=True))) for seed in range(5)}) == 1


@pytest.mark.parametrize(("more", "problem"), [
    ({"screw": "ISO 10642 M3x8"}, "as a cover screw"), ({"screw": "ISO 7380 M4x8"}, "leaves 1 mm of wood"),
    ({"insert": "M4x8"}, "insert 'M4x8' with screw"), ({"pad": -1}, "pad"), ({"pad": 5}, "engages 1.5 mm"),
    ({"beside": 2.1}, "leaves 2 mm of wood"), ({"at": (3, 4)}, "screws at"), ({"at": ()}, "screws at"),
    ({"pitch": 3}, "pitch")])
def test_refused(more: dict[str, object], problem: str) -> None:
    with pytest.raises(InputFault, match=problem):
        frozen(bay(**more))


def test_less_wood_may_be_asked_for() -> None:
    assert "1 mm of wood beside it" in next(r for r in frozen(bay(screw="ISO 7380 M4x8", beside=1)).joints
                                            if r.kind == "cover screws").text


def test_only_covers_and_timber() -> None:
    d = Desk("wrong")
    p, r = plate(d, "p", 300, 100, (0, 0, 60)), rail(d, "r", 300, (0, 0, 0))
    d.join(CoverScrews(p, r))
    with pytest.raises(InputFault, match="'p' as the cover"):
        frozen(d)
    d = Desk("wrong")
    d.join(CoverScrews(d.place(Cover("c", (300, 100)), at=(0, 0, 1.5)), plate(d, "p", 300, 100, (0, 0, -10))))
    with pytest.raises(InputFault, match="an insert in 'p'"):
        frozen(d)
