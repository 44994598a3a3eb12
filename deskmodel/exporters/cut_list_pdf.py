"""``documents/cut-list.pdf``: the cut list to saw by, and what is cut into the pieces."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.drawing import Drawing
from deskmodel.drawing.flow import Block, Column, Heading, Paragraph, Table, document
from deskmodel.drawing.paper import Head
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.plans import CutRow
from deskmodel.plans.cut_list import stages_of
from deskmodel.plans.operations import work_text

__all__ = ["cut_list_pages", "export_cut_list_pdf"]

NAME = "documents/cut-list.pdf"
_TITLES = {"M": "members", "S": "plates sawn from sheets and boards", "V": "veneer"}
_COLUMNS = (Column("piece", 0.7), Column("name", 3.0), Column("number", 0.9, "end"), Column("material", 1.3),
            Column("finished", 2.0), Column("rough", 2.0), Column("ends lean, grain", 1.7), Column("order of work", 4.2))
_CUTS = (Column("piece", 0.7), Column("name", 2.4), Column("stage", 1.4), Column("cut", 6.5), Column("for", 2.4))


def export_cut_list_pdf(job: ExportJob) -> Written:
    return written_pages({NAME: (cut_list_pages(job), f"{job.model.name}: cut list", stamp(job))})


def cut_list_pages(job: ExportJob) -> tuple[Drawing, ...]:
    head = Head(job.model.name, "cut list", stamp(job), job.unreleased is not None)
    return document(_blocks(job), "A4 landscape", head)


def _blocks(job: ExportJob) -> Iterator[Block]:
    cuts = job.cuts
    allowance = cuts.allowance
    yield Paragraph(
        "Sizes are length × width × height or thickness in mm, the length along the grain and between long points. Rough "
        f"sizes of members are {allowance.length:g} longer, {allowance.width:g} wider and {allowance.thickness:g} thicker, "
        f"rounded up; veneer stands out by {allowance.veneer:g} all round (source: {allowance.source}). Pieces of one "
        "number are equal in everything; mirror images are not. Holes stand in the drilling schedule, plates of metal in "
        "the order of plates, glass in that of glass.")
    for family, title in _TITLES.items():
        rows = [row for row in cuts.rows if row.piece.number[0] == family]
        if rows:
            yield Heading(title)
            yield Table(_COLUMNS, tuple(_row(row) for row in rows), 2.0)
    told = [(row.piece.number, ", ".join(row.piece.names), work.stage, work_text(work),
             "" if work.name == work.kind else work.name)
            for row in cuts.rows for work in row.works]
    if told:
        yield Heading("what is cut into them besides holes")
        yield Table(_CUTS, tuple(told), 2.0)


def _row(row: CutRow) -> tuple[str, ...]:
    finished, rough = (" × ".join(f"{each:.6g}" for each in size) for size in (row.finished, row.rough))
    leans = [f"{end} {angle:.4g}°" for end, angle in zip(("datum end", "far end"), row.ends, strict=True) if angle]
    grain = ", ".join([*leans, row.grain]) + (", no rectangle: see its outline" if row.outline is not None else "")
    joined = f"; laminated to {', '.join(row.laminated)}" if row.laminated else ""
    return (row.piece.number, ", ".join(row.piece.names), str(row.quantity), row.piece.part.material, finished, rough, grain,
            ", ".join(stages_of(row)) + joined)
