"""``documents/assembly.pdf``: plan and exploded view with balloons, and the parts list."""

from __future__ import annotations

from deskmodel.drawing.assembly import assembly_sheets
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.exporters._pages import written_pages
from deskmodel.exporters._piece_drawings import made_from

__all__ = ["export_assembly"]

NAME = "documents/assembly.pdf"


def export_assembly(job: ExportJob) -> Written:
    made = made_from(job)
    return written_pages({NAME: (assembly_sheets(job.model, made), f"{made.desk}: assembly", made.made_from)})
