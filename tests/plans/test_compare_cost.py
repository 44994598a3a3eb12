"""Cost of two desks: sums by hand; what is unknown stays unknown and is counted; a list read back is the list written."""

from __future__ import annotations

from dataclasses import replace

import pytest

from deskmodel import Bond, Desk, DowelJoint
from deskmodel.cli.compare_text import comparison_text
from deskmodel.cli.text import Style
from deskmodel.errors import InputFault
from deskmodel.exporters import ExportJob
from deskmodel.exporters.shopping_csv import NAME, export_shopping_csv
from deskmodel.model import DeskModel, revision
from deskmodel.plans.compare import Comparison, Side, compare_desks
from deskmodel.plans.compare_cost import CostCompared, CostSide, cost_in_table, cost_with
from deskmodel.plans.compare_record import compare_record
from deskmodel.stock import Glue, Pack, Service, Stock, Timber, default_stock
from tests.desks.build import frozen, plate, rail

BAR = Timber("bar", "ash", 1000, 65, 25, None, 12.0, False)
STOCK = Stock("test", "EUR", (BAR,), (), (Pack("dowel 8 × 40", 50, 4.5),), (Service("steel", 1.5, 100.0, 0.0, 5.0),),
              (Glue("elastic", 0.75, 0.4, None), Glue("PVAc", 0.2, 0.5, 8.0)))
# Figures by hand, rail of 60 × 22 from bars of 65 × 25 × 1000 at 12 each:
# old: rails 500 and 300 go into one bar                         12.00
#      a plate of 500 × 322 mm: 0.161 m² × 100 + 5               21.10
#      2 dowels of a pack of 50                                   4.50
#      PVAc in the dowel joint, one bottle                        8.00   together 45.60; elastic glue has no price
OLD = 45.60
# new: rails 900 and 300 need two bars                           24.00
#      a plate of 900 × 322 mm: 0.2898 m² × 100 + 5 = 33.98      33.98
#      dowels and PVAc as before                                 12.50   together 70.48
NEW = 70.48


def angle(length: float) -> DeskModel:
    d = Desk("angle")
    front = rail(d, "front", length, (0, 0, 0))
    end = rail(d, "end", 300, (0, 22, 0), "y")
    d.join(DowelJoint(end, front))
    top = plate(d, "top", length, 322, (0, 0, 60.5), 1.5, "steel")
    d.join(Bond(top, [front, end], glue="elastic", thickness=0.5))
    return frozen(d)


def compared(old: CostSide, new: CostSide) -> Comparison:
    return compare_desks(Side("old", angle(500), unchecked="no", cost=old),
                         Side("new", angle(900), unchecked="no", cost=new))


def said(made: Comparison) -> str:
    """The row about cost, as one line."""
    text = comparison_text(made, Style(width=120))
    return " ".join(text[text.index("\ncost ") :].split())


def test_sums_by_hand() -> None:
    old, new = cost_with(angle(500), STOCK), cost_with(angle(900), STOCK)
    assert old == CostSide(OLD, "EUR", 4, 1)
    assert new == CostSide(NEW, "EUR", 4, 1)
    made = compared(old, new)
    assert made.cost.difference == 24.88
    assert said(made) == ("cost 45.60 EUR for 4 lines with a price, 1 without → 70.48 EUR for 4 lines with a price, 1 "
                          "without (+24.88 EUR of what has a price)")
    assert compare_record(made)["cost"] == {
        "compared": True, "why_not": None, "difference": 24.88,
        "old": {"known": 45.6, "currency": "EUR", "lines_with_price": 4, "lines_without_price": 1},
        "new": {"known": 70.48, "currency": "EUR", "lines_with_price": 4, "lines_without_price": 1}}


def test_a_list_that_was_written_is_read_as_it_was_meant() -> None:
    model = angle(500)
    job = ExportJob(model, (), 0, None, {}, {}, stock=STOCK)
    text = export_shopping_csv(job).files[NAME].decode("utf-8")
    assert "bush" in text  # for the jigs; no part of the desk, and not counted
    assert cost_in_table(text, revision(model)) == CostSide(OLD, "EUR", 4, 1) == cost_with(model, STOCK)
    unreleased = export_shopping_csv(replace(job, unreleased="1 finding")).files[NAME].decode("utf-8")
    assert cost_in_table(unreleased, revision(model)).known == OLD
    other = cost_in_table(text, revision(angle(900)))
    assert (other.known, other.why) == (None, "its shopping list speaks of another revision than its model.json")


@pytest.mark.parametrize(("text", "told"), [
    ("", "not a shopping list"), ("a,b\n1,2\n", "not a shopping list"),
    ("section,item,price,currency,number of parts,made from\nhardware,x,12\n", "row 2 has 3 cells"),
    ('section,item,price,currency,number of parts,made from\nglue,x,cheap,EUR,1,"revision r, stock list s"\n', "'cheap'"),
    ('section,item,price,currency,number of parts,made from\nglue,x,1,EUR,many,"revision r, stock list s"\n', "'many'"),
    ('section,item,price,currency,number of parts,made from\nglue,x,1,EUR,1,"revision r, s"\n'
     'glue,y,1,CHF,1,"revision r, s"\n', "CHF, EUR")])
def test_what_is_no_list_is_refused(text: str, told: str) -> None:
    with pytest.raises(InputFault, match=told):
        cost_in_table(text, "r")


def test_unknown_stays_unknown() -> None:
    model = angle(500)
    assert cost_with(model, default_stock()) == CostSide(why="no stock list beside its script states a price")
    little = Stock("test", "EUR", (BAR,), packs=(Pack("dowel 6 × 30", 50, 4.5),))
    assert cost_with(model, little).unpriced == 4  # plate, dowels, two glues: only the bar has a price
    useless = Stock("test", "EUR", packs=(Pack("dowel 6 × 30", 50, 4.5),))
    none = cost_with(model, useless)
    assert (none.known, none.why) == (None, "none of the 6 lines of its shopping list has a price")  # each rail a line
    made = compared(none, cost_with(angle(900), STOCK))
    assert made.cost.difference is None
    assert said(made) == ("cost not compared: old: none of the 6 lines of its shopping list has a price; new: 70.48 EUR for "
                          "4 lines with a price, 1 without")
    record = compare_record(made)["cost"]
    assert isinstance(record, dict)
    assert (record["compared"], record["difference"], record["old"]["known"]) == (False, None, None)


def test_two_currencies_are_not_compared() -> None:
    cost = CostCompared(CostSide(10.0, "EUR", 1, 0), CostSide(12.0, "CHF", 1, 0))
    assert (cost.difference, cost.why_not) == (None, "the prices are in EUR and in CHF")


def test_what_lies_there_costs_nothing_and_that_is_known() -> None:
    own = replace(STOCK, timber=(replace(BAR, price=None, on_hand=True, count=2),))
    # both rails of 500 and 300 from one own bar: 45.60 less 12
    assert cost_with(angle(500), own) == CostSide(33.60, "EUR", 4, 1)


def test_prices_make_no_desk_different() -> None:
    model = angle(500)
    made = compare_desks(Side("a", model, unchecked="no", cost=CostSide(1.0, "EUR", 1, 0)),
                         Side("b", model, unchecked="no", cost=CostSide(2.0, "EUR", 1, 0)))
    assert made.equal
