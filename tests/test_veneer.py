"""Veneer in every stack. Thicknesses and order of work: common practice (metal is cut first, veneer trimmed after)."""

from __future__ import annotations

import math
from random import Random

import pytest

from deskmodel import (
    Bond,
    Cover,
    CutOut,
    Desk,
    Hole,
    InputFault,
    InsertFixing,
    Member,
    Plate,
    Pocket,
    Rest,
    Veneer,
    VentField,
    circle,
    polygon,
    rectangle,
)
from deskmodel.cache import DiskCache
from deskmodel.faces import PlacedPart
from deskmodel.features import Feature
from deskmodel.fit import FitEngine
from deskmodel.materials import material
from deskmodel.meshes.store import ShapeStore
from deskmodel.model import DeskModel, freeze, read_json, write_json
from deskmodel.part import removals_of
from deskmodel.solids.build import volume_of
from deskmodel.solids.part_shape import shape_of
from tests.desks.build import bores, frozen, plate, rail
from tests.planted.harness import check_model

ASH = Veneer("ash veneer", 0.6)


@pytest.fixture(scope="module")
def engine() -> FitEngine:
    return FitEngine(ShapeStore(DiskCache(None)))


def leaf_of(*features: Feature, veneer: Veneer = ASH, thickness: float = 1.5) -> PlacedPart:
    d = Desk("leaf")
    plate(d, "top", 300, 200, (10, 20, 30), thickness, "aluminium", features=features, veneer=veneer)
    return frozen(d).part("top veneer")


def bare_area(leaf: PlacedPart) -> float:
    return sum(r.volume for r in removals_of(leaf.part)) / leaf.part.blank.thickness


@pytest.mark.parametrize(("face", "z"), [("top", 31.5), ("bottom", 29.4)])
def test_a_piece_of_its_own(face: str, z: float) -> None:
    leaf = leaf_of(veneer=Veneer("ash veneer", 0.6, face=face))
    assert (leaf.role, leaf.group, leaf.part.material) == ("veneer", "top", "ash veneer")
    assert leaf.part.blank.bounds == ((0, 0, 0), (300, 200, 0.6))
    assert leaf.pose.origin == pytest.approx((10, 20, z))
    assert material("ash veneer").kind == "veneer"


def test_what_opens_in_the_face_is_cut_from_the_veneer() -> None:
    leaf = leaf_of(CutOut(rectangle(100, 50, (20, 20), radius=8), name="opening"), Hole("bottom", (200, 50), 20),
                   Hole("top", (200, 100), 4.5, countersink=(8.96, 90)),
                   Hole("bottom", (200, 150), 4.5, countersink=(8.96, 90)),
                   Hole("top", (250, 50), 5, counterbore=(9, 1)))
    # by hand: rounded rectangle a b - (4 - pi) r²; circles by their width at the top: 20; 8.96; 8.96 - 2 * 1.5 = 5.96; 9
    by_hand = 100 * 50 - (4 - math.pi) * 64 + math.pi / 4 * (20**2 + 8.96**2 + 5.96**2 + 9**2)
    assert bare_area(leaf) == pytest.approx(by_hand, rel=1e-12)
    assert {f.stage for f in leaf.part.features} == {"finish"}
    assert "opening" in {f.name for f in leaf.part.features}


def test_from_below_the_other_end_of_a_cone_counts() -> None:
    holes = [Hole(face, (200, 100), 4.5, countersink=(8.96, 90)) for face in ("top", "bottom")]
    below = Veneer("ash veneer", 0.6, face="bottom")
    widths = [math.sqrt(bare_area(leaf_of(hole, veneer=below)) * 4 / math.pi) for hole in holes]
    assert widths == pytest.approx([5.96, 8.96])  # ISO 10642 M4 in 1.5 mm: edge hole 5.96 (common practice)


def test_a_blind_cut_shows_only_on_its_own_face() -> None:
    pocket = Pocket("bottom", rectangle(40, 40, (10, 10)), 2)
    assert bare_area(leaf_of(pocket, thickness=6)) == 0
    assert bare_area(leaf_of(pocket, thickness=6, veneer=Veneer("ash veneer", 0.6, face="bottom"))) == pytest.approx(1600)


def test_hole_fields_stay_bare() -> None:
    # 12 × 5 holes Ø 5 at 8: 88 + 5 by 32 + 5, and 5 of margin all round -> 103 × 47
    field = VentField((100, 100), 12, 5)
    assert bare_area(leaf_of(field)) == pytest.approx(103 * 47)
    assert bare_area(leaf_of(VentField((100, 100), 12, 5, staggered=True))) == pytest.approx(107 * 47)
    assert bare_area(leaf_of(field, veneer=Veneer("ash veneer", 0.6, bare_margin=2))) == pytest.approx(97 * 41)
    # what lies in the bare rectangle is not cut twice
    assert bare_area(leaf_of(field, Hole("top", (96, 100), 6))) == pytest.approx(103 * 47)
    with pytest.raises(InputFault, match="leaves its blank"):
        leaf_of(VentField((5, 100), 12, 5))  # its holes are within the plate, its margin is not


def test_its_solid_and_its_mass() -> None:
    d = Desk("odd")
    d.place(Plate("odd", polygon([(0, 0), (300, 0), (200, 200), (0, 200)]), 1.5, "steel",
                  (CutOut(circle(50, (100, 100))), CutOut(rectangle(20, 30, (0, 50)))), veneer=ASH), at=(0, 0, 0))
    leaf = frozen(d).part("odd veneer")
    by_hand = 0.6 * ((300 + 200) / 2 * 200 - math.pi * 25**2 - 600)
    volume = volume_of(shape_of(leaf.part).build())
    assert volume == pytest.approx(by_hand, rel=1e-9)
    assert volume * material(leaf.part.material).density * 1e-9 == pytest.approx(by_hand * 672e-9)  # kg; Wood Handbook, ash


def bonded(gap: float, veneer: Veneer | None, glue: str = "elastic") -> DeskModel:
    d = Desk("bonded")
    r = rail(d, "rail", 400, (0, 0, 0))
    p = d.place(Plate("plate", rectangle(400, 22), 1.5, "steel", veneer=veneer), at=(0, 0, 60 + gap))
    d.join(Bond(p, r, glue))
    return frozen(d)


def test_joints_meet_the_veneer() -> None:
    under = Veneer("ash veneer", 0.6, face="bottom")
    for gap, veneer, apart in ((1.1, under, 0.0), (0.5, under, -0.6), (0.5, ASH, 0.0), (0.5, None, 0.0)):
        record = next(r for r in bonded(gap, veneer).joints if r.b == "rail")
        assert record.apart == pytest.approx(apart, abs=1e-9)
    # PVAc bonds wood: it meets the veneer, or the steel
    assert next(r for r in bonded(0.6, under, "PVAc").joints if r.b == "rail").apart == pytest.approx(0)
    with pytest.raises(InputFault, match="PVAc glue on 'plate' of steel"):
        bonded(0.0, ASH, "PVAc")


def test_what_rests_on_a_veneered_plate_stands_higher() -> None:
    d = Desk("rest")
    p = plate(d, "plate", 300, 200, (0, 0, 0), veneer=ASH)
    d.join(Rest(plate(d, "box", 50, 50, (20, 20, 2.1), 20), p))
    assert [r.apart for r in frozen(d).joints] == pytest.approx([0, 0])


def test_the_bond_of_the_veneer_is_told() -> None:
    record = next(r for r in bonded(0.5, ASH).joints if r.a == "plate veneer")
    assert (record.kind, record.b, record.layer, record.apart) == ("bond", "plate", 0, 0)
    assert "glue counted in" in record.text


def screwed(face: str) -> DeskModel:
    d = Desk("screwed")
    r = rail(d, "rail", 400, (0, 0, 10))
    veneer = Veneer("ash veneer", 0.6, face=face)
    p = plate(d, "plate", 400, 22, (0, 0, 10 - 1.5 - (0.6 if face == "top" else 0)), veneer=veneer)
    d.join(InsertFixing(p, r, at=(110, 290)))
    return frozen(d)


def test_screws_and_veneer(engine: FitEngine) -> None:
    model = screwed("top")  # the inner face, towards the rail
    for pilot in bores(model, "rail", "insert"):  # stack 2.1: 0.38 of cone and 0.2 of air below it
        assert pilot.hole.counterbore == (8.5, pytest.approx(0.6))
    assert [p.pose.origin[2] for p in model.parts if getattr(p.part, "kind", "") == "screw"] == pytest.approx([7.9, 7.9])
    assert check_model(model, {}, engine).findings == []
    with pytest.raises(InputFault, match="veneered bottom of 'plate'"):
        screwed("bottom")


def covered(shift: float = 0.0) -> Desk:
    d = Desk("bay")
    frame = [rail(d, f"rail {y}", 300, (0, y, 0)) for y in (0, 178)]
    cover = d.place(Cover("cover", (276, 176), veneer=ASH), at=(12, 12, 60.5))
    d.join(Rest(cover, frame, pad=0.5))
    d.place(Plate("cap", rectangle(300, 10), 3, "ash", veneer=Veneer("ash veneer", 0.6, face="bottom")), at=(0, shift, 62.6))
    d.join(Rest("cap", frame[0], pad=2.0))
    return d


def test_covers_lift_with_their_veneer(engine: FitEngine) -> None:
    model, lines = freeze(covered())
    (lift,) = model.lifts
    assert lift.parts == ("cover", "cover backing", "cover veneer")
    assert lines["cover veneer"] == lines["cover"]
    assert [f for f in check_model(model, lines, engine).findings if f.id in ("cover-strikes", "parts-overlap")] == []
    run = check_model(*freeze(covered(3.0)), engine)  # the cap reaches 1 mm over the cover's veneer: 63.1 - 0.6 - 62.6
    assert {(f.id, *f.parts) for f in run.findings if f.id in ("cover-strikes", "parts-overlap")} >= {
        ("cover-strikes", "cover", "cap")}


def test_written_and_read_back(engine: FitEngine) -> None:
    model = freeze(covered())[0]
    assert read_json(write_json(model)) == model
    assert model.part("cover").part.veneer == ASH
    assert '"veneer": {' in write_json(model)


def test_order_of_statements_changes_nothing() -> None:
    texts = set()
    for seed in range(4):
        d = Desk("order")
        parts = [("a", Veneer("ash veneer", 0.6)), ("b", Veneer("ash veneer", 0.9, face="bottom")), ("c", None)]
        Random(seed).shuffle(parts)
        for name, veneer in parts:
            d.place(Plate(name, rectangle(100, 100), 1.5, "steel", (Hole("top", (50, 50), 8),), veneer=veneer),
                    at=(200 * "abc".index(name), 0, 0))
        texts.add(write_json(frozen(d)))
    assert len(texts) == 1


@pytest.mark.parametrize("given", [
    lambda: Veneer("ash", 0.6), lambda: Veneer("ash veneer", 0), lambda: Veneer("ash veneer", 0.6, face="front"),
    lambda: Veneer("ash veneer", 0.6, bare_margin=-1),
    lambda: Plate("p", rectangle(9, 9), 1, "steel", veneer="ash veneer"), lambda: Cover("c", (100, 100), veneer=0.6),
    lambda: Cover("c", (100, 100), veneer=Veneer("ash veneer", 0.6, face="bottom"))])
def test_refused(given: object) -> None:
    with pytest.raises(InputFault) as caught:
        given()
    assert caught.value.allowed


def test_a_name_that_is_taken() -> None:
    d = Desk("taken")
    plate(d, "a", 100, 100, (0, 0, 0), veneer=ASH)
    d.place(Member("a veneer", (22, 60), 100, "ash"), at=(0, 200, 0))
    with pytest.raises(InputFault, match="like the veneer on 'a'"):
        frozen(d)
