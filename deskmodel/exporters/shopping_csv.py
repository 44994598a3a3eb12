"""``documents/shopping-list.csv``: a row for each thing to buy, totals of what is known below."""

from __future__ import annotations

from deskmodel.exporters._csv import Cell
from deskmodel.exporters._job import ExportJob, Written, stock_stamp
from deskmodel.exporters._tables import written_table
from deskmodel.plans.shopping import ShoppingLine

__all__ = ["export_shopping_csv"]

NAME = "documents/shopping-list.csv"
_HEAD = ("section", "item", "quantity", "unit", "packs to buy", "in a pack", "price", "currency", "detail", "source",
         "number of parts", "parts", "made from")


def export_shopping_csv(job: ExportJob) -> Written:
    found = job.shopping
    currency = found.currency
    rows: list[tuple[Cell, ...]] = [_HEAD, *(_row(line, currency, stock_stamp(job)) for line in found.lines)]
    known = [line for line in found.lines if line.price is not None]
    rows.append(("total", f"of the {len(known)} lines with a price", None, "", None, None, round(found.known, 2), currency,
                 f"{len(found.unknown)} lines without a price are not in it" if found.unknown else "", "", None, "",
                 stock_stamp(job)))
    return written_table(NAME, rows)


def _row(line: ShoppingLine, currency: str, made_from: str) -> tuple[Cell, ...]:
    packs, holds = line.packs or (None, None)
    price: Cell = "unknown" if line.price is None else round(line.price, 2)
    return (line.section, line.item, line.quantity, line.unit, packs, holds, price, "" if line.price is None else currency,
            line.detail, line.source, len(line.parts), "; ".join(line.parts), made_from)
