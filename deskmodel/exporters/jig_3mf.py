"""``jigs/*.3mf``: the same as the STL files with their unit and name."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from deskmodel.errors import BuildFault
from deskmodel.exporters._jigs import jig_path, printed_name
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._threemf import read_3mf, threemf_bytes

__all__ = ["export_jig_3mf"]


def export_jig_3mf(job: ExportJob) -> Written:
    files = {jig_path(jig, "3mf"): threemf_bytes(printed_name(jig), stamp(job), job.jig_shapes[jig.number].vertices,
                                                 job.jig_shapes[jig.number].triangles) for jig in job.jigs.jigs}

    def read_back(folder: Path) -> None:
        for jig in job.jigs.jigs:
            path, shape = jig_path(jig, "3mf"), job.jig_shapes[jig.number]
            read = read_3mf((folder / path).read_bytes())
            if (read.unit, read.name, read.remark) != ("millimeter", printed_name(jig), stamp(job)):
                raise BuildFault(f"{path} read back is {read.name!r}, {read.remark!r} in {read.unit}")
            if (not np.array_equal(read.triangles, shape.triangles) or read.vertices.shape != shape.vertices.shape
                    or np.abs(read.vertices - shape.vertices).max() > 1e-6):
                raise BuildFault(f"{path} read back is another mesh")

    return Written(files, read_back)
