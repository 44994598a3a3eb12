"""Stand-off mounts. Holes of the Mini-ITX board by its published form factor; ISO 273 clearance holes; ISO 724 core of the
M3 thread, 2.459; ISO 7045 and ISO 7046 heads, and the 0.8 d of a nut of ISO 4032, from memory."""

from __future__ import annotations

import math

import pytest

from deskmodel import CutOut, Desk, InputFault, StandOffMount, Veneer, rectangle
from deskmodel.component import Component
from deskmodel.model import DeskModel
from tests.desks.build import bores, frozen, plate, rail
from tests.desks.equipment import BOARD_HOLES, board, box_with_rim, equipment


def mounted(height: float = 6.5, thickness: float = 1.5, stands: float | None = None, what: Component | None = None,
            below: bool = False, turn: float = 0, features: tuple = (), **joint: object) -> DeskModel:
    """The board with its underside ``stands`` (else ``height``) above a plate at z 0 to ``thickness``; its pins hang 2 below
    it. ``below``: upside down under the plate."""
    d = Desk("board")
    p = plate(d, "plate", 300, 300, (0, 0, 0), thickness, features=features)
    gap = height if stands is None else stands
    it = what or board()
    top = it.blank.bounds[1][2] - it.blank.bounds[0][2]
    pins = -it.blank.bounds[0][2]
    z = -gap - (top - pins) if below else thickness + gap - pins
    c = d.place(it, at=(50, 50, z), turn=180 if below else 0)
    d.join(StandOffMount(c, p, height, **joint))
    return frozen(d)


def pieces(model: DeskModel, kind: str) -> list:
    return [p for p in model.parts if getattr(p.part, "kind", "") == kind]


def test_a_board_by_its_own_holes() -> None:
    model = mounted()
    holes = bores(model, "plate", "screw")
    assert {tuple(map(float, h.mouth[:2])) for h in holes} == {(50 + x, 50 + y) for x, y in BOARD_HOLES}
    assert {(h.hole.diameter, h.hole.depth, h.hole.countersink, h.hole.face) for h in holes} == {(3.4, None, None, "bottom")}
    spacers = pieces(model, "stand-off")
    assert len(spacers) == 4
    for p in spacers:
        assert p.part.designation == "stand-off M3 × 6.5"
        low, high = p.part.blank.bounds
        assert (p.pose.origin[2], low[2], high[2]) == (1.5, 0, 6.5)
        assert high[0] == pytest.approx(5.5 / 2 / math.cos(math.radians(30)))  # round, as wide as across the corners
    lower, upper = ([p for p in pieces(model, "screw") if which in p.name] for which in ("lower", "upper"))
    assert {p.pose.origin[2] for p in lower} == {0}  # head under the plate
    assert {p.pose.origin[2] for p in upper} == {1.5 + 6.5 + 1.6}  # head on the board
    (record,) = model.joints
    assert (record.kind, record.apart, record.layer, len(record.hardware)) == ("stand-off mount", 0, 6.5, 12)
    assert len(set(record.hardware)) == 12
    assert not model.part("board").part.features[4:]


@pytest.mark.parametrize(("height", "thickness", "thick", "flush"), [
    (6.5, 1.5, 1.6, False), (6.5, 1.5, 1.6, True), (6, 1.5, 1.6, False), (8, 1.5, 1.6, False), (8, 2, 1.6, True),
    (10, 3, 1.6, False), (12, 1, 2.4, False), (20, 1.5, 1.6, False), (30, 2, 1.57, True)])
def test_screws_engage_and_do_not_meet(height: float, thickness: float, thick: float, flush: bool) -> None:
    model = mounted(height, thickness, what=board(thick=thick), flush=flush)
    lower, upper = ([p for p in pieces(model, "screw") if which in p.name] for which in ("lower", "upper"))
    for low in lower:
        high = next(p for p in upper if math.dist(p.pose.origin[:2], low.pose.origin[:2]) < 1e-9)
        ends = [p.pose.apply((0, 0, p.part.blank.bounds[1][2]))[2] for p in (low, high)]
        from_below, from_above = ends[0] - thickness, thickness + height - ends[1]
        assert min(from_below, from_above) >= 0.8 * 3 - 1e-9
        if height >= 8:  # room for a diameter each
            assert min(from_below, from_above) >= 3 - 1e-9
        assert ends[1] - ends[0] >= 0.5 - 1e-9
        for name, depth in ((low.name, from_below), (high.name, from_above)):
            (contact,) = (c for c in model.contacts if c.male == name)
            assert contact.end - contact.start == pytest.approx(depth)
            assert (contact.inner, contact.outer) == pytest.approx((2.459 / 2, 1.5))
            assert contact.female.split(",")[1].startswith(" stand-off")


def test_short_stand_offs_have_no_room() -> None:
    # 5 - 0.5 between = 4.5: two of 2.4 do not fit in
    with pytest.raises(InputFault, match="a stand-off of 5 mm for screws through"):
        mounted(5)


@pytest.mark.parametrize(("thickness", "mouth", "head"), [(1.5, 6.0, -0.15), (1.65, 6.3, 0), (3, 6.3, 0)])
def test_flush_from_below(thickness: float, mouth: float, head: float) -> None:
    # ISO 7046 M3: sharp 6.3, 1.65 high; in 1.5 it stands 0.15 proud and the cone is cut 2 × 0.15 narrower
    model = mounted(8, thickness, flush=True)
    for hole in bores(model, "plate", "screw"):
        assert hole.hole.countersink == pytest.approx((mouth, 90))
        assert hole.hole.face == "bottom"
    lower = [p for p in pieces(model, "screw") if "lower" in p.name]
    assert {p.part.designation.split()[1] for p in lower} == {"7046"}
    assert [p.pose.origin[2] for p in lower] == pytest.approx([head] * 4)
    assert {p.part.designation.split()[1] for p in pieces(model, "screw") if "upper" in p.name} == {"7045"}
    with pytest.raises(InputFault, match=r"head 1\.65 mm high in a plate of 1\.4 mm"):
        mounted(8, 1.4, flush=True)


def test_hanging_under_a_plate() -> None:
    model = mounted(8, below=True)
    assert {p.pose.origin[2] for p in pieces(model, "stand-off")} == {0}
    assert {h.hole.face for h in bores(model, "plate", "screw")} == {"top"}
    assert {round(p.pose.origin[2], 9) for p in pieces(model, "screw")} == {1.5, -9.6}
    assert model.joints[0].apart == pytest.approx(0)


@pytest.mark.parametrize(("stands", "apart"), [(6.5, 0), (6.8, 0.3), (6.2, -0.3), (6.51, 0.01), (14, 7.5)])
def test_the_board_stands_at_its_height(stands: float, apart: float) -> None:
    model = mounted(stands=stands)
    assert model.joints[0].apart == pytest.approx(apart, abs=1e-9)
    assert {p.pose.origin[2] for p in pieces(model, "stand-off")} == {1.5}  # they stand on the plate
    assert len([c for c in model.contacts if "lower" in c.male]) == 4
    assert len([c for c in model.contacts if "upper" in c.male]) == (4 if apart < 3.4 else 0)


@pytest.mark.parametrize(("diameter", "thread"), [(3.2, "M3"), (3.96, "M3"), (4.0, "M3"), (4.3, "M4"), (5.0, "M4")])
def test_thread_by_the_holes(diameter: float, thread: str) -> None:
    model = mounted(10, what=board(diameter=diameter))
    assert {p.part.designation for p in pieces(model, "stand-off")} == {f"stand-off {thread} × 10"}
    assert {h.hole.diameter for h in bores(model, "plate", "screw")} == {{"M3": 3.4, "M4": 4.5}[thread]}  # ISO 273 medium


def test_a_box_on_its_rim() -> None:
    """Screwed through the rim, 2.5 thick, not through the box beside it."""
    model = mounted(10, what=box_with_rim(diameter=3.4))
    assert {p.pose.origin[2] for p in pieces(model, "screw") if "upper" in p.name} == {1.5 + 10 + 2.5}


def test_other_screws() -> None:
    model = mounted(12, screw="ISO 7380")
    assert {p.part.designation for p in pieces(model, "screw")} == {"ISO 7380 M3x6"}
    with pytest.raises(InputFault, match="countersunk screws ISO 10642 on a board"):
        mounted(12, screw="ISO 10642")


@pytest.mark.parametrize("more", [
    {"height": 7}, {"height": 0}, {"height": math.nan}, {"height": True}, {"height": 101}, {"flush": 1}, {"screw": "ISO 1"},
    {"screw": 7045}, {"what": board(diameter=4.1)}, {"what": board(diameter=2.7)}, {"what": board(diameter=6)},
    {"what": equipment("bare", (((80, 40, 30), (0, 0, 0)),), (), 4)},
    {"what": equipment("drive", (((80, 40, 30), (0, 0, 0)),), ((9, 9),), 3.4, depth=3)}])
def test_refused(more: dict[str, object]) -> None:
    with pytest.raises(InputFault) as caught:
        mounted(**{"stands": 6.5, **more})
    assert caught.value.allowed


def test_holes_of_two_heights() -> None:
    stepped = equipment("stepped", (((80, 40, 5), (0, 0, 0)), ((20, 40, 4), (80, 0, 1))), ((10, 10), (90, 10)), 3.4)
    with pytest.raises(InputFault, match=r"mounting hole 1 and mounting hole 2 of 'stepped', 8 and 9 mm above"):
        mounted(8, what=stepped)


def test_where_the_plate_is_cut_away_or_ends() -> None:
    x, y = BOARD_HOLES[1]
    with pytest.raises(InputFault, match=r"stand-off 2 at .* of 'plate', where it is cut away"):
        mounted(features=(CutOut(rectangle(20, 20, (50 + x, 50 + y)), name="window"),))
    d = Desk("small plate")
    p = plate(d, "plate", 200, 160, (0, 0, 0))
    d.join(StandOffMount(d.place(board(), at=(20, 0, 6)), p))  # holes at y 165
    with pytest.raises(InputFault, match=r"stand-off 3 .* leaves the top of 'plate'"):
        frozen(d)


def test_only_equipment_on_plates_with_bare_faces() -> None:
    d = Desk("wrong")
    r, p = rail(d, "rail", 200, (0, 0, 8)), plate(d, "plate", 300, 300, (0, 0, 0))
    d.join(StandOffMount(r, p))
    with pytest.raises(InputFault, match="'rail' on stand-offs"):
        frozen(d)
    d = Desk("wrong")
    d.join(StandOffMount(d.place(board(), at=(0, 0, 66.5)), rail(d, "rail", 200, (0, 0, 0))))
    with pytest.raises(InputFault, match="stand-offs on 'rail'"):
        frozen(d)
    d = Desk("veneer")
    p = plate(d, "plate", 300, 300, (0, 0, 0), veneer=Veneer("ash veneer", 0.6, "top"))
    d.join(StandOffMount(d.place(board(), at=(50, 50, 1.5 + 0.6 + 6.5 - 2)), p))
    with pytest.raises(InputFault, match="veneered top"):
        frozen(d)
