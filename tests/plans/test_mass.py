"""Mass and centre of gravity against hand calculation, tables of centroids, and sums by other means."""

from __future__ import annotations

import math

import pytest

from deskmodel import Component, Desk, Flange, Hole, Member, Plate, Rest
from deskmodel.component._part import box_prism
from deskmodel.features import Prism, Revolve
from deskmodel.fit import FitEngine
from deskmodel.frames import Pose
from deskmodel.part import Bodies, SheetBlank, TurnedBlank, removals_of
from deskmodel.plans import desk_mass, mass_text, unmeasured_parts
from deskmodel.plans._moments import closed_form, profile_centroid
from deskmodel.profiles import Profile, circle, obround, polygon, rectangle
from deskmodel.session.fit_problem import part_shapes
from deskmodel.session.mass import mass_of
from deskmodel.solids.build import volume_of
from tests.desks.build import frozen, plate, rail
from tests.planted.harness import PARTS, edited_desk


@pytest.mark.parametrize(("profile", "centroid"), [
    (rectangle(40, 10, (5, 7)), (25, 12)),
    (polygon([(0, 0), (30, 0), (0, 60)]), (10, 20)),  # a triangle: the mean of its corners
    (circle(20, (100, -50)), (100, -50)),
    (obround(60, 25, (120, 80), 30), (120, 80)),
    # half a disc of radius 30 on the x axis: 4 r / 3 π above it (any table of centroids)
    (Profile(((30, 0, 1.0), (-30, 0, 0.0))), (0, 40 / math.pi)),
    # a quarter disc: 4 r / 3 π from both straight sides
    (Profile(((0, 0, 0.0), (30, 0, math.tan(math.pi / 8)), (0, 30, 0.0))), (40 / math.pi, 40 / math.pi)),
    # a square of 20 with a half disc of radius 10 bitten out of its right side, whose centroid is 40 / 3 π in from there
    (Profile(((0, 0, 0.0), (20, 0, -1.0), (20, 20, 0.0), (0, 20, 0.0))),
     ((400 * 10 - 50 * math.pi * (20 - 40 / 3 / math.pi)) / (400 - 50 * math.pi), 10)),
])
def test_centroids_of_outlines(profile: Profile, centroid: tuple[float, float]) -> None:
    assert profile_centroid(profile) == pytest.approx(centroid, abs=1e-9)
    moved = profile_centroid(profile.moved(2000, -1000))
    assert moved == pytest.approx((centroid[0] + 2000, centroid[1] - 1000), abs=1e-9)


@pytest.mark.parametrize(("half", "volume", "height"), [
    (((0, 0), (10, 0), (0, 40)), math.pi * 100 * 40 / 3, 10),  # a cone: a quarter of its height above its base
    (((0, 5), (10, 5), (10, 25), (0, 25)), math.pi * 100 * 20, 15),  # a cylinder
    (((5, 0), (10, 0), (10, 30), (5, 30)), math.pi * 75 * 30, 15),  # a tube
    # a frustum R 10, r 5, h 12: h (R² + 2 R r + 3 r²) / 4 (R² + R r + r²) above its base
    (((0, 0), (10, 0), (5, 12), (0, 12)), math.pi * 12 * 175 / 3, 12 * (100 + 100 + 75) / (4 * 175)),
])
def test_turned_bodies(half: tuple[tuple[float, float], ...], volume: float, height: float) -> None:
    for told in (half, half[::-1]):
        found = closed_form(TurnedBlank(told), ())
        assert found is not None
        assert found[0] == pytest.approx(volume)
        assert found[1] == pytest.approx((0, 0, height))


def test_a_plate_with_a_hole() -> None:
    # 100 × 60 × 2 steel with Ø 20 at (80, 30): area 6000 - 100 π; x = (6000·50 - 100 π·80) / (6000 - 100 π)
    model = frozen(one(Plate("p", rectangle(100, 60), 2, "steel", (Hole("top", (80, 30), 20),))))
    found = desk_mass(model, {})
    area = 6000 - 100 * math.pi
    assert found.kg == pytest.approx(area * 2 * 7850e-9)
    assert found.centre == pytest.approx(((300_000 - 8000 * math.pi) / area, 30, 1))
    assert found.unknown == {}
    assert {part.how for part in found.parts} == {"closed form"}


def one(part: object, at: tuple[float, float, float] = (0, 0, 0), **more: object) -> Desk:
    d = Desk("one")
    d.place(part, at=at, **more)
    return d


def test_an_l_shaped_component_by_its_data_sheet() -> None:
    # 100 × 20 × 10 and 20 × 40 × 10 beside its end: 20 000 at (50, 10, 5), 8 000 at (10, 40, 5)
    bodies = (box_prism((100, 20, 10), (0, 0, 0)), box_prism((20, 40, 10), (0, 20, 0)))
    found = desk_mass(frozen(one(Component("L", "none", "invented", bodies, mass=0.7), (200, 300, 50))), {})
    assert found.kg == 0.7
    x, y = (20 * 50 + 8 * 10) / 28, (20 * 10 + 8 * 40) / 28
    assert found.centre == pytest.approx((200 + x, 300 + y, 55))


def test_a_desk_of_three_parts() -> None:
    d = Desk("three")
    under = plate(d, "under", 200, 100, (0, 0, 0), thickness=2)
    rail(d, "rail", 200, (0, 0, 2))
    d.join(Rest(d.place(Component("box", "none", "invented", (box_prism((50, 40, 30), (0, 0, 0)),), mass=0.5),
                        at=(100, 50, 2)), under))
    # 0.314 kg at (100, 50, 1); ash 200 × 22 × 60 at 672: 0.177408 kg at (100, 11, 32); 0.5 kg at (125, 70, 17)
    steel, ash = 200 * 100 * 2 * 7850e-9, 200 * 22 * 60 * 672e-9
    assert (steel, ash) == pytest.approx((0.314, 0.177408))
    found = desk_mass(frozen(d), {})
    total = 0.314 + 0.177408 + 0.5
    assert found.kg == pytest.approx(total)
    assert found.centre == pytest.approx(((31.4 + 17.7408 + 62.5) / total, (15.7 + 0.177408 * 11 + 35) / total,
                                          (0.314 + 0.177408 * 32 + 8.5) / total))


def test_cuts_that_meet_are_measured_or_missed_by_name() -> None:
    holes = (Hole("top", (30, 20), 12), Hole("top", (36, 20), 12))
    d = one(Plate("p", rectangle(100, 60), 2, "steel", holes), (10, 0, 0), along="y")
    model = frozen(d)
    assert unmeasured_parts(model) == ("p",)
    without = desk_mass(model, {})
    assert without.kg == 0
    assert without.centre is None
    assert "was not measured" in without.unknown["p"]
    found = mass_of(FitEngine(), model, part_shapes(model))
    # two circles of radius 6, 6 apart: they share a lens of 2 r² acos(d / 2r) - d/2 √(4 r² - d²)
    lens = 72 * math.acos(0.5) - 3 * math.sqrt(144 - 36)
    area = 6000 - 72 * math.pi + lens
    assert found.kg == pytest.approx(area * 2 * 7850e-9)
    # the cut is symmetric about (33, 20); along y the plate's x is the desk's y, and its y runs back from x 60
    cut = 72 * math.pi - lens
    x, y = (6000 * 50 - cut * 33) / area, (6000 * 30 - cut * 20) / area
    assert found.centre == pytest.approx((10 + 60 - y, x, 1))
    assert found.parts[0].how == "solid"


def test_a_bent_plate() -> None:
    # an angle of 2: two legs of 30 and 20 less r + t = 4 each, and a quarter of a ring from 2 to 4, all 100 long
    angle = Plate("p", rectangle(100, 30), 2, "steel", flanges=(Flange("back", 20, radius=2),))
    model = frozen(one(angle))
    found = mass_of(FitEngine(), model, part_shapes(model))
    ring = math.pi / 4 * (16 - 4)
    assert found.kg == pytest.approx((26 * 2 + 16 * 2 + ring) * 100 * 7850e-9)
    # y: the base's middle 13, the leg's 29, the ring's centroid 4 sin 45° (4³ - 2³) / (3 (π/4) (4² - 2²)) from its
    # axis at y 26, z 4, along the diagonal
    out = 2 / 3 * math.sin(math.pi / 4) / (math.pi / 4) * (64 - 8) / (16 - 4) * math.sin(math.pi / 4)
    area = 84 + ring
    y, z = (52 * 13 + 32 * 29 + ring * (26 + out)) / area, (52 * 1 + 32 * 12 + ring * (4 - out)) / area
    assert found.centre == pytest.approx((50, y, z))


def test_bodies_that_run_into_each_other_have_no_closed_form() -> None:
    assert closed_form(Bodies((box_prism((10, 10, 10), (0, 0, 0)), box_prism((10, 10, 10), (5, 0, 0)))), ()) is None
    hole = Prism(circle(5, (3, 3)), Pose(), 2)
    assert closed_form(SheetBlank(rectangle(10, 10), 2), (hole, Prism(circle(5, (5, 5)), Pose(), 2))) is None
    assert closed_form(SheetBlank(rectangle(10, 10), 2), (Revolve(((0, 0), (1, 0), (0, 1)), Pose(origin=(5, 5, 0))),))


def test_the_shelf_by_the_kernel() -> None:
    """Every part's volume from its B-rep, times the density; the equipment by its sheets: 0.62 + 0.35 + 1.1 + 0.4 kg."""
    model, _ = edited_desk(PARTS)
    engine, shapes = FitEngine(), part_shapes(model)
    densities = {material.name: material.density for material in model.materials}
    total = 0.62 + 0.35 + 1.1 + 0.4
    for placed in model.parts:
        if placed.role != "component":
            total += volume_of(engine.store.brep(shapes[placed.name])) * 1e-9 * densities[placed.part.material]
    found = mass_of(engine, model, shapes)
    assert found.unknown == {}
    assert found.kg == pytest.approx(total, rel=1e-9)


def test_member_blanks_agree_with_their_removals() -> None:
    part = Member("m", (22, 60), 300, "ash", (Hole("face side", (50, 30), 8, depth=16, point=118),))
    found = closed_form(part.blank, removals_of(part))
    assert found is not None
    # 300 × 22 × 60 less π 16 · 16 and a cone of radius 4, 4 / tan 59° high
    cut = math.pi * 16 * 16 + math.pi * 16 * (4 / math.tan(math.radians(59))) / 3
    assert found[0] == pytest.approx(396_000 - cut)


def test_masses_are_told_in_kg_and_below_one_in_g() -> None:
    assert [mass_text(kg) for kg in (38.44, 1.0, 0.99951, 0.9994, 0.25, 0.0994, 0.00991)] == [
        "38.4 kg", "1.0 kg", "1.0 kg", "999 g", "250 g", "99.4 g", "9.91 g"]
