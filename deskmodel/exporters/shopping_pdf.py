"""``documents/shopping-list.pdf``: the shopping list to take along."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.drawing import Drawing
from deskmodel.drawing.flow import Block, Column, Heading, Paragraph, Table, document
from deskmodel.drawing.paper import Head
from deskmodel.exporters._job import ExportJob, Written, stamp, stock_stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.plans.shopping import ShoppingLine, ShoppingList

__all__ = ["export_shopping_pdf", "shopping_pages"]

NAME = "documents/shopping-list.pdf"
_COLUMNS = (Column("item", 3.7), Column("quantity", 1.3, "end"), Column("packs", 1.1), Column("price", 1.3, "end"),
            Column("detail", 3.7))
_SOURCED = ("hardware", "equipment")


def export_shopping_pdf(job: ExportJob) -> Written:
    return written_pages({NAME: (shopping_pages(job), f"{job.model.name}: shopping list", stock_stamp(job))})


def shopping_pages(job: ExportJob) -> tuple[Drawing, ...]:
    head = Head(job.model.name, "shopping list", stamp(job), job.unreleased is not None)
    return document(_blocks(job, job.shopping), "A4", head)


def _blocks(job: ExportJob, found: ShoppingList) -> Iterator[Block]:
    yield Paragraph(f"Stock list {job.stock.digest}: {found.stock}. Prices are those of the list; one that it does not "
                    "state is unknown and in no total. Order plates by their drawings, not by this list.")
    for section in dict.fromkeys(line.section for line in found.lines):
        lines = [line for line in found.lines if line.section == section]
        yield Heading(section)
        yield Table(_COLUMNS, tuple(_row(line, found.currency) for line in lines))
        yield Paragraph(_total(lines, found.currency))
    yield Heading("total")
    yield Paragraph(_total(found.lines, found.currency), bold=True)


def _row(line: ShoppingLine, currency: str) -> tuple[str, ...]:
    packs = "" if line.packs is None else f"{line.packs[0]} of {line.packs[1]:g}"
    price = "unknown" if line.price is None else _money(line.price, currency)
    return line.item, f"{line.quantity:.3g} {line.unit}", packs, price, _detail(line)


def _detail(line: ShoppingLine) -> str:
    told = (line.detail, line.source) if line.section in _SOURCED else (line.detail,)
    return "; ".join(text for text in told if text)


def _total(lines: tuple[ShoppingLine, ...] | list[ShoppingLine], currency: str) -> str:
    known = [line.price for line in lines if line.price is not None]
    unknown = len(lines) - len(known)
    rest = f"{unknown} {'line has' if unknown == 1 else 'lines have'} no known price"
    if not known:
        return f"Price unknown: {rest}."
    return f"Known: {_money(sum(known), currency)}" + (f"; not in it: {rest}." if unknown else ".")


def _money(value: float, currency: str) -> str:
    return f"{value:.2f} {currency}".strip()
