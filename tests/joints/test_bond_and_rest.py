"""Bonds and rests: layers, glues, and what cannot be glued. Thicknesses are common practice."""

from __future__ import annotations

import math

import pytest

from deskmodel import Bond, CutOut, Desk, InputFault, Pocket, Rest, circle, rectangle
from tests.desks.build import frozen, plate, rail


@pytest.mark.parametrize(("glue", "thickness", "layer"), [
    ("elastic", None, 0.5), ("elastic", 0.3, 0.3), ("elastic", 3, 3), ("contact", None, 0.15), ("contact", 0.1, 0.1)])
def test_the_layer_counts(glue: str, thickness: float | None, layer: float) -> None:
    for gap in (layer, layer + 0.3):
        d = Desk("bond")
        r = rail(d, "rail", 400, (0, 0, 0))
        p = plate(d, "plate", 400, 22, (0, 0, 60 + gap))
        d.join(Bond(p, r, glue=glue, thickness=thickness))
        (record,) = frozen(d).joints
        assert record.layer == layer
        assert record.apart == pytest.approx(gap - layer, abs=1e-9)
        assert record.hardware == ()


@pytest.mark.parametrize("more", [
    {"glue": "elastic", "thickness": 0.2}, {"glue": "elastic", "thickness": 3.1}, {"glue": "contact", "thickness": 0.5},
    {"glue": "PVAc", "thickness": 0.1}, {"glue": "bone"}, {"glue": None}, {"glue": []}, {"thickness": math.nan},
    {"thickness": True}, {"thickness": "0.5"}, {"to": ()}, {"to": []}, {"to": None}, {"to": 5}, {"part": None}, {"part": 7}])
def test_refused_bonds(more: dict[str, object]) -> None:
    with pytest.raises(InputFault) as caught:
        Bond(**{"part": "plate", "to": "rail", **more})
    assert caught.value.allowed


@pytest.mark.parametrize("more", [{"pad": -0.1}, {"pad": 10.1}, {"pad": math.nan}, {"pad": True}, {"held": ""},
                                  {"held": None}, {"on": ()}, {"on": {}}, {"on": ["a", "a"]}, {"part": b"x"}])
def test_refused_rests(more: dict[str, object]) -> None:
    with pytest.raises(InputFault) as caught:
        Rest(**{"part": "box", "on": "plate", **more})
    assert caught.value.allowed


@pytest.mark.parametrize(("material", "bonds"), [
    ("ash", True), ("birch ply", True), ("steel", False), ("aluminium", False), ("glass", False), ("PLA", False)])
def test_pvac_bonds_wood_only(material: str, bonds: bool) -> None:
    d = Desk("glue")
    r = rail(d, "rail", 400, (0, 0, 0))
    p = plate(d, "plate", 400, 22, (0, 0, 60), 4, material)
    d.join(Bond(p, r, glue="PVAc"))
    if bonds:
        assert frozen(d).joints[0].apart == 0
    else:
        with pytest.raises(InputFault, match="PVAc glue on 'plate'"):
            frozen(d)


def test_a_list_changed_afterwards_changes_no_joint() -> None:
    d = Desk("later")
    r, s = rail(d, "r", 400, (0, 0, 0)), rail(d, "s", 400, (0, 100, 0))
    p = plate(d, "plate", 400, 122, (0, 0, 60.5))
    to = [r]
    d.join(Bond(p, to))
    to.append(s)
    assert [record.b for record in frozen(d).joints] == ["r"]


def test_any_number_of_parts_in_any_order_of_collection() -> None:
    d = Desk("rest")
    rails = [rail(d, str(i), 400, (0, 100 * i, 0)) for i in range(3)]
    p = plate(d, "plate", 400, 222, (0, 0, 60.5))
    d.join(Rest(p, (r for r in rails), pad=0.5))
    assert {(record.b, record.apart) for record in frozen(d).joints} == {("0", 0), ("1", 0), ("2", 0)}


# ---- where the plate is cut away

def on_a_plate(*features: CutOut) -> Desk:
    d = Desk("opening")
    r = rail(d, "rail", 100, (50, 50, 0), "y")  # its top edge: x 50 to 72, y 50 to 150
    p = plate(d, "plate", 300, 300, (0, 0, 60.5), features=features)
    d.join(Bond(p, r))
    return d


@pytest.mark.parametrize("features", [
    (CutOut(rectangle(22, 100, (50, 50))),),  # just the rail's edge
    (CutOut(rectangle(100, 200, (20, 20))),), (CutOut(circle(110, (61, 100))),),
    # two openings that only together cover it
    (CutOut(rectangle(100, 60, (20, 40))), CutOut(rectangle(100, 60, (20, 95)))),
    # three: a hole fills what the two leave
    (CutOut(rectangle(100, 40, (20, 40))), CutOut(rectangle(100, 40, (20, 120))), CutOut(circle(60, (61, 100)))),
])
def test_what_lies_in_an_opening_is_not_bonded(features: tuple[CutOut, ...]) -> None:
    with pytest.raises(InputFault, match="face each other only where one of them is cut away"):
        frozen(on_a_plate(*features))


@pytest.mark.parametrize("features", [
    (CutOut(rectangle(21.9, 100, (50, 50))),),  # a strip 0.1 wide is left
    (CutOut(rectangle(100, 60, (20, 40))), CutOut(rectangle(100, 60, (20, 100.1)))),
    (CutOut(circle(101, (61, 100))),),  # the corners of the edge stand out of the circle: half diagonal 51.2
    tuple(CutOut(circle(5, (x, y))) for x in range(46, 80, 6) for y in range(46, 156, 6)),  # a field of holes
])
def test_what_still_touches_is_bonded(features: tuple[CutOut, ...]) -> None:
    assert len(frozen(on_a_plate(*features)).joints) == 1


def test_a_pocket_from_the_other_side_is_no_opening() -> None:
    for face, touches in (("top", True), ("bottom", False)):
        d = Desk("pocket")
        r = rail(d, "rail", 100, (50, 50, 0), "y")
        pocket = Pocket(face, rectangle(100, 200, (20, 20)), 3)
        p = plate(d, "plate", 300, 300, (0, 0, 60.5), 6, "aluminium", features=(pocket,))
        d.join(Bond(p, r))
        if touches:
            assert frozen(d).joints
        else:
            with pytest.raises(InputFault, match="cut away"):
                frozen(d)
