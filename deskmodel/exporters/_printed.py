"""Meshes for the printer, read back by other readers than the writers."""

from __future__ import annotations

import numpy as np

from deskmodel.errors import BuildFault
from deskmodel.exporters._job import ExportShape
from deskmodel.exporters._stl import check_stl
from deskmodel.exporters._threemf import read_3mf
from deskmodel.meshes.reading import CHORD, read_stl_mesh

__all__ = ["check_3mf", "check_printed"]

_SINGLE = 2e-5  # mm that the single precision of the format loses at 300 mm


def check_printed(path: str, data: bytes, shape: ExportShape) -> None:
    """An STL file by another library, against what the kernel says of the solid that is in the STEP file. BuildFault."""
    solid = shape.step.measure
    read = read_stl_mesh(data)
    check_stl(path, data, read.volume)
    if not read.watertight or read.pieces != 1 or read.volume <= 0:
        raise BuildFault(f"{path} read back is {read.pieces} pieces, watertight: {read.watertight}, {read.volume:.1f} mm³")
    if abs(read.volume - solid.volume) > CHORD * read.area:
        raise BuildFault(f"{path} holds {read.volume:.1f} mm³, the solid {solid.volume:.1f}")
    corners = zip((*read.low, *read.high), (*solid.low, *solid.high), strict=True)
    if max(abs(a - b) for a, b in corners) > CHORD + _SINGLE or max(map(abs, read.low)) > _SINGLE:
        raise BuildFault(f"{path} spans {read.low} to {read.high}, the solid {solid.low} to {solid.high}")


def check_3mf(path: str, data: bytes, name: str, remark: str, shape: ExportShape) -> None:
    """BuildFault unless the file holds that mesh in mm, with name and remark."""
    read = read_3mf(data)
    if (read.unit, read.name, read.remark) != ("millimeter", name, remark):
        raise BuildFault(f"{path} read back is {read.name!r}, {read.remark!r} in {read.unit}")
    if (not np.array_equal(read.triangles, shape.triangles) or read.vertices.shape != shape.vertices.shape
            or np.abs(read.vertices - shape.vertices).max() > 1e-6):
        raise BuildFault(f"{path} read back is another mesh")
