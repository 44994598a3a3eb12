"""``jigs/*.stl``: jigs for the slicer, mm, as they lie on the bed."""

from __future__ import annotations

from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._jigs import jig_path, printed_name
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._stl import check_stl, stl_bytes
from deskmodel.meshes.reading import CHORD, read_stl_mesh

__all__ = ["export_jig_stl"]

_SINGLE = 2e-5  # mm that the single precision of the format loses at 300 mm


def export_jig_stl(job: ExportJob) -> Written:
    files = {}
    for jig in job.jigs.jigs:
        shape = job.jig_shapes[jig.number]
        files[jig_path(jig, "stl")] = stl_bytes(printed_name(jig), stamp(job), shape.vertices, shape.triangles)

    def read_back(folder: Path) -> None:
        """By another library, against what the kernel says of the solid that is in the STEP file."""
        for jig in job.jigs.jigs:
            path, solid = jig_path(jig, "stl"), job.jig_shapes[jig.number].step.measure
            data = (folder / path).read_bytes()
            read = read_stl_mesh(data)
            check_stl(path, data, read.volume)
            if not read.watertight or read.pieces != 1 or read.volume <= 0:
                raise BuildFault(f"{path} read back is {read.pieces} pieces, watertight: {read.watertight}, "
                                 f"{read.volume:.1f} mm³")
            if abs(read.volume - solid.volume) > CHORD * read.area:
                raise BuildFault(f"{path} holds {read.volume:.1f} mm³, the solid {solid.volume:.1f}")
            corners = zip((*read.low, *read.high), (*solid.low, *solid.high), strict=True)
            if max(abs(a - b) for a, b in corners) > CHORD + _SINGLE or max(map(abs, read.low)) > _SINGLE:
                raise BuildFault(f"{path} spans {read.low} to {read.high}, the solid {solid.low} to {solid.high}")

    return Written(files, read_back)
