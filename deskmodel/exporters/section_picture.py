"""``documents/section.svg`` and ``.png``: a section across the bays, with the heights drawn larger than the widths."""

from __future__ import annotations

from deskmodel.drawing import section_view
from deskmodel.exporters._drawings import written_drawing
from deskmodel.exporters._job import ExportJob, Written, stamp

__all__ = ["export_section"]


def export_section(job: ExportJob) -> Written:
    drawing = section_view(job.model, job.bays, stamp(job), job.unreleased is not None)
    return written_drawing(drawing, "documents/section")
