"""``documents/stock-layout.pdf``, and a picture for each material: which raw piece everything is cut from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import get_args

from deskmodel.drawing import Drawing
from deskmodel.drawing.flow import Block, Figure, Heading, Paragraph, Space, document
from deskmodel.drawing.paper import Head, Paper, body_of
from deskmodel.drawing.stock_view import bound_text, layout_picture, raw_figure, raw_title
from deskmodel.exporters._drawings import written_drawing
from deskmodel.exporters._job import ExportJob, Written, stamp, stock_stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.exporters._slug import slugs
from deskmodel.plans.stock_layout import LaidRaw, StockLayout, StockPart
from deskmodel.stock import StockSection

__all__ = ["export_stock_layout", "stock_pages"]

NAME = "documents/stock-layout.pdf"
FOLDER = "documents/stock-layout"
_PAPER: Paper = "A4 landscape"


def export_stock_layout(job: ExportJob) -> Written:
    parts = [part for part in job.layout.parts if part.raws]
    names = slugs(part.material for part in parts)
    written = [written_pages({NAME: (stock_pages(job), f"{job.model.name}: stock layout", stock_stamp(job))}),
               *(written_drawing(layout_picture(job.model.name, part, job.stock.currency, stock_stamp(job)),
                                 f"{FOLDER}/{names[part.material]}") for part in parts)]
    files: Mapping[str, bytes] = {name: data for each in written for name, data in each.files.items()}

    def read_back(folder: Path) -> None:
        for each in written:
            each.read_back(folder)

    return Written(files, read_back)


def stock_pages(job: ExportJob) -> tuple[Drawing, ...]:
    head = Head(job.model.name, "stock layout", stamp(job), job.unreleased is not None)
    return document(_blocks(job, job.layout), _PAPER, head)


def _blocks(job: ExportJob, layout: StockLayout) -> Iterator[Block]:
    allowance = layout.allowance
    yield Paragraph(f"Stock list {job.stock.digest}: {job.stock.source}.{_assumed(job)} Saw kerf {layout.kerf:g} mm between "
                    f"pieces and between strips, none after the last one; {allowance.end:g} off each raw end, "
                    f"{allowance.edge:g} off each raw edge of a board, {allowance.sheet:g} off each edge of a sheet "
                    "(grey). Rough sizes; the grain runs from left to right. Pieces of one rough size may be changed for "
                    "one another.")
    for part in layout.parts:
        yield Heading(part.material)
        yield Paragraph(bound_text(part, job.stock.currency))
        for name, count, size in part.missing:
            yield Paragraph(f"no stock holds {name}: {count} of rough size {size}", warning=True)
        x0, _, x1, _ = body_of(_PAPER)
        for number, raw in enumerate(part.raws, 1):
            records, size_drawn, scale = raw_figure(raw, part, x1 - x0)
            yield Heading(raw_title(number, raw, scale), 2.5)
            yield Figure(records, size_drawn)
            yield Paragraph(_told(part, raw))
            yield Space(2.0)


def _assumed(job: ExportJob) -> str:
    if not job.stock.assumed:
        return ""
    if set(job.stock.assumed) == set(get_args(StockSection)):
        return " No stock.toml lies beside the script: usual sizes are assumed, measure what you have."
    return f" Assumed, since the list does not say: {', '.join(job.stock.assumed)}."


def _told(part: StockPart, raw: LaidRaw) -> str:
    """In the order of the saw: strip by strip, from the first end."""
    def piece_text(name: str, number: str, stave: str, length: float, width: float) -> str:
        return f"{number} {name}{f' ({stave})' if stave else ''} {length:g} × {width:g}"

    if not raw.strips:
        return "; ".join(piece_text(p.part, p.number, p.stave, p.length, p.width) for p in raw.pieces) + "."
    told = []
    for number, (y, width) in enumerate(raw.strips, 1):
        inside = [p for p in raw.pieces if abs(p.y - y) < 1e-6]
        told.append(f"rip {number}, {width:g} wide: " + "; ".join(
            piece_text(p.part, p.number, p.stave, p.length, p.width) for p in inside))
    return ". ".join(told) + "."
