"""Face dowels by the trade's rules (common practice): t - 6 in the thin piece, the rest and 2 of glue space in the other, at
least 3 left below the drill's point."""

from __future__ import annotations

import math

import pytest

from deskmodel import CutOut, Desk, DowelJoint, FaceDowels, Hole, InputFault, Member, Notch, rectangle
from deskmodel.model import DeskModel
from tests.desks.build import bores, frozen, plate, rail
from tests.joints.test_dowel_joint import check_pairs


def block_on_rail(thick: float = 40, **joint: object) -> DeskModel:
    """A block 80 long, ``thick`` and 60 high against the back side of a rail, at x 100 to 180, y 22."""
    d = Desk("block")
    r = rail(d, "rail", 400, (0, 0, 0))
    b = rail(d, "block", 80, (100, 22, 0), section=(thick, 60))
    d.join(FaceDowels(b, r, **joint))
    return frozen(d)


def test_a_block_on_a_rail() -> None:
    model = block_on_rail()
    # rail: 22 - 6 = 16; block: 40 + 2 - 16 = 26
    check_pairs(model, "block", "rail", 40, {16, 26})
    assert {h.depth for h in bores(model, "rail", "dowel")} == {16}
    # the row runs along the 80 and stands in the middle of the 60; two shares of 40 have their middles at 20 and 60
    assert sorted((float(h.mouth[0]), float(h.mouth[2])) for h in bores(model, "rail", "dowel")) == [(120, 30), (160, 30)]
    (record,) = model.joints
    assert (record.kind, record.apart, len(record.hardware)) == ("face dowels", 0, 2)
    assert {h.hole.stage for h in bores(model, "block", "dowel")} == {"drill"}


def test_points_are_measured_from_datum_end_and_under_edge() -> None:
    model = block_on_rail(at=((15, 12), (65, 48), (40, 30)))
    check_pairs(model, "block", "rail", 40, {16, 26})
    # (u, v) of the block's own side: from its datum end at x 100 and its under edge at z 0
    assert sorted((float(h.mouth[0]), float(h.mouth[2])) for h in bores(model, "rail", "dowel")) == [
        (115, 12), (140, 30), (165, 48)]
    turned = Desk("turned")
    r = rail(turned, "rail", 400, (0, 0, 0))
    b = rail(turned, "block", 80, (100, 22, 0), "-x", section=(40, 60))
    turned.join(FaceDowels(b, r, at=[[15, 12]]))
    # turned end for end its datum end is at x 180
    assert [(float(h.mouth[0]), float(h.mouth[2])) for h in bores(frozen(turned), "rail", "dowel")] == [(165, 12)]


@pytest.mark.parametrize(("thick", "depths"), [(40, {16, 26}), (32, {16, 26}), (22, None)])
def test_depths(thick: float, depths: set[float] | None) -> None:
    if depths:
        check_pairs(block_on_rail(thick), "block", "rail", 40, depths)
    else:  # 16 + 16 = 32 for a dowel of 40 and 2
        with pytest.raises(InputFault, match="no room for dowel 8x40 in 22 and 22"):
            block_on_rail(thick)
        check_pairs(block_on_rail(thick, dowel="8x30"), "block", "rail", 30, {16})


def test_swapping_a_and_b_drills_the_same_holes() -> None:
    drilled = []
    for swapped in (False, True):
        d = Desk("block")
        r, b = rail(d, "rail", 400, (0, 0, 0)), rail(d, "block", 80, (100, 22, 0), section=(40, 60))
        d.join(FaceDowels(r, b, count=3) if swapped else FaceDowels(b, r, count=3))
        model = frozen(d)
        drilled.append(sorted((h.part, h.depth, *map(float, h.mouth)) for p in ("rail", "block")
                              for h in bores(model, p, "dowel")))
    assert drilled[0] == drilled[1]
    assert len(drilled[0]) == 6


def test_a_ply_plate_on_a_rail() -> None:
    d = Desk("ply")
    r = rail(d, "rail", 400, (0, 0, 0))
    p = plate(d, "shelf", 400, 100, (0, 0, 60), 18, "birch ply")
    d.join(FaceDowels(p, r, dowel="8x30", count=4))
    # ply: 18 - 6 = 12, rail 30 + 2 - 12 = 20
    check_pairs(frozen(d), "shelf", "rail", 30, {12, 20})


@pytest.mark.parametrize("joint", [
    {"dowel": "8x41"}, {"count": 0}, {"count": True}, {"count": 11}, {"at": ()}, {"at": (15, 12)}, {"at": "15"}, {"at": 15},
    {"at": ((15, 12), (15, 19))}, {"at": ((math.nan, 12),)}, {"at": ((15,),)}, {"at": ((15, 12),), "count": 2},
    {"at": ((3.9, 30),)}, {"at": ((40, 56.1),)}, {"at": ((-15, 30),)}, {"dowel": "16x120"}])
def test_refused(joint: dict[str, object]) -> None:
    with pytest.raises(InputFault) as caught:
        block_on_rail(**joint)
    assert caught.value.allowed


def test_an_end_is_for_a_dowel_joint() -> None:
    d = Desk("tee")
    r, e = rail(d, "rail", 400, (0, 0, 0)), rail(d, "end", 100, (100, 22, 0), "y")
    d.join(FaceDowels(e, r))
    with pytest.raises(InputFault, match="face dowels in the datum end of 'end'") as caught:
        frozen(d)
    assert "DowelJoint" in (caught.value.allowed or "")


@pytest.mark.parametrize("feature", [
    Notch("face edge", 100, 40, 40), Hole("back side", (120, 30), 3, 5), Hole("back side", (125, 30), 4)])
def test_nothing_is_dowelled_where_the_wood_is_cut_away(feature: object) -> None:
    d = Desk("cut")
    r = d.place(Member("rail", (22, 60), 400, "ash", (feature,)), at=(0, 0, 0))
    b = rail(d, "block", 80, (100, 22, 0), section=(40, 60))
    d.join(FaceDowels(b, r))  # dowels at x 120 and 160
    with pytest.raises(InputFault, match="cut away"):
        frozen(d)


def test_only_wood_and_only_whole_faces() -> None:
    d = Desk("steel")
    r = rail(d, "rail", 400, (0, 0, 0))
    p = plate(d, "sheet", 400, 22, (0, 0, 60), 12)
    d.join(FaceDowels(p, r))
    with pytest.raises(InputFault, match="face dowels in 'sheet'"):
        frozen(d)
    d = Desk("opening")
    r = rail(d, "rail", 400, (0, 0, 0))
    p = plate(d, "shelf", 400, 100, (0, 0, 60), 18, "birch ply", features=(CutOut(rectangle(60, 100, (70, 0))),))
    d.join(FaceDowels(p, r, dowel="8x30"))  # at 100 and 300, the first in the opening
    with pytest.raises(InputFault, match=r"dowel 1 at .* of 'shelf', where it is cut away"):
        frozen(d)


def test_face_dowels_beside_a_dowel_joint() -> None:
    """Each joint keeps its own names, and both sorts of dowels are drilled."""
    d = Desk("corner")
    r, e = rail(d, "rail", 400, (0, 0, 0)), rail(d, "end", 200, (0, 22, 0), "y")
    b = rail(d, "block", 80, (22, 22, 0), section=(40, 60))
    d.join(DowelJoint(e, r), FaceDowels(b, r, at=((20, 30), (60, 30))))
    model = frozen(d)
    assert {h.hole.name for h in bores(model, "rail", "dowel")} == {
        f"{joint}, dowel hole {i}" for joint in ("end to rail", "block on rail") for i in (1, 2)}
