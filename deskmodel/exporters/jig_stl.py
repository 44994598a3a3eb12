"""``jigs/*.stl``: jigs for the slicer, mm, as they lie on the bed."""

from __future__ import annotations

from pathlib import Path

from deskmodel.exporters._jigs import jig_path, printed_name
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._printed import CHORD, check_printed
from deskmodel.exporters._stl import stl_bytes

__all__ = ["CHORD", "export_jig_stl"]


def export_jig_stl(job: ExportJob) -> Written:
    files = {}
    for jig in job.jigs.jigs:
        shape = job.jig_shapes[jig.number]
        files[jig_path(jig, "stl")] = stl_bytes(printed_name(jig), stamp(job), shape.vertices, shape.triangles)

    def read_back(folder: Path) -> None:
        for jig in job.jigs.jigs:
            check_printed(jig_path(jig, "stl"), (folder / jig_path(jig, "stl")).read_bytes(), job.jig_shapes[jig.number])

    return Written(files, read_back)
