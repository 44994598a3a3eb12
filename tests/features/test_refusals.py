"""Features outside their blank and features of nonsense: InputFault, and only that."""

from __future__ import annotations

import dataclasses

import pytest

from deskmodel.errors import InputFault
from deskmodel.features import FEATURES, Bevel, CutOut, Groove, Hole, Notch, Pocket, Slot, VentField
from deskmodel.part import Member, Plate, removals_of, with_features
from deskmodel.profiles import Profile, circle, polygon, rectangle
from tests.features.cases import MEMBER, PLATE
from tests.hostile import HOSTILE, refused

GOOD = {
    Bevel: Bevel(("face edge", "face side"), 5), CutOut: CutOut(circle(8, (50, 11)), "face edge"),
    Groove: Groove("face side", 30, 6, 5), Hole: Hole("face side", (50, 30), 8, 16, 118),
    Notch: Notch("face edge", 50, 30, 10),
    Pocket: Pocket("face edge", circle(8, (50, 11)), 5), Slot: Slot("face side", (50, 30), 30, 8),
    VentField: VentField((50, 20), 3, 2, face="face side")}


def test_good_ones_are_good() -> None:
    assert set(GOOD) == set(FEATURES)
    for feature in GOOD.values():
        assert feature.removals(MEMBER.blank)


@pytest.mark.parametrize("kind", FEATURES)
def test_any_value_in_any_field_is_taken_or_refused(kind: type) -> None:
    good = GOOD[kind]
    for field in dataclasses.fields(kind):
        answers = [refused(lambda field=field, value=value: with_features(
            MEMBER, [dataclasses.replace(good, **{field.name: value})])) for value in HOSTILE]
        assert sum(answers) > len(HOSTILE) / 3, f"{field.name} takes nearly anything"


@pytest.mark.parametrize("value", HOSTILE, ids=lambda v: type(v).__name__)
def test_what_is_no_feature_is_refused(value: object) -> None:
    with pytest.raises(InputFault, match="feature"):
        with_features(MEMBER, [value])
    if not (isinstance(value, tuple | list) and not value):  # no features is allowed
        with pytest.raises(InputFault):
            Member("m", (22, 60), 400, "ash", features=value)


U = Plate("u", polygon([(0, 0), (100, 0), (100, 80), (70, 80), (70, 20), (30, 20), (30, 80), (0, 80)]), 3, "steel")


@pytest.mark.parametrize(("part", "feature"), [
    (MEMBER, Hole("face side", (3.9, 30), 8)), (MEMBER, Hole("face side", (396.1, 30), 8)),
    (MEMBER, Hole("top", (50, 30), 8)),
    (MEMBER, Hole("face side", (50, 30), 8, 22.1)), (MEMBER, Hole("face side", (50, 30), 8, 20, 118)),  # tip 2.4: 22.4
    (MEMBER, Slot("face side", (50, 30), 70, 8, angle=90)), (MEMBER, Pocket("face edge", rectangle(10, 10, (0, 0)), 60)),
    (MEMBER, Pocket("face edge", rectangle(10, 22.1, (0, 0)), 5)), (MEMBER, Groove("face side", 2.9, 6, 5)),
    (MEMBER, Groove("face side", 30, 6, 22)), (MEMBER, Groove("face side", 30, 6, 5, 100, 90)),
    (MEMBER, Groove("face side", 30, 6, 5, -1, 90)), (MEMBER, Notch("face edge", 380, 30, 10)),
    (MEMBER, Notch("face edge", 50, 30, 60)), (MEMBER, Bevel(("face edge", "under edge"), 5)),
    (MEMBER, Bevel(("face edge", "face edge"), 5)), (MEMBER, Bevel(("face edge", "face side"), 22.1)),
    (MEMBER, Bevel(("face edge", "face side"), 20, 75)),  # 20 tan 75 = 74.6 of 60
    (PLATE, VentField((20, 0), 32, 3)), (PLATE, VentField((20, 0), 3, 3, pitch=5, diameter=5)),
    (PLATE, VentField((20, 0), 1000, 1000, pitch=0.2, diameter=0.1)), (PLATE, Notch("top", 265, 30, 3)),
    (PLATE, VentField((20, 0), 3, 2, left_out=((3, 0),))), (PLATE, VentField((20, 0), 1, 1, left_out=((0, 0),))),
    (PLATE, VentField((20, 0), 3, 2, left_out=(1, 1))),  # pairs are asked for
    (U, CutOut(rectangle(90, 10, (5, 40)))),  # across the notch: all its corners lie in the plate
    (PLATE, CutOut(Profile(((50, 50, 0), (50, 80, 0), (80, 80, 0))))),  # clockwise
    (PLATE, CutOut(rectangle(20, 20, (270, -20)))),  # past the slanted corner
])
def test_features_that_leave_their_blank(part: Member | Plate, feature: object) -> None:
    with pytest.raises(InputFault) as caught:
        with_features(part, [feature])
    assert caught.value.allowed


def test_the_answer_is_kept_for_the_same_blank_only() -> None:
    hole = Hole("face side", (350, 30), 8)
    assert removals_of(with_features(MEMBER, [hole]))
    with pytest.raises(InputFault):
        Member("short", (22, 60), 300, "ash", features=(hole,))


@pytest.mark.parametrize("kind", [Member, Plate])
def test_any_value_in_any_field_of_a_part(kind: type) -> None:
    good = Member("m", (22, 60), 400, "ash") if kind is Member else Plate("p", rectangle(40, 40), 3, "steel")
    for field in dataclasses.fields(kind):
        for value in HOSTILE:
            refused(lambda field=field, value=value: removals_of(dataclasses.replace(good, **{field.name: value})))
