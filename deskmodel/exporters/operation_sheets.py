"""``documents/operation-sheets.pdf``: a sheet for each distinct member, what is done to it stage by stage."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.drawing import Drawing
from deskmodel.drawing.flow import Block, Column, Figure, Heading, NewPage, Paragraph, Table, document
from deskmodel.drawing.paper import Head, Paper, body_of
from deskmodel.drawing.piece_view import member_figure
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.part import Member
from deskmodel.plans import CutRow, drilling_schedule
from deskmodel.plans.operations import operations

__all__ = ["export_operation_sheets", "operation_pages"]

NAME = "documents/operation-sheets.pdf"
_PAPER: Paper = "A4"
_MARKS = ("Marks: the triangle lies on the face side and points to the face edge; two strokes on the face edge stand on the "
          "face side; the bar is the datum end. Measure from these three only. Saws, planers and drills hurt: guards and "
          "eye protection on, dust extracted; local codes and licensed practice come first.")


def export_operation_sheets(job: ExportJob) -> Written:
    return written_pages({NAME: (operation_pages(job), f"{job.model.name}: operation sheets", stamp(job))})


def operation_pages(job: ExportJob) -> tuple[Drawing, ...]:
    head = Head(job.model.name, "operation sheets", stamp(job), job.unreleased is not None)
    return document(list(_blocks(job)) or [Paragraph("The desk has no members.")], _PAPER, head)


def _blocks(job: ExportJob) -> Iterator[Block]:
    schedule = drilling_schedule(job.model)
    rows = [row for row in job.cuts.rows if isinstance(row.piece.part, Member)]
    for i, row in enumerate(rows):
        if i:
            yield NewPage()
        yield from _sheet(row)
        yield Table((Column("stage", 1.5), Column("what", 6.2), Column("with", 2.3)),
                    tuple((each.stage, each.text, each.tool) for each in operations(row, schedule, job.model.workshop)))
        yield Paragraph(_MARKS, 2.0)


def _sheet(row: CutRow) -> Iterator[Block]:
    part = row.piece.part
    assert isinstance(part, Member)
    names = ", ".join(row.piece.names)
    several = f", {row.quantity} pieces:" if row.quantity > 1 else ""
    yield Heading(f"{row.piece.number}{several} {names}")
    x0, _, x1, _ = body_of(_PAPER)
    records, size, scale = member_figure(part, x1 - x0)
    yield Figure(records, size)
    told = "" if abs(scale[0] - scale[1]) < 1e-9 else f"drawn 1 : {scale[0]:.3g} along and 1 : {scale[1]:.3g} across; "
    yield Paragraph(f"{told}figures: mm from the datum end.", 2.0)
    (length, width, height), (rough_l, rough_w, rough_h) = row.finished, row.rough
    yield Table((Column("material", 2.0), Column("finished length × width × height", 3.0), Column("rough", 2.4),
                 Column("grain", 1.6), Column("laminated to", 2.0)),
                ((part.material, f"{length:.6g} × {width:.6g} × {height:.6g}", f"{rough_l:g} × {rough_w:g} × {rough_h:g}",
                  row.grain, ", ".join(row.laminated) or "–"),))
