"""What two desks cost, as far as prices are known: sums of shopping lists, and how many lines are in neither sum.

A script's prices come from the stock list beside it, those of an export folder from the shopping list that was written then:
prices of today would not be what was paid. A model.json holds none. Bushes and filament for jigs become no part of the desk
and have no price in any list; they are not counted.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass

from deskmodel.errors import InputFault
from deskmodel.model import DeskModel
from deskmodel.plans.shopping import SECTIONS, ShoppingList, shopping_list
from deskmodel.plans.stock_layout import stock_layout
from deskmodel.stock import Stock

__all__ = ["CostCompared", "CostSide", "cost_in_table", "cost_of_list", "cost_with"]

_ADDED = (SECTIONS[3], SECTIONS[5])  # sections in which a line without parts is there for jigs
_NEEDED = ("section", "item", "price", "currency", "number of parts", "made from")


@dataclass(frozen=True, slots=True)
class CostSide:
    """``known``: the sum of ``priced`` lines, in ``currency``; ``unpriced`` lines are not in it. None: ``why`` there is no
    sum."""

    known: float | None = None
    currency: str = ""
    priced: int = 0
    unpriced: int = 0
    why: str | None = None


@dataclass(frozen=True, slots=True)
class CostCompared:
    old: CostSide
    new: CostSide

    @property
    def why_not(self) -> str | None:
        """Why the two are not compared."""
        missing = "; ".join(f"{which}: {side.why}" for which, side in (("old", self.old), ("new", self.new))
                            if side.known is None)
        if missing:
            return missing
        if self.old.currency != self.new.currency:
            return f"the prices are in {self.old.currency} and in {self.new.currency}"
        return None

    @property
    def difference(self) -> float | None:
        """Of the two sums, new less old; None where they are not compared."""
        if self.why_not is not None or self.old.known is None or self.new.known is None:
            return None
        return round(self.new.known - self.old.known, 2)


def cost_with(model: DeskModel, stock: Stock) -> CostSide:
    """By a stock list. The layout, which takes a second or two, is made only where a price is stated."""
    if not stock.priced:
        return CostSide(why="no stock list beside its script states a price")
    return cost_of_list(shopping_list(model, stock, stock_layout(model, stock)))


def cost_of_list(found: ShoppingList) -> CostSide:
    return _side([(line.section, len(line.parts), line.price) for line in found.lines], found.currency)


def cost_in_table(text: str, revision: str | None) -> CostSide:
    """By a shopping list that ``make`` wrote for that revision. InputFault where the text is none."""
    rows = list(csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline="")))
    head = rows[0] if rows else []
    if any(name not in head for name in _NEEDED):
        raise InputFault("not a shopping list", allowed="what 'deskmodel make' writes")
    at = {name: head.index(name) for name in _NEEDED}
    found: list[tuple[str, int, float | None]] = []
    currencies: set[str] = set()
    for number, row in enumerate(rows[1:], 2):
        if len(row) != len(head):
            raise InputFault(f"row {number} has {len(row)} cells", allowed=f"{len(head)}, as its head")
        if revision is None or f"revision {revision}," not in row[at["made from"]]:
            return CostSide(why="its shopping list speaks of another revision than its model.json")
        if row[at["section"]] == "total":
            continue
        price, parts = row[at["price"]], row[at["number of parts"]]
        try:
            found.append((row[at["section"]], int(parts), None if price == "unknown" else float(price)))
        except ValueError:
            raise InputFault(f"row {number}: price {price!r}, {parts!r} parts",
                             allowed="a number or unknown, and a count") from None
        if price != "unknown":
            currencies.add(row[at["currency"]])
    if len(currencies) > 1:
        raise InputFault(f"prices in {', '.join(sorted(currencies))}", allowed="one currency")
    return _side(found, next(iter(currencies), ""))


def _side(lines: Iterable[tuple[str, int, float | None]], currency: str) -> CostSide:
    """Of (section, number of parts, price); each line rounded as it is written."""
    counted = [price for section, parts, price in lines if parts or section not in _ADDED]
    known = [round(price, 2) for price in counted if price is not None]
    if not known:
        return CostSide(unpriced=len(counted), why=f"none of the {len(counted)} lines of its shopping list has a price")
    return CostSide(round(sum(known), 2), currency, len(known), len(counted) - len(known))
