"""``picture.png``: the desk from the front, above, with its layers drawn apart so that one sees into the bays."""

from __future__ import annotations

import struct
from collections.abc import Iterable, Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._raster import Drawn, picture, png_bytes
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import Box3
from deskmodel.frames import Vec

__all__ = ["export_picture"]

NAME = "picture.png"
_WIDTH = 1100
_FRAME = 14  # pixels
_FROM: Vec = (-0.42, -0.78, 0.72)
_RISE = {"cover": 0.74, "backing": 0.66, "top": 0.46, "bottom": -0.16, "leg": -0.28}
"""How far the layers are drawn apart, as shares of the desk's smaller side in plan."""
_ON_FRAME = 1.0  # mm between a plate and the frame that it lies on


def export_picture(job: ExportJob) -> Written:
    boxes = {placed.name: placed_box(placed) for placed in job.model.parts}
    low = np.min([box[0] for box in boxes.values()], axis=0)
    high = np.max([box[1] for box in boxes.values()], axis=0)
    apart = float(min(high[0] - low[0], high[1] - low[1]))
    frame = _frame_heights(job.model.parts, boxes)
    drawn = []
    for placed in job.model.parts:
        carrier = job.model.part(placed.group) if placed.role == "veneer" and placed.group else placed
        shape = job.shapes[job.shape_keys[placed.name]]
        rise = _RISE.get(_layer(carrier, boxes[carrier.name], frame), 0.0) * apart
        place = shape.vertices @ np.array(placed.pose.rotation).T + placed.pose.origin + (0.0, 0.0, rise)
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


def _frame_heights(parts: Iterable[PlacedPart], boxes: Mapping[str, Box3]) -> tuple[float, float]:
    """z of the underside and the top of the members that lie level; of everything where there are none."""
    level = [boxes[p.name] for p in parts if p.role == "member" and abs(p.pose.axis(0)[2]) < 0.5] or list(boxes.values())
    return min(box[0][2] for box in level), max(box[1][2] for box in level)


def _layer(placed: PlacedPart, box: Box3, frame: tuple[float, float]) -> str:
    middle = (box[0][2] + box[1][2]) / 2
    if placed.role == "plate" and middle >= frame[1]:
        return "top"
    if placed.role in ("plate", "member") and middle <= frame[0]:
        lies_on_frame = placed.role == "plate" and box[1][2] >= frame[0] - _ON_FRAME
        return "bottom" if lies_on_frame else "leg"
    if placed.role == "hardware" and box[1][2] <= frame[0]:  # in the legs, it reaches into nothing of the frame
        return "leg"
    return placed.role
