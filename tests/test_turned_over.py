"""Turned over: against brute force over all mirror lines; and witness holes that tell the faces apart."""

from __future__ import annotations

import math
from random import Random

import pytest

from deskmodel import (
    Cover,
    CutOut,
    Desk,
    Finish,
    Flange,
    Hole,
    InsertFixing,
    Member,
    Plate,
    Veneer,
    VentField,
    circle,
    polygon,
    rectangle,
)
from deskmodel._witness import WITNESS
from deskmodel.cutting import cut_sheet
from deskmodel.errors import InputFault
from deskmodel.model import freeze, read_json, write_json
from deskmodel.plans import cut_plates
from deskmodel.turned_over import UNNOTICED, turned_over


def brute(outline: list[tuple[float, float]], holes: list[tuple[float, float, float]], middle: tuple[float, float]) -> float:
    """The least, over those of 3600 lines that bring the outline back upon itself, of the farthest that a hole lies from its
    nearest like, turned over."""
    best = math.inf
    for i in range(3600):
        a = math.radians(i * 0.05)
        c, s = math.cos(2 * a), math.sin(2 * a)

        def over(p: tuple[float, ...], c: float = c, s: float = s) -> tuple[float, float]:
            x, y = p[0] - middle[0], p[1] - middle[1]
            return middle[0] + c * x + s * y, middle[1] + s * x - c * y

        worst = 0.0 if max(min(math.dist(over(p), q) for q in outline) for p in outline) < 1e-6 else math.inf
        for hole in holes:
            worst = max(worst, min(math.dist(over(hole), q[:2]) + abs(hole[2] - q[2]) / 2 for q in holes))
        best = min(best, worst)
    return best


@pytest.mark.parametrize("seed", range(8))
def test_against_all_lines(seed: int) -> None:
    rng = Random(seed)
    x, y = (60, 60) if rng.random() < 0.3 else (100, 60)
    holes = []
    for _ in range(rng.randint(1, 3)):
        u, v, d = rng.uniform(5, x - 5), rng.uniform(5, y - 5), rng.choice([4, 5])
        holes += [(u, v, d), (x - u + rng.choice([0, 0.5, 1.5, 3]), v, d)]
    corners = [(0, 0), (x, 0), (x, y), (0, y)]
    plate = Plate("p", rectangle(x, y), 1.5, "steel", tuple(Hole("top", hole[:2], hole[2]) for hole in holes))
    found = turned_over(cut_sheet(plate, "top"))
    least = brute(corners, holes, (x / 2, y / 2))
    assert (found.off if found else UNNOTICED) == pytest.approx(min(least, UNNOTICED), abs=0.01)


def test_it_does_not_matter_how_it_lies() -> None:
    for degrees in (0, 17, 90, 200):
        outline = rectangle(100, 60).turned(degrees)
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        holes = tuple(Hole("top", (c * x - s * y, s * x + c * y), 5) for x, y in ((20, 15), (81, 15)))
        for seen in ("top", "bottom"):
            found = turned_over(cut_sheet(Plate("p", outline, 1.5, "steel", holes), seen))
            assert found.off == pytest.approx(1)


# ---- witness holes

def holed(plate: Plate, *more: object) -> tuple[Hole, object]:
    d = Desk("d")
    d.place(plate, at=(0, 0, 0))
    model = freeze(d)[0]
    assert read_json(write_json(model)) == model
    part = model.part(plate.name).part
    (hole,) = (f for f in part.features if f.name == WITNESS)
    return hole, model


PLATES = {
    "box": Plate("p", rectangle(200, 100), 1.5, "steel", witness=True),
    "square": Plate("p", rectangle(100, 100), 1.5, "steel", witness=True),
    "hole where it would be": Plate("p", rectangle(100, 100), 1.5, "steel", (Hole("top", (9, 4.5), 5),), witness=True),
    "vents all over": Plate("p", rectangle(100, 60), 1.5, "steel", (VentField((10, 10), 10, 5),), witness=True),
    "thick": Plate("p", rectangle(100, 100), 6, "steel", witness=True),
    "triangle": Plate("p", polygon([(0, 0), (60, 0), (30, 52)]), 1.5, "steel", witness=True),
    "disc with holes": Plate("p", circle(60), 1.5, "steel", (Hole("top", (20, 0), 5), Hole("top", (-20, 0), 5)),
                             witness=True),
    "bent": Plate("p", rectangle(60, 40), 1.5, "steel", flanges=(Flange("back", 20), Flange("front", 20)), witness=True),
    "notched": Plate("p", rectangle(100, 60), 1.5, "steel", (CutOut(rectangle(20, 10)),), witness=True),
    "veneered": Plate("p", rectangle(100, 60), 1.5, "aluminium", veneer=Veneer("ash veneer", 0.6), witness=True),
    "seen below": Plate("p", rectangle(100, 60), 1.5, "steel", finish=Finish("bottom"), witness=True),
}


@pytest.mark.parametrize("name", PLATES)
def test_it_is_free_and_tells_the_faces_apart(name: str) -> None:
    hole, model = holed(PLATES[name])
    (plate,) = cut_plates(model)
    sheet = plate.sheet
    assert turned_over(sheet) is None
    (own,) = (cut for cut in sheet.cuts if cut.name == WITNESS)
    (x, y), radius = own.outline.as_circle
    assert radius == max(3, sheet.thickness) / 2
    edge, web = max(3, 1.5 * sheet.thickness), max(3, 2 * sheet.thickness)
    assert sheet.outline.contains((x, y))
    assert sheet.outline.distance((x, y)) - radius >= edge - 1e-3
    assert all(cut.outline.distance((x, y)) - radius >= web - 1e-3 for cut in sheet.cuts if cut is not own)
    for bend in sheet.bends:
        assert abs(y - bend.start[1]) - radius >= 2 * 1.5 + 1.5 - 1e-3
    assert hole.depth is None
    if name in ("box", "square", "veneered", "seen below"):
        assert (x, y) == (9, 4.5)  # twice as far along as up, from the lower left corner of its drawing


def test_the_veneer_stays_whole_over_it() -> None:
    _, model = holed(PLATES["veneered"])
    assert model.part("p veneer").part.features == ()


def test_a_cover_hands_finish_and_witness_to_its_plate() -> None:
    d = Desk("d")
    d.place(Cover("lid", (120, 80), finish=Finish(brushed="x"), witness=True), at=(0, 0, 50))
    model = freeze(d)[0]
    assert [f.name for f in model.part("lid").part.features] == [WITNESS]
    assert model.part("lid").part.finish == Finish(brushed="x")
    assert model.part("lid backing").part.features == ()


def test_it_keeps_clear_of_screws_that_joints_put_in() -> None:
    d = Desk("d")
    rail = d.place(Member("rail", (22, 60), 200, "ash"), at=(0, 0, 1.5))
    plate = d.place(Plate("plate", rectangle(200, 22), 1.5, "steel", witness=True), at=(0, 0, 0))
    d.join(InsertFixing(plate, rail, screw="ISO 10642 M4x12", at=(60, 140)))
    model = freeze(d)[0]
    (each,) = cut_plates(model)
    own = next(cut for cut in each.sheet.cuts if cut.name == WITNESS)
    (x, y), radius = own.outline.as_circle
    assert each.sheet.seen == "bottom"
    for work in each.sheet.works:
        assert math.dist((x, y), work.at) - radius - work.wide / 2 >= 3 - 1e-3
    assert {f.purpose for f in model.part("rail").part.features} == {"insert"}  # nothing of it in the wood


def test_where_there_is_no_place_the_plate_is_told_at_its_line() -> None:
    for plate in (Plate("disc", circle(60), 1.5, "steel", witness=True),  # one hole leaves it its own mirror image
                  Plate("strip", rectangle(100, 8), 1.5, "steel", witness=True)):
        d = Desk("d")
        d.place(plate, at=(0, 0, 0))
        with pytest.raises(InputFault, match="witness hole") as caught:
            freeze(d)
        assert plate.name in caught.value.problem
        assert caught.value.line
    with pytest.raises(InputFault, match="witness"):
        Plate("p", rectangle(10, 10), 2, "PETG", printed=True, witness=True)
    with pytest.raises(InputFault, match="witness"):
        Plate("p", rectangle(10, 10), 2, "steel", witness="yes")
