"""``documents/cautions.pdf``: usual cautions, each where the desk has its cause."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.drawing.flow import Block, Heading, Paragraph, document
from deskmodel.drawing.paper import Head
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.plans.cautions import DEFERS, NOT_LOOKED_AT, Caution, cautions

__all__ = ["caution_blocks", "export_cautions"]

NAME = "documents/cautions.pdf"


def export_cautions(job: ExportJob) -> Written:
    head = Head(job.model.name, "cautions", stamp(job), job.unreleased is not None)
    pages = document(caution_blocks(cautions(job.model)), "A4", head)
    return written_pages({NAME: (pages, f"{job.model.name}: cautions", stamp(job))})


def caution_blocks(made: tuple[Caution, ...]) -> Iterator[Block]:
    yield Paragraph(DEFERS, bold=True)
    for caution in made:
        yield Heading(caution.title)
        yield Paragraph(f"Because of: {', '.join(caution.causes)}.", height=2.2)
        for point in caution.points:
            yield Paragraph(point, mark="–")
        yield Paragraph(f"Look into: {'; '.join(caution.standards)}.", height=2.2)
    if not made:
        yield Paragraph("This desk holds none of the causes that are looked for.")
    yield Heading("What this page does not know")
    yield Paragraph(NOT_LOOKED_AT)
