"""Flanges that no bending shop could make are refused with what would be right; odd values of any kind, too."""

from __future__ import annotations

import dataclasses

import pytest

from deskmodel import CutOut, Flange, Hole, InputFault, Plate, circle, polygon, rectangle
from tests.bends.brackets import D_SHAPE, TRAPEZE
from tests.hostile import HOSTILE, refused

BASE = rectangle(80, 40)


def bent(*flanges: Flange, outline: object = BASE, material: str = "steel", features: tuple = (), **more: object) -> Plate:
    return Plate("p", outline, 1.5, material, flanges=flanges, features=features, **more)


@pytest.mark.parametrize(("flanges", "told"), [
    # R + t = 3: a leg of 3 has no flat left, one of 3.1 has (4 t is common practice, no stop)
    ((Flange("back", 3.0),), "over 3 mm"), ((Flange("back", 18, angle=120, start=10, stop=12, radius=9),), "18.19"),
    ((Flange("back", 20, start=-2),), "corner"), ((Flange("back", 20, start=50, stop=40),), "start below stop"),
    ((Flange("back", 20, stop=81),), "corner"),
    ((Flange("back", 20, stop=30), Flange("back", 20, start=31, name="b")), "width of a relief"),
    ((Flange("back", 20, stop=30), Flange("back", 20, start=20, name="b")), "width of a relief"),
    ((Flange("back", 20), Flange("back", 20)), "a name for each"),
    ((Flange("back", 20), Flange("back", 20, name="b")), "width of a relief"),
    ((Flange("back", 20, start=0), Flange("left", 20)), "left"),  # one steps back from the corner, the other does not
    ((Flange("back", 20, start=4), Flange("left", 20, stop=36)), "4.5 mm or more"),
    ((Flange("middle", 20),), "front, back"), ((Flange(4, 20),), "0 to 3"),
    ((Flange("a", 20, name="b"), Flange("b", 20, name="a")), "begin at the base"),
    ((Flange("back", 20, towards="inside"),), "top or bottom"),
    ((Flange("back", 20), Flange("back flange", 20, towards="top")), "inside or outside"),
    ((Flange("back", 5.9), Flange("back flange", 20)), "over 6 mm"),
    ((Flange("front", 20, radius=20), Flange("back", 20, radius=20)), "20"),  # setbacks of 21.5 each in a base of 40
    # runs into itself: a lip that comes down on the base; two legs of 135° that cross above it
    ((Flange("back", 10), Flange("back flange", 30), Flange("back flange return", 12)), "keep them apart"),
    ((Flange("front", 40, 135), Flange("back", 40, 135)), "keep them apart"),
    ((Flange("back", 12), Flange("back flange", 60, towards="inside"), Flange("right", 20, 110)), "keep them apart"),
])
def test_flanges_that_cannot_be(flanges: tuple[Flange, ...], told: str) -> None:
    with pytest.raises(InputFault) as caught:
        bent(*flanges)
    assert told in str(caught.value)


@pytest.mark.parametrize("flange", [
    Flange("back", 3.1), Flange("back", 20, 0.5), Flange("back", 6, 25), Flange("left", 20, 90, 0.01),
    Flange("back", 20, k=0), Flange("front", 20, 90, 15, 0.5), Flange("front", 20, start=1.5, stop=78.5),
    Flange("front", 20, start=1.51, stop=78.4), Flange("back", 20, start=0.2, stop=79.9), Flange("left", 20, start=1)])
def test_flanges_at_the_limit_can_be(flange: Flange) -> None:
    assert bent(flange).blank.volume > 0


@pytest.mark.parametrize("make", [
    lambda: Flange("back", 20, 0), lambda: Flange("back", 20, 180), lambda: Flange("back", 20, -90),
    lambda: Flange("back", 20, radius=0), lambda: Flange("back", 20, radius=-1), lambda: Flange("back", 0),
    lambda: Flange("back", 20, k=1.1), lambda: Flange("back", 20, name="left"), lambda: Flange(-1, 20),
    lambda: bent(Flange(1, 20), outline=D_SHAPE), lambda: bent(Flange("right", 20), outline=D_SHAPE),  # an arc
    lambda: bent(Flange("left", 20), outline=TRAPEZE), lambda: bent(Flange("back", 20), outline=circle(50)),
    lambda: bent(Flange("back", 20), material="birch ply"), lambda: bent(Flange("back", 20), material="glass"),
    lambda: bent(Flange("back", 20), material="PLA", printed=True), lambda: bent(Flange("back", 20), printed=True),
    # in the flat, a leg on either side of an inner corner lies where the other lies
    lambda: bent(Flange(2, 20, stop=35), Flange(3, 30), outline=polygon(
        [(0, 0), (80, 0), (80, 40), (40, 40), (40, 80), (0, 80)])),
])
def test_refused(make: object) -> None:
    with pytest.raises(InputFault) as caught:
        make()
    assert caught.value.allowed


@pytest.mark.parametrize("feature", [
    Hole("back flange outside", (40, 5), 4.5),  # into the bend: 5 - 2.25 < 3
    Hole("top", (40, 35), 4.5), CutOut(rectangle(10, 10, (35, 30)), "bottom"), Hole("back flange outside", (40, 49), 4.5),
    Hole("left flange inside", (6, 10), 4.5), Hole("left flange", (20, 10), 4.5),
    Hole("front flange outside", (20, 10), 4.5)])
def test_features_that_enter_a_bend(feature: object) -> None:
    with pytest.raises(InputFault):
        bent(Flange("back", 50), Flange("left", 20, start=5, stop=35), features=(feature,))


def test_features_just_clear_of_a_bend() -> None:
    features = (Hole("back flange outside", (40, 5.25), 4.5), Hole("top", (40, 34.75), 4.5),
                Hole("bottom", (60, 34.75), 4.5))
    assert bent(Flange("back", 50), features=features).features == features


def test_no_k_for_a_metal_that_is_not_in_the_table(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(__import__("deskmodel.bends.allowance", fromlist=["K_FACTORS"]).K_FACTORS, "brass")
    with pytest.raises(InputFault, match="K factor"):
        bent(Flange("back", 20), material="brass")
    assert bent(Flange("back", 20, k=0.4), material="brass").blank.volume > 0


def test_any_value_in_any_field_is_taken_or_refused() -> None:
    good = Flange("back", 20, 90, 1.5, 0.44, "top", 10, 60, 2, "lip")
    assert bent(good)
    for field in dataclasses.fields(Flange):
        answers = [refused(lambda field=field, value=value: bent(dataclasses.replace(good, **{field.name: value})))
                   for value in HOSTILE]
        assert sum(answers) > len(HOSTILE) / 3, f"{field.name} takes nearly anything"
    for value in HOSTILE:
        refused(lambda value=value: Plate("p", BASE, 1.5, "steel", flanges=value))
        refused(lambda value=value: Plate("p", BASE, 1.5, "steel", flanges=(value,)))
