"""The shopping list: each part once, figures by hand, prices only where the list has them."""

from __future__ import annotations

import math
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from deskmodel import Bond, CutOut, Desk, DowelJoint, Hole, Plate, VentField, circle, rectangle
from deskmodel.model import DeskModel, read_json
from deskmodel.plans import cut_list
from deskmodel.plans.pieces import family_of
from deskmodel.plans.shopping import SECTIONS, ShoppingLine, ShoppingList, cut_length, shopping_list
from deskmodel.plans.stock_layout import stock_layout
from deskmodel.session.script import load_script
from deskmodel.stock import Filament, Glue, Pack, Service, Sheet, Stock, Timber, default_stock, read_stock
from tests.desks.build import frozen, plate, rail
from tests.desks.small import small_desk

ROOT = Path(__file__).parent.parent.parent


@cache
def duty() -> DeskModel:
    return read_json(load_script(ROOT / "parts" / "desk.py").model)


def bought(model: DeskModel, stock: Stock, **more: object) -> ShoppingList:
    return shopping_list(model, stock, stock_layout(model, stock), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("which", ["duty desk", "small desk", "nothing in stock"])
def test_each_part_is_bought_once_and_what_is_cut_is_in_the_cut_list(which: str) -> None:
    model = duty() if which == "duty desk" else frozen(small_desk())
    stock = default_stock() if which == "small desk" else read_stock(ROOT / "parts" / "stock.toml")
    if which == "nothing in stock":
        stock = Stock("test", "")
    lines = bought(model, stock).lines
    parts = Counter(name for line in lines for name in line.parts)
    assert parts == Counter(placed.name for placed in model.parts)
    cut = {name for row in cut_list(model).rows for name in row.piece.names}
    own = {name for line in lines if line.section in SECTIONS[:2] for name in line.parts}
    assert own == cut == {placed.name for placed in model.parts if family_of(placed) in ("M", "S", "V")}
    counted = {line.item: line.quantity for line in lines if line.section == "hardware"}
    held = Counter(getattr(placed.part, "designation", "") for placed in model.parts if placed.role == "hardware")
    for item, count in held.items():
        if not item.startswith("butt hinge"):
            assert counted[item] == count


def test_figures_by_hand() -> None:
    d = Desk("by hand")
    front = rail(d, "front", 500, (0, 0, 0))
    end = rail(d, "end", 300, (0, 22, 0), "y")
    d.join(DowelJoint(end, front))
    top = plate(d, "top", 500, 322, (0, 0, 60.5), 1.5, "steel",
                features=(CutOut(rectangle(100, 50, (200, 100))), Hole("top", (450, 300), 20),
                          VentField((100, 250), 4, 2, 8, 5)))
    d.join(Bond(top, [front, end], glue="elastic", thickness=0.5))
    d.place(Plate("foot", rectangle(40, 20), 10, "PETG", printed=True), at=(700, 0, 0))
    stock = Stock("test", "EUR", (Timber("board", "ash", 2500, 180, 27, None, 30.0, False),), (),
                  (Pack("dowel 8 × 40", 50, 4.5),), (Service("steel", 1.5, 100.0, 2.0, 5.0),),
                  (Glue("elastic", 0.75, 0.4, 13.0), Glue("PVAc", 0.2, 0.5, None)), (Filament("PETG", 1.0, 25.0),))
    found = bought(frozen(d), stock)
    by_item = {line.item: line for line in found.lines}
    board = by_item["board ash 2500 × 180 × 27"]
    assert (board.quantity, board.price, board.parts) == (1, 30.0, ("front", "end"))
    steel = next(line for line in found.lines if line.section == "plates cut to order")
    # cut: 2 (500 + 322) + 2 (100 + 50) + π 20 + 8 π 5 = 2132.5 mm; price 0.161 m² × 100 + 2.1325 m × 2 + 5
    cut = 1644 + 300 + math.pi * 20 + 8 * math.pi * 5
    assert steel.detail == f"0.161 m² and {cut / 1000:.2f} m of cut each"
    assert steel.price == pytest.approx(16.1 + 2 * cut / 1000 + 5, abs=0.006)
    dowels = by_item["dowel 8 × 40"]
    assert (dowels.quantity, dowels.packs, dowels.price) == (2, (1, 50), 4.5)
    # elastic: 22 × (500 + 300) mm; PVAc in the dowel joint: 22 × 60
    assert by_item["elastic glue"].quantity == pytest.approx(22 * 800e-6 * 0.75)
    assert by_item["PVAc glue"].quantity == pytest.approx(22 * 60e-6 * 0.2)
    assert by_item["PVAc glue"].price is None
    # 40 × 20 × 10 mm³ of PETG at 1270 kg/m³: 10.16 g
    assert by_item["PETG filament"].quantity == pytest.approx(8000e-9 * 1270)
    assert by_item["PETG filament"].packs == (1, 1.0)
    assert found.known == pytest.approx(30 + steel.price + 4.5 + 13 + 25)
    assert [line.item for line in found.unknown] == ["PVAc glue"]


def test_without_prices_everything_is_unknown_and_nothing_is_added_up() -> None:
    found = bought(duty(), default_stock())
    assert found.known == 0
    assert len(found.unknown) == len(found.lines)
    assert found.currency == ""


def test_what_lies_there_costs_nothing_and_thin_sheets_are_not_taken_for_thick_ones() -> None:
    d = Desk("ply")
    plate(d, "panel", 300, 200, (0, 0, 0), 6, "birch ply")
    ply = Sheet("sheet", "birch ply", 6, 400, 300, False, 1, None, True)
    line, = bought(frozen(d), Stock("test", "EUR", (), (ply,))).lines
    assert (line.item, line.price, line.parts) == ("offcut sheet birch ply 400 × 300 × 6", 0.0, ("panel",))
    thin = Sheet("sheet", "birch ply", 4, 400, 300, False, None, 9.0, False)
    line, = bought(frozen(d), Stock("test", "EUR", (), (thin,))).lines
    assert (line.price, line.detail) == (None, "nothing in the stock list holds it")


def test_others_may_add_lines_and_measured_volumes() -> None:
    more = [ShoppingLine("hardware", "bush 8 × 12 × 16", 4, "pieces", price=6.0, source="jigs")]
    found = bought(frozen(small_desk()), default_stock(), more=more)
    assert found.lines[[line.item for line in found.lines].index("bush 8 × 12 × 16")].section == "hardware"
    assert found.known == 6.0
    sections = [line.section for line in found.lines]
    assert sections == sorted(sections, key=SECTIONS.index)


def test_the_length_of_cut_follows_arcs() -> None:
    part = Plate("p", rectangle(100, 60, radius=10), 2, "steel", (CutOut(circle(30, (50, 30))),))
    # outline: 2 × 80 + 2 × 40 + a circle of radius 10
    assert cut_length(part) == pytest.approx(240 + 2 * math.pi * 10 + math.pi * 30)
