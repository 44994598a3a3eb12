"""``jigs/*.stl``: jigs for the slicer, mm, as they lie on the bed."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from deskmodel.errors import BuildFault
from deskmodel.exporters._jigs import jig_path, printed_name
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._stl import check_stl, pieces_of, read_stl, stl_bytes
from deskmodel.meshes.settings import DEFLECTION

__all__ = ["CHORD", "export_jig_stl"]

CHORD = DEFLECTION
"""mm. No facet is further than this from the surface that it stands for."""

_SINGLE = 2e-5  # mm that the single precision of the format loses at 300 mm


def export_jig_stl(job: ExportJob) -> Written:
    files = {}
    for jig in job.jigs.jigs:
        shape = job.jig_shapes[jig.number]
        files[jig_path(jig, "stl")] = stl_bytes(printed_name(jig), stamp(job), shape.vertices, shape.triangles)

    def read_back(folder: Path) -> None:
        """As one closed body that is what the kernel says of the solid in the STEP file, to within the chords."""
        for jig in job.jigs.jigs:
            path, solid = jig_path(jig, "stl"), job.jig_shapes[jig.number].step.measure
            data = (folder / path).read_bytes()
            corners = read_stl(data).astype(float)
            normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
            volume, area = float((corners[:, 0] * normals).sum() / 6), float(np.linalg.norm(normals, axis=1).sum() / 2)
            check_stl(path, data, volume)
            if volume <= 0 or pieces_of(corners) != 1:
                raise BuildFault(f"{path} read back is {pieces_of(corners)} pieces of {volume:.1f} mm³")
            if abs(volume - solid.volume) > CHORD * area:
                raise BuildFault(f"{path} holds {volume:.1f} mm³, the solid {solid.volume:.1f}")
            low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
            if max(np.abs(low - solid.low).max(), np.abs(high - solid.high).max()) > CHORD or np.abs(low).max() > _SINGLE:
                raise BuildFault(f"{path} spans {low} to {high}, the solid {solid.low} to {solid.high}")

    return Written(files, read_back)
