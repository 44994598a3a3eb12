"""``documents/operation-sheets.pdf``: a sheet for each distinct member and each distinct plate that is sawn, what is done to
it stage by stage; then the leaves of veneer."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.drawing import Drawing
from deskmodel.drawing.dimensions import figure
from deskmodel.drawing.flow import Block, Column, Figure, Heading, NewPage, Paragraph, Table, document
from deskmodel.drawing.paper import Head, Paper, body_of
from deskmodel.drawing.piece_view import member_figure
from deskmodel.drawing.plate_figure import plate_figure
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.part import Member, Plate
from deskmodel.plans import CutRow, Schedule, drawn_side, drilling_schedule
from deskmodel.plans.operations import JigOf, Operation, operations
from deskmodel.plans.sheet_operations import sheet_operations

__all__ = ["export_operation_sheets", "operation_pages"]

NAME = "documents/operation-sheets.pdf"
_PAPER: Paper = "A4"
_MARKS = ("Marks: the triangle lies on the face side and points to the face edge; two strokes on the face edge stand on the "
          "face side; the bar is the datum end. Measure from these three only. Saws, planers and drills hurt: guards and "
          "eye protection on, dust extracted; local codes and licensed practice come first.")
_SHEET_MARKS = ("Left, right, front and back are those of the plate as it lies with its top up. A piece that is cut upside "
                "down is its own mirror image and does not fit. Saws and routers hurt: guards and eye protection on, dust "
                "extracted; local codes and licensed practice come first.")
_HIGH = 95.0  # mm of paper for the figure of a plate


def export_operation_sheets(job: ExportJob) -> Written:
    return written_pages({NAME: (operation_pages(job), f"{job.model.name}: operation sheets", stamp(job))})


def operation_pages(job: ExportJob) -> tuple[Drawing, ...]:
    head = Head(job.model.name, "operation sheets", stamp(job), job.unreleased is not None)
    return document(list(_blocks(job)) or [Paragraph("The desk has nothing that is sawn.")], _PAPER, head)


def _blocks(job: ExportJob) -> Iterator[Block]:
    schedule, jig_of = drilling_schedule(job.model), _jigs(job)
    for i, row in enumerate(_of(job, "MS")):
        if i:
            yield NewPage()
        member = isinstance(row.piece.part, Member)
        yield from _sheet(row) if member else _sawn(row)
        yield Paragraph(_MARKS if member else _SHEET_MARKS, 2.0)  # first: at the end it may stand on a page of its own
        yield _steps(row, operations(row, schedule, job.model.workshop, jig_of) if member else _of_sheet(job, row, schedule))
    for i, row in enumerate(_of(job, "V")):
        if not i:
            yield NewPage()
        yield Heading(_title(row))
        yield _steps(row, _of_sheet(job, row, schedule))


def _of(job: ExportJob, families: str) -> list[CutRow]:
    return [row for row in job.cuts.rows if row.piece.number[0] in families]


def _of_sheet(job: ExportJob, row: CutRow, schedule: Schedule) -> tuple[Operation, ...]:
    sent = drawn_side(job.model, row.piece.names[0]) is not None
    return sheet_operations(row, schedule, job.model.workshop, sent=sent)


def _steps(row: CutRow, steps: tuple[Operation, ...]) -> Table:
    """Its head stands again on the next page, and so does the number."""
    return Table((Column("stage", 1.5), Column(f"what is done to {row.piece.number}", 6.2), Column("with", 2.3)),
                 tuple((each.stage, each.text, each.tool) for each in steps))


def _jigs(job: ExportJob) -> JigOf:
    """Which jig drills a hole; where on the member it sits stands on its own page and on the story stick."""
    told: dict[tuple[str, str, float, float], str] = {}
    for use in job.jigs.uses:
        jig_text = f"jig {job.jigs.jig(use.jig).label}, stop {use.depth.tip_stop:.4g} from the tip"
        for member in use.members:
            for x, y in use.holes:
                told[member, use.place, round(x, 3), round(y, 3)] = jig_text
    return lambda part, hole: told.get((part, hole.face, round(hole.x, 3), round(hole.y, 3)), "")


def _sheet(row: CutRow) -> Iterator[Block]:
    part = row.piece.part
    assert isinstance(part, Member)
    yield Heading(_title(row))
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


def _sawn(row: CutRow) -> Iterator[Block]:
    part = row.piece.part
    assert isinstance(part, Plate)
    yield Heading(_title(row))
    x0, _, x1, _ = body_of(_PAPER)
    records, size, scale, kinds = plate_figure(part, (x1 - x0, _HIGH))
    yield Figure(records, size)
    yield Paragraph(f"drawn {scale}; figures: mm from the left and the front edge.", 2.0)
    (length, width, thick), rough = row.finished, row.rough
    yield Table((Column("material", 2.0), Column("finished length × width × thickness", 3.0), Column("rough", 2.4),
                 Column("grain", 1.6)),
                ((part.material, f"{length:.6g} × {width:.6g} × {thick:.6g}", f"{rough[0]:g} × {rough[1]:g} × {rough[2]:g}",
                  row.grain),))
    holes = tuple((mark.number, mark.face, figure(mark.x), figure(mark.y), figure(kind.hole.diameter), kind.depth,
                   kind.mouth)
                  for kind in kinds for mark in kind.marks)
    if holes:
        yield Table((Column("hole", 0.7), Column("face", 1.0), Column("x", 0.8, "end"), Column("y", 0.8, "end"),
                     Column("Ø", 0.6, "end"), Column("depth", 2.0), Column("mouth", 2.4)), holes)


def _title(row: CutRow) -> str:
    several = f", {row.quantity} pieces:" if row.quantity > 1 else ""
    return f"{row.piece.number}{several} {', '.join(row.piece.names)}"
