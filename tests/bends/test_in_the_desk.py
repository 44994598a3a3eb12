"""Bent plates in a desk: faces and what is cut into them, placing, joints on flanges, model.json, files out."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from deskmodel import Desk, Flange, Hole, InputFault, InsertFixing, Plate, Pocket, Veneer, flat_pattern, rectangle
from deskmodel.faces import PlacedPart, facing, placed_box
from deskmodel.features import CutOut
from deskmodel.frames import Pose, axis_angle
from deskmodel.model import freeze, read_json, write_json
from deskmodel.part import Member, removals_of, with_features
from deskmodel.solids.build import build_solid, volume_of
from deskmodel.solids.part_shape import shape_of
from tests.bends.brackets import BRACKETS
from tests.desks.build import rail
from tests.features.cases import lens
from tests.features.test_places import centroid, removed_from

ANGLE = Plate("angle", rectangle(80, 40, (100, 50)), 1.5, "steel", flanges=(Flange("back", 50),))


# ---- faces

# by the drawing: base x 100 to 180, y 50 to 90; a flange's u runs from the left or from the front, v from the outer corner
ON_ANGLES = {
    ("back", "outside"): lambda u, v, d: (100 + u, 90 - d, v), ("back", "inside"): lambda u, v, d: (100 + u, 88.5 + d, v),
    ("front", "outside"): lambda u, v, d: (100 + u, 50 + d, v), ("front", "inside"): lambda u, v, d: (100 + u, 51.5 - d, v),
    ("left", "outside"): lambda u, v, d: (100 + d, 50 + u, v), ("left", "inside"): lambda u, v, d: (101.5 - d, 50 + u, v),
    ("right", "outside"): lambda u, v, d: (180 - d, 50 + u, v), ("right", "inside"): lambda u, v, d: (178.5 + d, 50 + u, v)}


@pytest.mark.parametrize("towards", ["top", "bottom"])
@pytest.mark.parametrize(("side", "face"), ON_ANGLES)
def test_an_outline_without_symmetry_is_not_mirrored_on_a_flange(side: str, face: str, towards: str) -> None:
    plate = replace(ANGLE, flanges=(Flange(side, 50, towards=towards),))
    outline, area = lens(14.0, 8.0, 12.0, 25.0)
    u, v = centroid(outline)
    name = f"{side} flange {face}"
    for feature, depth in ((Pocket(name, outline, 0.6), 0.6), (CutOut(outline, name), 1.5)):
        volume, centre = removed_from(plate, feature)
        x, y, z = ON_ANGLES[side, face](u, v, depth / 2)
        assert volume == pytest.approx(area * depth, rel=1e-6)
        assert centre == pytest.approx((x, y, z if towards == "top" else 1.5 - z), abs=2e-3)


def test_u_on_a_numbered_edge_runs_with_the_outline() -> None:
    # edge 2 of the rectangle runs from right to left along the back
    plate = replace(ANGLE, flanges=(Flange(2, 50),))
    volume, centre = removed_from(plate, Hole("edge 2 flange outside", (10, 30), 6))
    assert volume == pytest.approx(math.pi * 9 * 1.5, rel=1e-6)
    assert centre == pytest.approx((170, 89.25, 30), abs=1e-6)


def test_a_leaning_flange() -> None:
    """60° from flat: the leg rises from the outer corner at 60° to the base; its face is where school geometry says."""
    plate = Plate("p", rectangle(80, 40), 1.5, "steel", flanges=(Flange("back", 50, 60),))
    face = plate.blank.face("back flange outside")
    assert face.point(7, 30) == pytest.approx((7, 40 + 30 * math.cos(math.pi / 3), 30 * math.sin(math.pi / 3)))
    assert face.normal == pytest.approx((0, math.sin(math.pi / 3), -math.cos(math.pi / 3)))
    assert face.outline.bounds == pytest.approx((0, 3 * math.tan(math.pi / 6), 80, 50))


def test_cuts_in_the_flat_are_where_they_fold_to() -> None:
    """Each cut of the flat, its points folded, lies on the removal in the folded plate; countersinks keep their side."""
    for plate in BRACKETS.values():
        flat = flat_pattern(plate)
        folded = removals_of(plate)
        assert len(flat.features) == len(folded)
        for feature, removal in zip(flat.features, folded, strict=True):
            u, v = feature.at if isinstance(feature, Hole) else centroid(feature.outline)
            height = 0.1 if feature.face == "bottom" else plate.thickness - 0.1
            assert removal.contains(flat.fold((u, v), height))
    holes = [f for f in flat_pattern(BRACKETS["inlet bracket"]).features if isinstance(f, Hole) and f.countersink]
    assert [(hole.face, hole.diameter, hole.countersink) for hole in holes] == [("top", 4.5, (6, 90))]  # inside = top side
    assert holes[0].at == pytest.approx((-(12 - (6 - math.pi / 2 * (1.5 + 0.45 * 1.5))), 20))  # left leg: flat v - BD


# ---- placing

@pytest.mark.parametrize("name", BRACKETS)
def test_box_of_a_turned_bracket_is_that_of_its_points(name: str) -> None:
    part, flat = BRACKETS[name], flat_pattern(BRACKETS[name])
    pose = Pose(axis_angle((1, 2, 3), 47).rotation, (10.0, -20.0, 30.0))
    low, high = placed_box(PlacedPart(part, pose, "plate"))
    points = np.array([pose.apply(panel.point(u, v, h)) for panel in flat.panels for u, v, _ in panel.region.vertices
                       for h in (0.0, part.thickness)])
    points = np.concatenate([points, [pose.apply(bend.point(u, bend.allowance * i / 400, h)) for bend in flat.bends
                                      for u in (bend.start, bend.stop) for h in (0.0, part.thickness) for i in range(401)]])
    if not any(bulge for _, _, bulge in part.outline.vertices):  # an arc has no vertex at its farthest point
        assert low == pytest.approx(points.min(axis=0), abs=1e-4)
        assert high == pytest.approx(points.max(axis=0), abs=1e-4)
    else:
        assert (np.array(low) <= points.min(axis=0) + 1e-9).all()


def test_at_is_the_lowest_corner_of_the_folded_plate() -> None:
    d = Desk("d")
    down = replace(ANGLE, flanges=(Flange("front", 30, towards="bottom"),))
    low, high = d.place(down, at=(5, 6, 7)).box
    assert (low, high) == (pytest.approx((5, 6, 7)), pytest.approx((85, 46, 37)))  # 30 over all, the base among them
    low, high = d.place(replace(ANGLE, name="b"), at=(0, 0, 100), turn=90).box
    assert (low, high) == (pytest.approx((0, 0, 100)), pytest.approx((80, 50, 140)))


# ---- joints

def facing_of(bracket: Plate, pose: Pose, member: Member, at: Pose) -> object:
    return facing(PlacedPart(bracket, pose, "plate"), PlacedPart(member, at, "member"))


def test_a_flange_meets_a_rail() -> None:
    bracket = BRACKETS["inlet bracket"]
    pair = facing_of(bracket, Pose(), Member("m", (22, 60), 300, "ash"), Pose(origin=(-100.0, 40.0, -5.0)))
    assert (pair.a.name, pair.b.name) == ("back flange outside", "face side")
    assert pair.apart == pytest.approx(0)
    assert pair.region == pytest.approx((0, 3, 80, 50))  # the flat of the leg: not the rounding below 3
    base = facing_of(bracket, Pose(), Member("m", (22, 60), 300, "ash"), Pose(origin=(-100.0, 10.0, -60.0)))
    assert (base.a.name, base.b.name) == ("bottom", "face edge")


def test_what_stands_before_the_opening_or_the_bend_meets_nothing() -> None:
    bracket = BRACKETS["inlet bracket"]
    # the opening spans x 26 to 53.5, z 15 to 35.2; a rail 20 × 15 that ends in it
    small = Member("m", (20, 15), 300, "ash")
    end_on = axis_angle((0, 0, 1), 90).rotation
    with pytest.raises(InputFault, match="cut away"):
        facing_of(bracket, Pose(), small, Pose(end_on, (50.0, 40.0, 18.0)))
    assert facing_of(bracket, Pose(), small, Pose(end_on, (50.0, 40.0, 25.0))).a.name == "back flange outside"
    with pytest.raises(InputFault):  # wholly before the rounding: z -12 to 2.9
        facing_of(bracket, Pose(), Member("m", (22, 15), 300, "ash"), Pose(origin=(0.0, 40.0, -12.1)))


def bracket_desk() -> Desk:
    d = Desk("bracket desk")
    back = rail(d, "back rail", 300, (0, 40, 0))
    bracket = d.place(Plate("bracket", rectangle(120, 40), 1.5, "steel", flanges=(
        Flange("back", 50), Flange("left", 20, 80, start=8, stop=30, towards="bottom"))), at=(60, 0, -18))
    low = d.parts["bracket"].pose.origin
    assert low[1] == 0
    d.join(InsertFixing(bracket, [back], screw="ISO 7380 M4x12"))
    d.bore(bracket, "z", (120, 15, low[2]), 8, name="cable")
    d.bore(bracket, "y", (100, 40, low[2] + 42), 5, name="vent")
    return d


def test_screws_and_bores_go_into_the_flange_that_is_meant() -> None:
    model, _ = freeze(bracket_desk())
    part = model.part("bracket").part
    assert {(f.purpose, f.face) for f in part.features} == {
        ("screw", "back flange inside"), ("cable", "bottom"), ("cable", "back flange outside")}  # screwed from inside
    removals = removals_of(part)
    removed = sum(removal.volume for removal in removals)
    assert volume_of(build_solid(part.blank, removals, "bracket")) == pytest.approx(part.blank.volume - removed, rel=1e-9)
    screws = [p for p in model.parts if p.role == "hardware" and "screw" in p.name]
    assert len(screws) > 1
    for screw in screws:  # its head stands on the inside of the leg, its shank runs through it to the back
        assert screw.pose.origin[1] == pytest.approx(40 - 1.5)
        assert screw.pose.axis(2) == pytest.approx((0, 1, 0))


def test_a_bore_goes_into_the_nearer_of_two_flanges() -> None:
    d = Desk("u")
    channel = d.place(Plate("u", rectangle(80, 40), 1.5, "steel", flanges=(Flange("back", 30), Flange("front", 30))),
                      at=(0, 0, 0))
    d.bore(channel, "y", (40, 0, 20), 5)
    d.bore(channel, "y", (20, 40, 20), 5)
    assert [f.face for f in d.parts["u"].part.features] == ["front flange outside", "back flange outside"]


def test_a_plate_bonded_on_the_base() -> None:
    d = Desk("d")
    tray = d.place(replace(BRACKETS["tray"], features=()), at=(0, 0, 0))
    board = d.place(Plate("board", rectangle(100, 60), 6, "birch ply"), at=(10, 10, 1.0))
    pair = facing(d.parts[tray.name], d.parts[board.name])
    assert (pair.a.name, pair.b.name, pair.apart) == ("top", "bottom", 0)


# ---- written down

def test_model_json_brings_every_bracket_back() -> None:
    d = Desk("brackets")
    for i, plate in enumerate(BRACKETS.values()):
        d.place(plate, at=(0, 200 * i, 0))
    model, _ = freeze(d)
    back = read_json(write_json(model))
    assert back == model
    assert write_json(back) == write_json(model)
    for plate in BRACKETS.values():
        # whole numbers are written as whole numbers: equal geometry nevertheless
        assert shape_of(replace(back.part(plate.name).part, features=())).key == shape_of(replace(plate, features=())).key


def test_the_key_is_that_of_the_shape() -> None:
    plate = Plate("a", rectangle(80, 40), 1.5, "steel", flanges=(Flange("back", 50),))
    key = shape_of(plate).key
    same = replace(plate, name="b", material="aluminium", flanges=(Flange("back", 50.0, k=0.3, radius=1.5, name="lip"),))
    assert shape_of(same).key == key
    for flange in (Flange("back", 50.1), Flange("back", 50, 89), Flange("back", 50, radius=1.6), Flange("front", 50),
                   Flange("back", 50, towards="bottom"), Flange("back", 50, start=10)):
        assert shape_of(replace(plate, flanges=(flange,))).key != key


def test_files_out(tmp_path: Path) -> None:
    """STEP and STL-to-be: the solid written is the solid built; the exporters themselves read back what they wrote."""
    from deskmodel.exporters._step import Occurrence, Product, check_step, step_text
    from deskmodel.solids.step_file import step_body

    products = [Product(plate.name, step_body(build_solid(plate.blank, removals_of(plate), plate.name)), (0.5, 0.5, 0.5))
                for plate in BRACKETS.values()]
    occurrences = [Occurrence(product.name, i, Pose(), (0.5, 0.5, 0.5)) for i, product in enumerate(products)]
    path = tmp_path / "model.step"
    path.write_text(step_text("brackets", ("revision x",), products, occurrences), encoding="ascii")
    check_step(path, "brackets", products, occurrences)


def test_veneer_lies_on_the_side_away_from_the_flanges() -> None:
    d = Desk("d")
    top = Plate("top", rectangle(80, 40), 1.5, "aluminium", flanges=(Flange("front", 20, towards="bottom"),),
                veneer=Veneer("ash veneer", 0.6))
    d.place(top, at=(0, 0, 0))
    model, _ = freeze(d)
    leaf = next(p for p in model.parts if "veneer" in p.part.material)
    assert leaf.part.blank.bounds[0][1] == pytest.approx(3)  # the base's flat: not over the rounding
    assert placed_box(leaf)[0][2] == pytest.approx(20)
    with pytest.raises(InputFault, match="flanges stand"):
        replace(top, veneer=Veneer("ash veneer", 0.6, "bottom"))


def test_mass_by_hand() -> None:
    """80 × 40 angle, leg 50, R = t = 1.5: base 80 · 37, leg 80 · 47, quarter ring pi/4 (3² - 1.5²) · 80; steel 7850."""
    volume = 1.5 * 80 * (37 + 47) + math.pi / 4 * (9 - 2.25) * 80
    assert ANGLE.blank.volume == pytest.approx(volume, rel=1e-12)
    assert volume * 7850e-9 == pytest.approx(0.08246, abs=1e-4)
    holed = with_features(ANGLE, [Hole("top", (120, 70), 10)])
    assert volume_of(build_solid(holed.blank, removals_of(holed), "a")) == pytest.approx(volume - math.pi * 25 * 1.5)
