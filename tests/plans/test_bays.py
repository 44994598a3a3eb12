"""The bay table against sizes worked out by hand, in the comments."""

from __future__ import annotations

import pytest

from deskmodel import Component, Cover, CutOut, Desk, Flange, Plate, rectangle
from deskmodel.component._part import box_prism
from deskmodel.faces import placed_box
from deskmodel.model import freeze
from deskmodel.plans import BayRow, bay_rows
from tests.desks.build import frozen, plate, rail
from tests.desks.many_bays import BAYS, EQUIPMENT, many_bays


def box(d: Desk, name: str, size: tuple[float, float, float], at: tuple[float, float, float]) -> None:
    d.place(Component(name, "none", "invented", (box_prism(size, (0, 0, 0)),), mass=1.0), at=at)


def framed(**bay: tuple[float, float]) -> Desk:
    """Members 60 high on a plate of 1.5, x 22 to 222 and y 22 to 172 between them."""
    d = Desk("bay")
    plate(d, "under", 244, 194, (0, 0, -1.5))
    rail(d, "front", 244, (0, 0, 0))
    rail(d, "back", 244, (0, 172, 0))
    rail(d, "left", 150, (0, 22, 0), "y")
    rail(d, "right", 150, (222, 22, 0), "y")
    d.bay("B", x=bay.get("x", (22, 222)), y=bay.get("y", (22, 172)))
    return d


def row(d: Desk) -> BayRow:
    return bay_rows(frozen(d))[0]


def test_clear_size_under_a_cover() -> None:
    d = framed()
    d.place(Cover("lid", (220, 170)), at=(12, 12, 60.5))
    # ceiling: 60.5 less 0.15 of glue less 6 of ply
    assert row(d).clear == pytest.approx((200, 150, 54.35))
    assert (row(d).floor_part, row(d).ceiling_part) == ("under", "lid backing")


def test_members_are_measured_not_what_the_script_says() -> None:
    assert row(framed(x=(20, 225), y=(30, 170))).clear[:2] == (200, 150)


def test_a_side_or_a_ceiling_that_is_not_there() -> None:
    d = Desk("open")
    rail(d, "left", 150, (0, 22, 0), "y")
    d.bay("B", x=(22, 222), y=(22, 172))
    assert row(d).clear == (None, None, None)
    assert [wall.at for wall in row(d).walls] == [22, None, None, None]
    nothing = Desk("nothing")
    nothing.bay("B", x=(0, 1), y=(0, 1))
    assert row(nothing).clear == (None, None, None)


@pytest.mark.parametrize(("opening", "ceiling"), [
    (None, 60.0), (rectangle(200, 150, (22, 22)), None), (rectangle(230, 180, (7, 7)), None),
    (rectangle(199, 150, (22, 22)), 60.0),  # a lip of 1 mm is in the way
])
def test_a_top_plate_that_is_open_over_the_whole_bay_is_no_ceiling(opening: object, ceiling: float | None) -> None:
    d = framed()
    features = (CutOut(opening),) if opening else ()
    d.place(Plate("top", rectangle(244, 194), 1.5, "steel", features), at=(0, 0, 60))
    assert row(d).ceiling == ceiling
    over = framed()  # turned over: the opening is where it was, mirrored about the middle of y
    over.place(Plate("top", rectangle(244, 194), 1.5, "steel", features), at=(0, 0, 60), turn=180)
    assert row(over).ceiling == ceiling


def test_a_rail_across_the_bay_above_the_equipment_is_the_ceiling() -> None:
    d = framed()
    plate(d, "top", 244, 194, (0, 0, 60))
    rail(d, "bridge", 200, (22, 80, 45), section=(22, 15))
    assert row(d).ceiling == 45
    assert row(d).ceiling_part == "bridge"
    assert row(d).clear == (200, 150, 45)


def test_a_leg_far_below_changes_nothing() -> None:
    d = framed()
    plate(d, "top", 244, 194, (0, 0, 60))
    rail(d, "stretcher", 244, (0, 90, -400))
    rail(d, "leg", 600, (30, 30, -601.5), "z")
    assert (row(d).floor, row(d).ceiling) == (0, 60)
    assert row(d).blocks == ()


def test_a_bent_plate_is_a_floor_and_its_flange_a_wall() -> None:
    """A tray of 2 with a flange 40 high at its right side, whose outside stands at x 222; members on the other sides."""
    d = Desk("tray")
    d.place(Plate("tray", rectangle(222, 194), 2, "steel", flanges=(Flange("right", 40, radius=2),)), at=(0, 0, -2))
    rail(d, "front", 222, (0, 0, 0), section=(22, 30))
    rail(d, "back", 222, (0, 172, 0), section=(22, 30))
    rail(d, "left", 150, (0, 22, 0), "y", section=(22, 30))
    d.bay("B", x=(22, 220), y=(22, 172))
    found = row(d)
    assert found.floor == pytest.approx(0)
    assert found.floor_part == "tray"
    right = found.walls[1]
    assert (right.at, right.parts) == (pytest.approx(220), ("tray",))
    assert found.clear[:2] == pytest.approx((198, 150))


def test_what_is_in_it_and_the_room_left() -> None:
    d = framed()
    plate(d, "top", 244, 194, (0, 0, 60))
    box(d, "a", (50, 40, 30), (32, 30, 5))
    box(d, "b", (60, 50, 20), (150, 100, 0))
    box(d, "below", (60, 50, 20), (150, 100, -30))
    box(d, "beside", (60, 50, 20), (222, 100, 0))  # behind the right member's face: not in the bay
    found = row(d)
    assert found.equipment == ("a", "b")
    # left 32 - 22; right 222 - (150 + 60); front 30 - 22; back 172 - (100 + 50); below 0; above 60 - (5 + 30)
    assert found.room == {"x0": 10, "x1": 12, "y0": 8, "y1": 22, "z0": 0, "z1": 25}


def test_what_goes_through_a_wall_does_not_hide_the_room_of_the_others() -> None:
    d = framed()
    box(d, "connector", (40, 10, 10), (0, 60, 20))  # through the left member into the bay
    box(d, "a", (50, 40, 30), (60, 30, 5))
    assert row(d).equipment == ("a", "connector")
    assert row(d).room["x0"] == 60 - 22


def test_a_component_in_two_bays_is_named_in_both() -> None:
    d = framed(x=(22, 222))
    rail(d, "far", 150, (444, 22, 0), "y")
    rail(d, "far front", 222, (244, 0, 0))
    rail(d, "far back", 222, (244, 172, 0))
    d.bay("C", x=(244, 444), y=(22, 172))
    plate(d, "top", 466, 194, (0, 0, 60))
    box(d, "long", (100, 20, 20), (200, 50, 10))
    first, second = bay_rows(frozen(d))
    assert first.equipment == second.equipment == ("long",)
    assert first.room["x1"] == 222 - 300  # it reaches 78 out of the bay
    assert second.room["x0"] == 200 - 244


def test_a_leg_block_is_in_the_bay_and_no_wall() -> None:
    d = framed()
    rail(d, "block", 80, (22, 22, 0), section=(80, 60))
    found = row(d)
    assert found.blocks == ("block",)
    assert found.clear[:2] == (200, 150)
    assert found.room == {}  # no equipment


def test_seventeen_bays_as_they_are_stated() -> None:
    model = freeze(many_bays())[0]
    rows = {each.bay.name: each for each in bay_rows(model)}
    assert set(rows) == set(BAYS)
    for name, ((x0, x1), (y0, y1)) in BAYS.items():
        # floor: the under-plate's 1.5; ceiling: 62 less 0.15 of glue and 6 of ply
        assert rows[name].clear == pytest.approx((x1 - x0, y1 - y0, 62 - 6.15 - 1.5))
        assert all(wall.off == 0 for wall in rows[name].walls)
        inside = {title for title, _, at in EQUIPMENT if x0 <= at[0] < x1 and y0 <= at[1] < y1}
        assert set(rows[name].equipment) == inside
    assert rows["A4"].blocks == ("leg block back left",)
    # the board stands at 281 to 451 in 274 to 458, at 211 to 381 in 202 to 390, at 8 to 52 in 1.5 to 55.85
    assert rows["B2"].room == pytest.approx({"x0": 7, "x1": 7, "y0": 9, "y1": 9, "z0": 6.5, "z1": 3.85})


def test_wherever_the_desk_stands_and_however_it_is_turned_round() -> None:
    """Turned by half a turn about z: left becomes right, front becomes back."""
    d, turned = framed(), Desk("turned")
    box(d, "a", (50, 40, 30), (32, 30, 5))
    for placed in d.parts.values():
        (x0, y0, z0), (x1, y1, _) = placed_box(placed)
        along = "-x" if x1 - x0 > y1 - y0 else "-y"
        if placed.role == "component":
            along = "-x"
        turned.place(placed.part, at=(244 - x1, 194 - y1, z0), along=along)
    turned.bay("B", x=(22, 222), y=(22, 172))
    first, second = row(d), row(turned)
    assert (second.clear, second.floor, second.ceiling) == (first.clear, first.floor, first.ceiling)
    swapped = {"x0": "x1", "x1": "x0", "y0": "y1", "y1": "y0"}
    assert second.room == pytest.approx({swapped.get(side, side): mm for side, mm in first.room.items()})
    assert first.room
