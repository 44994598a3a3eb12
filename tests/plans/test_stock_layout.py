"""The stock layout of whole desks: every rough piece once, sawable, thick enough, by an independent test of overlap."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from deskmodel import Desk
from deskmodel.model import DeskModel, read_json
from deskmodel.plans.cut_list import cut_list
from deskmodel.plans.stock_layout import StockLayout, stock_layout
from deskmodel.session.script import load_script
from deskmodel.stock import Sheet, Stock, Timber, default_stock, read_stock
from tests.desks.build import frozen, plate, rail
from tests.plans.overlap import Rect, faults, sawable

ROOT = Path(__file__).parent.parent.parent
ASH = Timber("board", "ash", 2030.0, 154.0, 27.0, None, None, False)
KERF = 3.2  # of the assumed workshop, which also takes 15 off each end and 5 off each edge


@cache
def duty(width: str = "1480") -> DeskModel:
    return read_json(load_script(ROOT / "parts" / "desk.py", texts={"width": width}).model)


def judged(model: DeskModel, layout: StockLayout) -> None:
    rows = {name: row for row in cut_list(model).rows for name in row.piece.names}
    laid: Counter[str] = Counter()
    missing: Counter[str] = Counter()
    for part in layout.parts:
        missing.update(name for name, _, _ in part.missing)
        assert part.bound <= part.used + 1e-9
        for raw in part.raws:
            goods, (end, edge) = raw.goods, raw.margin
            kerf = 0.0 if isinstance(goods, Sheet) and goods.kind == "leaf" else layout.kerf
            rects: list[Rect] = [(p.x - end, p.y - edge, p.length, p.width) for p in raw.pieces]
            assert faults(rects, (goods.length - 2 * end, goods.width - 2 * edge), kerf) == []
            assert sawable(rects, kerf)
            assert 0 <= raw.rest < 1
            for piece in raw.pieces:
                row = rows[piece.part]
                laid[piece.part] += 1 if not piece.stave else 0
                rough = sorted(row.rough[1:]) if piece.number[0] == "M" else [row.rough[2], row.rough[1]]
                if isinstance(goods, Timber):
                    assert piece.length == row.rough[0]
                    assert min(goods.thickness, goods.width) >= rough[0]
                elif not piece.stave:
                    assert sorted((piece.length, piece.width)) == sorted(row.rough[:2])
                    assert not piece.turned or row.grain == "either way"
                if piece.stave:
                    laid[piece.part] += 1 if piece.stave.startswith("1 of") else 0
    assert laid + missing == Counter(rows.keys())


@pytest.mark.parametrize("stock", [read_stock(ROOT / "parts" / "stock.toml"), default_stock()], ids=["its own", "assumed"])
def test_the_duty_desk_is_laid_out(stock: Stock) -> None:
    layout = stock_layout(duty(), stock)
    judged(duty(), layout)
    timber = next(part for part in layout.parts if part.material == "ash")
    assert timber.proved
    assert not any(part.missing for part in layout.parts)
    assert layout == stock_layout(duty(), stock)


def test_offcuts_on_hand_go_before_what_is_bought() -> None:
    d = Desk("two rails")
    rail(d, "a", 400, (0, 0, 0))
    rail(d, "b", 380, (0, 100, 0))
    bought = replace(ASH, length=470.0, width=80.0)
    offcut = replace(bought, count=1, on_hand=True)
    part, = stock_layout(frozen(d), Stock("test", "", (bought, offcut))).parts
    # rough 420 and 400 × 25 × 64: 440 × 70 of the offcut hold one of them, a board the other one
    assert {raw.goods: len(raw.pieces) for raw in part.raws} == {offcut: 1, bought: 1}
    assert part.used == pytest.approx(470 * 80 * 27e-9)
    # one board holds both, with the offcut or without: it is not cut up for nothing
    part, = stock_layout(frozen(d), Stock("test", "", (ASH, offcut))).parts
    assert {raw.goods: len(raw.pieces) for raw in part.raws} == {ASH: 2}
    longer = replace(offcut, length=853.2, count=1)  # 15 + 420 + 3.2 + 400 + 15
    part, = stock_layout(frozen(d), Stock("test", "", (ASH, longer))).parts
    assert [len(raw.pieces) for raw in part.raws] == [2]
    assert part.used == 0


def test_raw_ends_edges_and_kerf_are_counted() -> None:
    """2030 less two raw ends is 2000; 154 less two raw edges 144; two strips of 64 with a kerf are 131.2."""
    def boards(length: float) -> int:
        d = Desk("rails")
        for i in range(4):
            rail(d, f"rail {i}", length, (0, 40 * i, 0))
        part, = stock_layout(frozen(d), Stock("test", "", (ASH,))).parts
        judged(frozen(d), stock_layout(frozen(d), Stock("test", "", (ASH,))))
        assert part.proved
        return len(part.raws)

    assert boards(978) == 1  # rough 998: 998 + 3.2 + 998 = 1999.2
    assert boards(979) == 2  # 2 × 999 + 3.2 = 2001.2


def test_prices_decide_where_all_are_known_and_wood_where_one_is_not() -> None:
    d = Desk("rails")
    rail(d, "rail", 900, (0, 0, 0))
    large, small = replace(ASH, price=10.0), replace(ASH, length=1000.0, price=12.0)
    part, = stock_layout(frozen(d), Stock("test", "EUR", (large, small))).parts
    assert (part.aim, part.used, part.proved, part.raws[0].goods) == ("price", 10.0, True, large)
    part, = stock_layout(frozen(d), Stock("test", "EUR", (large, replace(small, price=None)))).parts
    assert (part.aim, part.raws[0].goods.length) == ("wood", 1000.0)
    assert part.used == pytest.approx(1000 * 154 * 27e-9)


def test_nothing_is_planed_from_far_too_thick_boards_and_what_has_no_stock_is_told() -> None:
    d = Desk("rails")
    rail(d, "rail", 900, (0, 0, 0))
    rail(d, "long", 2500, (0, 100, 0))
    thick = replace(ASH, thickness=65.0)
    part, = stock_layout(frozen(d), Stock("test", "", (ASH, replace(thick, on_hand=True, count=1)))).parts
    assert [raw.goods for raw in part.raws] == [ASH]  # 65 for 25, although it lies there
    assert part.missing == (("long", 1, "2520 × 64 × 25"),)
    assert not part.proved
    part, = stock_layout(frozen(d), Stock("test", "", (thick,))).parts
    assert [raw.goods for raw in part.raws] == [thick]  # there is no other
    assert stock_layout(frozen(d), Stock("test", "", ())).parts[0].raws == ()


def test_wide_leaves_are_joined_from_strips_and_ply_with_grain_is_not_turned() -> None:
    from deskmodel import Veneer
    d = Desk("plates")
    plate(d, "top", 600, 400, (0, 0, 0), 1.5, "aluminium", veneer=Veneer("ash veneer", 0.6))
    plate(d, "panel", 300, 700, (0, 0, 100), 6, "birch ply")
    leaf = Sheet("leaf", "ash veneer", None, 2500, 180, True, None, None, False)
    ply = Sheet("sheet", "birch ply", 6, 1000, 500, False, None, None, False)
    layout = stock_layout(frozen(d), Stock("test", "", (), (leaf, ply)))
    judged(frozen(d), layout)
    by_name = {part.material: part for part in layout.parts}
    staves = [piece for raw in by_name["ash veneer 0.6 mm"].raws for piece in raw.pieces]
    # 400 + 2 × 10 of overhang = 420 from leaves 180 wide: three strips, 140 each and 2 to shoot
    assert [(p.stave, p.length, p.width) for p in sorted(staves, key=lambda p: p.stave)] == [
        (f"{i} of 3", 620, 142) for i in (1, 2, 3)]
    assert by_name["birch ply 6 mm"].raws[0].pieces[0].turned
    grained = stock_layout(frozen(d), Stock("test", "", (), (leaf, replace(ply, grain=True))))
    assert {part.material: len(part.missing) for part in grained.parts} == {"ash veneer 0.6 mm": 0, "birch ply 6 mm": 1}
