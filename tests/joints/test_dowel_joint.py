"""Dowel joints by the trade's rules.

Common practice: face hole t - 6 (16 in a 22 mm member), end hole the rest plus 2 of glue space (26 for a 40 dowel); at
least 3 left below the drill's point; two dowels on a 60 high member at 15 and 45 from the face edge.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from deskmodel import Desk, DowelJoint, InputFault
from deskmodel.model import DeskModel
from tests.desks.build import bores, frozen, plate, rail

TIP = 4 / math.tan(math.radians(59))  # cone of an 8 mm drill with a 118° point


def tee(**joint: object) -> DeskModel:
    """An end that meets the face of a rail: the end runs along y between y = 22 and 322, the rail along x."""
    d = Desk("tee")
    front = rail(d, "front", 900, (0, 0, 0))
    end = rail(d, "end", 300, (100, 22, 0), "y")
    d.join(DowelJoint(end, front, **joint))
    return frozen(d)


def check_pairs(model: DeskModel, a: str, b: str, length: float, depths: set[float] | None = None) -> None:
    """Each hole of a has a coaxial one in b, and their dowel stands in both with the glue space shared."""
    holes_a, holes_b = bores(model, a, "dowel"), bores(model, b, "dowel")
    dowels = [p for p in model.parts if getattr(p.part, "kind", "") == "dowel"]
    assert len(holes_a) == len(holes_b) == len(dowels) > 0
    for hole in holes_a:
        mate = min(holes_b, key=hole.off_axis)
        assert hole.off_axis(mate) < 1e-9
        assert np.allclose(hole.into, -mate.into, atol=1e-12)
        assert np.allclose(hole.mouth, mate.mouth, atol=1e-9)  # the faces touch
        assert hole.depth + mate.depth == pytest.approx(length + 2)  # glue space 2
        if depths:
            assert {round(hole.depth, 9), round(mate.depth, 9)} == depths
        for each in (hole, mate):
            tip = each.hole.diameter / 2 / math.tan(math.radians(each.hole.point / 2))
            assert each.behind - each.depth - tip >= 3  # below the drill's point
        ends = [np.array(p.pose.apply((0, 0, z))) for p in dowels for z in (0, p.part.blank.bounds[1][2])]
        inside = [e for e in ends if np.linalg.norm(np.cross(e - hole.mouth, hole.into)) < 1e-9]
        reach = sorted((e - hole.mouth) @ hole.into for e in inside)
        assert reach == pytest.approx([1 - mate.depth, hole.depth - 1])  # 1 of the 2 at either bottom


def test_end_to_face() -> None:
    model = tee()
    (end_1, end_2), face = bores(model, "end", "dowel"), bores(model, "front", "dowel")
    assert {end_1.depth, end_2.depth} == {26}
    assert {hole.depth for hole in face} == {16}
    assert all(hole.behind - hole.depth - TIP >= 3 for hole in face)  # 22 - 16 - 2.4 = 3.6
    assert {hole.hole.diameter for hole in (end_1, end_2, *face)} == {8}
    assert sorted(60 - hole.mouth[2] for hole in face) == pytest.approx([15, 45])  # from the face edge
    assert {float(hole.mouth[0]) for hole in face} == {111}  # middle of 22 from 100
    check_pairs(model, "end", "front", 40, {16, 26})
    (record,) = model.joints
    assert (record.kind, record.apart, record.point) == ("dowel joint", 0, (111, 22, 30))


TURNS = [(along, turn) for along in ("x", "-x", "y", "-y", "z", "-z") for turn in (0, 90, 180, 270)]


@pytest.mark.parametrize(("along", "turn"), TURNS)
@pytest.mark.parametrize("swapped", [False, True])
def test_members_turned_along_every_axis(along: str, turn: float, swapped: bool) -> None:
    """A butts with its end against the middle of B's broad or narrow side, whichever way both are turned."""
    d = Desk("turned")
    a = rail(d, "a", 300, (0, 0, 0), along, turn)
    axis = "xyz".index(along[-1])
    low, high = np.array(a.box[0]), np.array(a.box[1])
    for other in ("x", "y", "z"):
        if other == along[-1]:
            continue
        for b_turn in (0, 90):
            d = Desk("turned")
            a = rail(d, "a", 300, (0, 0, 0), along, turn)
            b = rail(d, "b", 400, (0, 0, 0), other, b_turn)
            at = (low + high) / 2 - (np.array(b.box[1]) - b.box[0]) / 2
            at[axis] = high[axis]
            d = Desk("turned")
            a = rail(d, "a", 300, (0, 0, 0), along, turn)
            b = rail(d, "b", 400, tuple(at), other, b_turn)
            d.join(DowelJoint(b, a) if swapped else DowelJoint(a, b))
            model = frozen(d)
            thick = (np.array(b.box[1]) - b.box[0])[axis]
            check_pairs(model, "a", "b", 40, {16, 26} if thick == 22 else {21})


def shape(model: DeskModel) -> list[object]:
    return sorted((h.part, tuple(np.round(h.mouth, 9) + 0.0), h.depth, h.hole.diameter)
                  for p in ("end", "front") for h in bores(model, p, "dowel"))


def test_swapping_a_and_b_drills_the_same_holes() -> None:
    for section in ((22, 60), (40, 40)):  # a square end, too: it has no longer side
        drilled = []
        for swapped in (False, True):
            d = Desk("tee")
            front = rail(d, "front", 900, (0, 0, 0), section=section)
            end = rail(d, "end", 300, (100, section[0], 0), "y", section=section)
            d.join(DowelJoint(front, end) if swapped else DowelJoint(end, front))
            drilled.append(shape(frozen(d)))
        assert drilled[0] == drilled[1]


@pytest.mark.parametrize(("thick", "depth"), [(22, 16), (26, 20), (27, 21), (28, 21), (40, 21)])
def test_depth_in_thicker_rails(thick: float, depth: float) -> None:
    # t - 6 as long as that is less than half of the 42: 26 -> 20, from 27 on 21 + 21
    d = Desk("tee")
    front = rail(d, "front", 900, (0, 0, 0), section=(thick, 60))
    end = rail(d, "end", 300, (100, thick, 0), "y")
    d.join(DowelJoint(end, front))
    assert {hole.depth for hole in bores(frozen(d), "front", "dowel")} == {depth}


@pytest.mark.parametrize(("dowel", "thick"), [("10x40", 22), ("10x50", 24), ("12x60", 30), ("6x30", 22)])
def test_at_least_three_below_the_point_of_any_drill(dowel: str, thick: float) -> None:
    d = Desk("tee")
    front = rail(d, "front", 900, (0, 0, 0), section=(thick, 60))
    end = rail(d, "end", 300, (100, thick, 0), "y")
    d.join(DowelJoint(end, front, dowel=dowel))
    check_pairs(frozen(d), "end", "front", float(dowel.split("x")[1]))


def test_edge_to_edge_and_own_positions() -> None:
    d = Desk("boards")
    a = rail(d, "a", 500, (0, 0, 0), section=(90, 30))
    b = rail(d, "b", 400, (60, 90, 0), section=(90, 30))
    d.join(DowelJoint(a, b, count=3, positions=(40, 200, 360)))
    model = frozen(d)
    check_pairs(model, "a", "b", 40, {21})
    # a level row: from the left end of the stretch where they meet, 60
    assert sorted(h.mouth[0] for h in bores(model, "a", "dowel")) == pytest.approx([100, 260, 420])
    assert {float(h.mouth[2]) for h in bores(model, "a", "dowel")} == {15}


def test_own_positions_from_the_face_edge_and_own_depths() -> None:
    model = tee(positions=(10, 50), depths=(27, 17))
    assert sorted(60 - h.mouth[2] for h in bores(model, "front", "dowel")) == pytest.approx([10, 50])
    assert {h.depth for h in bores(model, "end", "dowel")} == {27}
    assert {h.depth for h in bores(model, "front", "dowel")} == {17}


@pytest.mark.parametrize("joint", [
    {"dowel": "8x41"}, {"dowel": "7x40"}, {"count": 0}, {"count": 2.0}, {"count": True}, {"count": 51}, {"count": 8},
    {"positions": (15,)}, {"positions": (15, 15)}, {"positions": (15, 22)}, {"positions": ()}, {"positions": (15, 61)},
    {"positions": (2, 45)}, {"positions": (math.nan, 45)}, {"positions": "15"}, {"positions": 15}, {"depths": (26,)},
    {"depths": 26}, {"depths": (26, -1)}, {"depths": (26, 21)}, {"depths": (26, math.inf)}, {"dowel": "16x120"},
])
def test_refused(joint: dict[str, object]) -> None:
    with pytest.raises(InputFault) as caught:
        tee(**joint)
    assert caught.value.allowed


def test_diameter_up_to_three_fifths_of_the_breadth() -> None:
    # trade rule: 2/5 to 3/5 of the thickness; 12 in 22 is 0.55, in 20 it is 0.6, in 19 more
    assert {h.depth for h in bores(tee(dowel="12x60"), "front", "dowel")} == {15}  # 22 - 7: 3 below a point of 3.6
    for breadth, fits in ((20, True), (19, False)):
        d = Desk("tee")
        front = rail(d, "front", 900, (0, 0, 0), section=(30, 60))
        end = rail(d, "end", 300, (100, 30, 0), "y", section=(breadth, 60))
        d.join(DowelJoint(end, front, dowel="12x60"))
        if fits:
            frozen(d)
        else:
            with pytest.raises(InputFault, match="12x60 in a face 19 mm broad"):
                frozen(d)


def test_no_room_for_the_dowel() -> None:
    d = Desk("thin")
    a, b = (rail(d, name, 300, (0, y, 0), section=(22, 60)) for name, y in (("a", 0), ("b", 22)))
    d.join(DowelJoint(a, b, dowel="8x40"))
    with pytest.raises(InputFault, match="'a to b': no room for dowel 8x40 in 22 and 22"):
        frozen(d)
    d = Desk("thin")
    a, b = (rail(d, name, 300, (0, y, 0), section=(22, 60)) for name, y in (("a", 0), ("b", 22)))
    d.join(DowelJoint(a, b, dowel="8x30"))  # 16 + 16 = 32
    assert {h.depth for h in bores(frozen(d), "a", "dowel")} == {16}


def test_only_between_members_of_wood() -> None:
    d = Desk("plate")
    front = rail(d, "front", 900, (0, 0, 0))
    sheet = plate(d, "sheet", 300, 300, (0, 22, 0))
    d.join(DowelJoint(sheet, front))
    with pytest.raises(InputFault, match="dowel joint in 'sheet'"):
        frozen(d)


def test_holes_of_two_joints_keep_the_name_of_theirs() -> None:
    d = Desk("frame")
    front, back = rail(d, "front", 900, (0, 0, 0)), rail(d, "back", 900, (0, 322, 0))
    ends = [rail(d, f"{{end}} {i}", 300, (x, 22, 0), "y") for i, x in enumerate((0, 400, 878))]
    for end, side in itertools.product(ends, (front, back)):
        d.join(DowelJoint(end, side))
    model = frozen(d)
    assert len(model.joints) == 6
    assert len([p for p in model.parts if p.role == "hardware"]) == 12
    assert {h.hole.name for h in bores(model, "front", "dowel")} == {
        f"{{end}} {i} to front, dowel hole {n}" for i in range(3) for n in (1, 2)}
