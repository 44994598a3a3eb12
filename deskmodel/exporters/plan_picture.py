"""``documents/plan.svg`` and ``.png``: the desk from above with covers and top plate taken off."""

from __future__ import annotations

from deskmodel.drawing import plan_view
from deskmodel.exporters._drawings import written_drawing
from deskmodel.exporters._job import ExportJob, Written, stamp

__all__ = ["export_plan"]


def export_plan(job: ExportJob) -> Written:
    drawing = plan_view(job.model, job.bays, stamp(job), job.unreleased is not None)
    return written_drawing(drawing, "documents/plan")
