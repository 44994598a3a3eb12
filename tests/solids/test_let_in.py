"""Holes let into a solid: the same body as the kernel's boolean makes of the same cuts."""

from __future__ import annotations

import pytest
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut

from deskmodel import Hole, Notch, Plate, Pocket, circle, rectangle
from deskmodel.features import Feature, Removal
from deskmodel.part import Member, Part, removals_of, with_features
from deskmodel.solids import build
from deskmodel.solids._let_in import let_in
from deskmodel.solids._separate import let_in_ones
from deskmodel.solids._valid import is_valid
from deskmodel.solids.brep import faces_of, solids_of
from deskmodel.solids.measure import PointTest, volume

MEMBER = Member("rail", (22, 60), 300, "ash")
PLATE = Plate("plate", rectangle(200, 100), 3, "steel")


def built(part: Part, *features: Feature) -> tuple[object, tuple[Removal, ...], int]:
    """The solid, its cuts and how many of them are let in."""
    cut = with_features(part, features)
    removals = removals_of(cut)
    alone, _ = let_in_ones(cut.blank, removals, removals)
    return build.build_solid(cut.blank, removals, cut.name), removals, len(alone)


def check_against_the_boolean(part: Part, removals: tuple[Removal, ...], solid: object) -> None:
    """Nothing of either body is left outside the other."""
    shape = build.build_solid(part.blank, (), "blank")
    for removal in removals:
        shape = BRepAlgoAPI_Cut(shape, build._tool(removal)).Shape()
    reference, = solids_of(shape)
    assert is_valid(solid)
    assert volume(solid) == pytest.approx(volume(reference), rel=1e-9)
    for a, b in ((solid, reference), (reference, solid)):
        rest = BRepAlgoAPI_Cut(a, b).Shape()
        assert sum(map(volume, solids_of(rest))) == pytest.approx(0.0, abs=1e-6)
    assert len(faces_of(solid)) == len(faces_of(reference))


@pytest.mark.parametrize("features", [
    (Hole("face side", (40, 15), 8, 16, 118), Hole("datum end", (11, 45), 8, 26), Hole("under edge", (150, 11), 6, 20)),
    (Hole("face side", (40, 15), 20), Hole("back side", (100, 30), 6, counterbore=(12, 5))),
    (Hole("face edge", (40, 11), 4.5, countersink=(9, 90)), Pocket("face side", rectangle(40, 20, (200, 20)), 8)),
])
def test_a_member_with_holes(features: tuple[Feature, ...]) -> None:
    solid, removals, alone = built(MEMBER, *features)
    assert alone == len(features)
    check_against_the_boolean(MEMBER, removals, solid)


@pytest.mark.parametrize("face", ["bottom", "top"])
def test_a_plate_with_countersinks(face: str) -> None:
    holes = tuple(Hole(face, (20.0 + 20 * i, 30), 4.5, countersink=(8.96, 90)) for i in range(6))
    solid, removals, alone = built(PLATE, *holes, Pocket(face, circle(10, (100, 70)), 1.0), Hole(face, (50, 70), 5, 2))
    assert alone == 8
    check_against_the_boolean(PLATE, removals, solid)


def test_faces_of_one_plane_are_told_apart() -> None:
    """A notch across the under edge leaves two faces in its plane: a hole in each finds its own."""
    notch = Notch("under edge", 100, 80, 20)
    solid, removals, alone = built(MEMBER, notch, Hole("under edge", (40, 11), 6, 10), Hole("under edge", (240, 11), 6, 12))
    assert (alone, len(removals)) == (2, 3)
    check_against_the_boolean(MEMBER, removals, solid)


def test_what_touches_an_edge_or_another_cut_is_left_to_the_boolean() -> None:
    beside = Hole("face side", (40, 3.00005), 6, 10)  # 0.00005 of wood beside it
    crossing = Hole("face side", (100, 30), 8), Hole("face edge", (100, 11), 6, 30)
    solid, removals, alone = built(MEMBER, beside, *crossing)
    assert alone == 0
    check_against_the_boolean(MEMBER, removals, solid)


def test_a_mouth_that_no_face_has() -> None:
    solid = build.build_solid(MEMBER.blank, (), "blank")
    hole, = removals_of(with_features(MEMBER, [Hole("face side", (40, 15), 8, 16)]))
    tool = build._tool(hole)
    assert let_in(solid, [(tool, [((40.0, 0.0, 15.0), (0.0, -1.0, 0.0))])]) is not None
    assert let_in(solid, [(tool, [((40.0, 1.0, 15.0), (0.0, -1.0, 0.0))])]) is None
    assert let_in(solid, [(tool, [((40.0, 0.0, 15.0), (0.0, 1.0, 0.0))])]) is None


def test_inside_and_outside() -> None:
    solid, _, _ = built(MEMBER, Hole("face side", (40, 15), 8, 16, 118))
    inside = PointTest(solid)
    assert [inside((40.0, y, 15.0)) for y in (1.0, 15.9, 18.0, 19.0)] == [False, False, False, True]
    assert [inside((40.0 + x, 8.0, 15.0)) for x in (3.99, 4.01)] == [False, True]
