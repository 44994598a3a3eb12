"""``picture.png``: the desk from the front, above, with its layers drawn apart so that one sees into the bays."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from deskmodel.drawing.layers import rises
from deskmodel.errors import BuildFault
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._raster import Drawn, picture, png_bytes
from deskmodel.frames import Vec

__all__ = ["export_picture"]

NAME = "picture.png"
_WIDTH = 1100
_FRAME = 14  # pixels
_FROM: Vec = (-0.42, -0.78, 0.72)


def export_picture(job: ExportJob) -> Written:
    rise = rises(job.model)
    drawn = []
    for placed in job.model.parts:
        shape = job.shapes[job.shape_keys[placed.name]]
        place = shape.vertices @ np.array(placed.pose.rotation).T + placed.pose.origin + (0.0, 0.0, rise[placed.name])
        drawn.append(Drawn(place, shape.triangles, job.material_of(placed).colour))
    pixels = picture(drawn, _FROM, _WIDTH)
    if job.unreleased is not None:
        _frame(pixels)
    data = png_bytes(pixels, f"{job.model.name}, {stamp(job)}")

    def read_back(folder: Path) -> None:
        read = (folder / NAME).read_bytes()
        if read[:8] != b"\x89PNG\r\n\x1a\n" or struct.unpack(">II", read[16:24]) != (pixels.shape[1], pixels.shape[0]):
            raise BuildFault(f"{NAME} read back is not the picture that was written")

    return Written({NAME: data}, read_back)


def _frame(pixels: NDArray[np.uint8]) -> None:
    """A hatched red frame: this is not to be built from. (The remark in the file says so in words.)"""
    height, width, _ = pixels.shape
    y, x = np.mgrid[:height, :width]
    frame = np.minimum(np.minimum(x, width - 1 - x), np.minimum(y, height - 1 - y)) < _FRAME
    pixels[frame] = np.where(((x + y) // _FRAME % 2 == 0)[frame][:, None], (200, 30, 30), (255, 255, 255))
