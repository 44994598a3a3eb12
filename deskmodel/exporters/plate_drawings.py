"""``plates/*.pdf``: a drawing of each distinct plate, those of ply and the like included. A leaf of veneer is
trimmed to its plate and has none."""

from __future__ import annotations

from deskmodel.exporters._job import ExportJob, Written
from deskmodel.exporters._piece_drawings import written_drawings

__all__ = ["export_plate_drawings"]


def export_plate_drawings(job: ExportJob) -> Written:
    return written_drawings(job, "PS", "plates")
