"""Through dowels (common practice): one dowel right through the middle member, what is left over half and half in the rails
with 1 of glue space each, at the places of a dowel joint."""

from __future__ import annotations

import math

import numpy as np
import pytest

from deskmodel import Desk, Hole, InputFault, InsertFixing, Member, ThroughDowels
from deskmodel.model import DeskModel
from tests.desks.build import bores, frozen, plate, rail


def cross(off: float = 0.0, lift: float = 0.0, thick: float = 22, **joint: object) -> DeskModel:
    """Rails a (from y = ``thick`` on) and b (up to y = 0) on either side of a middle one along x; b stands aside by
    ``off`` and higher by ``lift``."""
    d = Desk("cross")
    middle = rail(d, "middle", 400, (0, 0, 0), section=(thick, 60))
    a = rail(d, "a", 200, (100, thick, 0), "y")
    b = rail(d, "b", 200, (100 + off, -200, lift), "y")
    d.join(ThroughDowels(a, middle, b, **joint))
    return frozen(d)


def check(model: DeskModel, length: float, thick: float, places: list[tuple[float, float]]) -> None:
    """Through holes in the middle, blind ones of half the rest and 1 in the rails, the dowels centred, at (x, z)."""
    middle, a, b = (bores(model, name, "dowel") for name in ("middle", "a", "b"))
    dowels = [p for p in model.parts if getattr(p.part, "kind", "") == "dowel"]
    assert len(middle) == len(a) == len(b) == len(dowels) == len(places)
    assert all(hole.hole.depth is None for hole in middle)
    for hole in (*a, *b):
        assert hole.depth == pytest.approx((length - thick) / 2 + 1)
        assert min(hole.off_axis(other) for other in middle) < 1e-9
    upwards = sorted(dowels, key=lambda p: p.pose.origin[2])
    for dowel, (x, z) in zip(upwards, sorted(places, key=lambda p: p[1]), strict=True):
        ends = sorted((dowel.pose.apply((0, 0, w)) for w in (0, length)), key=lambda p: p[1])
        assert np.allclose(ends, [(x, thick / 2 - length / 2, z), (x, thick / 2 + length / 2, z)], atol=1e-9)


def test_two_rails_in_line() -> None:
    # 60 - 22 = 38, 19 in each rail, 20 deep; two on a 60 high member at 15 and 45 from the face edge
    model = cross()
    check(model, 60, 22, [(111, 15), (111, 45)])
    assert {(r.a, r.b, r.kind, r.apart) for r in model.joints} == {
        ("a", "middle", "through dowels", 0), ("b", "middle", "through dowels", 0)}
    assert len({name for r in model.joints for name in r.hardware}) == 2  # the same dowels in both


def test_positions_and_other_sizes() -> None:
    check(cross(count=3, positions=(10, 30, 50)), 60, 22, [(111, 10), (111, 30), (111, 50)])
    check(cross(dowel="8x50"), 50, 22, [(111, 15), (111, 45)])
    check(cross(thick=30, dowel="12x60"), 60, 30, [(111, 15), (111, 45)])


def test_dowels_stand_in_the_middle_of_what_is_common() -> None:
    # b 4 to the right and 10 higher: common x 104 to 122, z 10 to 60, two shares of 25
    check(cross(4, 10), 60, 22, [(113, 22.5), (113, 47.5)])


def test_either_rail_first() -> None:
    drilled = []
    for order in ("a b", "b a"):
        d = Desk("cross")
        parts = {"middle": rail(d, "middle", 400, (0, 0, 0)), "a": rail(d, "a", 200, (100, 22, 0), "y"),
                 "b": rail(d, "b", 200, (100, -200, 0), "-y")}
        first, second = order.split()
        d.join(ThroughDowels(parts[first], parts["middle"], parts[second]))
        model = frozen(d)
        check(model, 60, 22, [(111, 15), (111, 45)])
        drilled.append({(h.part, h.depth, *np.round(h.mouth[[0, 2]], 9)) for p in "ab" for h in bores(model, p, "dowel")})
    assert drilled[0] == drilled[1]


@pytest.mark.parametrize("along", ["x", "-x", "y", "-y", "z", "-z"])
@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_middle_turned_every_way(along: str, turn: float) -> None:
    """Rails on both broad sides of the middle member, whichever way that stands: each dowel is coaxial with a hole in all
    three, its middle in the middle of the 22."""
    axis = "xyz".index(along[-1])
    d = Desk("turned")
    box = rail(d, "probe", 400, (0, 0, 0), along, turn).box
    size = [box[1][i] - box[0][i] for i in range(3)]
    thin = size.index(22)
    d = Desk("turned")
    middle = rail(d, "middle", 400, (0, 0, 0), along, turn)
    rails = []
    for name, low in (("a", 22), ("b", -200)):
        at = [size[i] / 2 - 11 for i in range(3)]
        at[thin] = low
        across = next(i for i in range(3) if i not in (axis, thin))
        at[across] = 0  # 60 high as the middle
        probes = {turned: rail(Desk("probe"), "probe", 200, (0, 0, 0), "xyz"[thin], turned).box for turned in (0, 90)}
        upright = next(turned for turned, (low, high) in probes.items() if high[across] - low[across] == 60)
        rails.append(rail(d, name, 200, tuple(at), "xyz"[thin], upright))
    d.join(ThroughDowels(rails[0], middle, rails[1]))
    model = frozen(d)
    holes = {name: bores(model, name, "dowel") for name in ("a", "middle", "b")}
    dowels = [p for p in model.parts if getattr(p.part, "kind", "") == "dowel"]
    assert [len(each) for each in holes.values()] == [2, 2, 2]
    for dowel in dowels:
        centre = np.array(dowel.pose.apply((0, 0, 30)))
        assert centre[thin] == pytest.approx(11)
        for each in holes.values():
            assert min(np.linalg.norm(np.cross(centre - h.mouth, h.into)) for h in each) < 1e-9
    assert {h.depth for name in ("a", "b") for h in holes[name]} == {20}


def test_rails_that_are_not_opposite() -> None:
    cross(8)  # 14 in common: 8 is up to 3/5 of it (trade rule, 13.3)
    with pytest.raises(InputFault, match="opposite each other only 13 mm broad on 'middle'"):
        cross(9)
    with pytest.raises(InputFault, match="opposite each other nowhere"):
        cross(30)
    d = Desk("corner")
    middle = rail(d, "middle", 400, (0, 0, 0))
    a, b = (rail(d, name, 200, (x, 22, 0), "y") for name, x in (("a", 0), ("b", 100)))
    d.join(ThroughDowels(a, middle, b))
    with pytest.raises(InputFault, match="'a' and 'b' meet the back side and the back side of 'middle'"):
        frozen(d)


@pytest.mark.parametrize("joint", [
    {"dowel": "8x30"},  # 4 in each rail: less than a diameter
    {"dowel": "8x35"}, {"dowel": "8x55"}, {"count": 0}, {"count": 2.0}, {"count": 8}, {"positions": (15,)},
    {"positions": (15, 20)}, {"positions": (15, 61)}, {"positions": (2, 45)}, {"positions": (math.nan, 45)},
    {"dowel": "16x120"}])
def test_refused(joint: dict[str, object]) -> None:
    with pytest.raises(InputFault) as caught:
        cross(**joint)
    assert caught.value.allowed


def test_one_diameter_in_each_rail_is_enough() -> None:
    check(cross(dowel="8x40"), 40, 22, [(111, 15), (111, 45)])  # 9 in each


def test_three_members_of_wood() -> None:
    with pytest.raises(InputFault, match="three different members"):
        ThroughDowels("a", "middle", "a")
    d = Desk("plate")
    middle, a = plate(d, "middle", 400, 100, (0, 0, 0), 22, "birch ply"), rail(d, "a", 100, (0, 0, 22), "z")
    d.join(ThroughDowels(a, middle, rail(d, "b", 100, (0, 0, -100), "z")))
    with pytest.raises(InputFault, match="through dowels in 'middle'"):
        frozen(d)


def test_a_short_rail_has_no_room() -> None:
    d = Desk("short")
    middle, b = rail(d, "middle", 400, (0, 0, 0)), rail(d, "b", 200, (100, -200, 0), "y")
    a = rail(d, "a", 25, (100, 22, 0), "y")  # 20 deep would leave 5; 25 - 6 = 19
    d.join(ThroughDowels(a, middle, b))
    with pytest.raises(InputFault, match="no room for 8x60, 20 mm deep, behind the datum end"):
        frozen(d)


def test_nothing_is_dowelled_where_the_wood_is_cut_away() -> None:
    d = Desk("bored")
    bore = Hole("face side", (111, 47), 10, purpose="cable")
    middle = d.place(Member("middle", (22, 60), 400, "ash", (bore,)), at=(0, 0, 0))
    a, b = rail(d, "a", 200, (100, 22, 0), "y"), rail(d, "b", 200, (100, -200, 0), "y")
    d.join(ThroughDowels(a, middle, b))
    with pytest.raises(InputFault, match="of 'middle', where it is cut away"):
        frozen(d)


def test_rows_of_inserts_keep_clear_of_them() -> None:
    """As from any dowelled joint: 20 from the glue line, 40 from the dowelled end (common practice)."""
    d = Desk("row")
    middle, b = rail(d, "middle", 400, (0, 0, 0)), rail(d, "b", 200, (189, -200, 0), "y")
    a = rail(d, "a", 200, (189, 22, 0), "y")
    under = plate(d, "under", 400, 422, (0, -200, -1.5))
    d.join(ThroughDowels(a, middle, b), InsertFixing(under, [middle, a], pitch=100))
    model = frozen(d)
    assert all(not 189 - 20 < pilot.mouth[0] < 211 + 20 for pilot in bores(model, "middle", "insert"))
    assert all(pilot.mouth[1] >= 22 + 40 - 1e-9 for pilot in bores(model, "a", "insert"))
    assert bores(model, "middle", "insert")
    assert bores(model, "a", "insert")
