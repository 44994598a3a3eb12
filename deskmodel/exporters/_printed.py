"""Meshes for the printer, read back."""

from __future__ import annotations

import numpy as np

from deskmodel.errors import BuildFault
from deskmodel.exporters._job import ExportShape
from deskmodel.exporters._stl import check_stl, pieces_of, read_stl
from deskmodel.exporters._threemf import read_3mf
from deskmodel.meshes.settings import DEFLECTION

__all__ = ["CHORD", "check_3mf", "check_printed"]

CHORD = DEFLECTION
"""mm. No facet is further than this from the surface that it stands for."""

_SINGLE = 2e-5  # mm that the single precision of the format loses at 300 mm


def check_printed(path: str, data: bytes, shape: ExportShape) -> None:
    """BuildFault unless an STL file is one closed body that is what the kernel says of the solid in the STEP file, to
    within the chords."""
    solid = shape.step.measure
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


def check_3mf(path: str, data: bytes, name: str, remark: str, shape: ExportShape) -> None:
    """BuildFault unless the file holds that mesh in mm, with name and remark."""
    read = read_3mf(data)
    if (read.unit, read.name, read.remark) != ("millimeter", name, remark):
        raise BuildFault(f"{path} read back is {read.name!r}, {read.remark!r} in {read.unit}")
    if (not np.array_equal(read.triangles, shape.triangles) or read.vertices.shape != shape.vertices.shape
            or np.abs(read.vertices - shape.vertices).max() > 1e-6):
        raise BuildFault(f"{path} read back is another mesh")
