"""``members/*.pdf``: a drawing of each distinct member."""

from __future__ import annotations

from deskmodel.exporters._job import ExportJob, Written
from deskmodel.exporters._piece_drawings import written_drawings

__all__ = ["export_member_drawings"]


def export_member_drawings(job: ExportJob) -> Written:
    return written_drawings(job, "M", "members")
