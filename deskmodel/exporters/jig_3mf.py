"""``jigs/*.3mf``: the same as the STL files with their unit and name."""

from __future__ import annotations

from pathlib import Path

from deskmodel.exporters._jigs import jig_path, printed_name
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._printed import check_3mf
from deskmodel.exporters._threemf import threemf_bytes

__all__ = ["export_jig_3mf"]


def export_jig_3mf(job: ExportJob) -> Written:
    files = {jig_path(jig, "3mf"): threemf_bytes(printed_name(jig), stamp(job), job.jig_shapes[jig.number].vertices,
                                                 job.jig_shapes[jig.number].triangles) for jig in job.jigs.jigs}

    def read_back(folder: Path) -> None:
        for jig in job.jigs.jigs:
            path = jig_path(jig, "3mf")
            check_3mf(path, (folder / path).read_bytes(), printed_name(jig), stamp(job), job.jig_shapes[jig.number])

    return Written(files, read_back)
