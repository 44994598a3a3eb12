"""``printed/*.stl``: what comes off the printer, and the backings of covers as blocks to try the fit with."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._slug import slugs
from deskmodel.exporters._stl import check_stl, stl_bytes
from deskmodel.faces import PlacedPart
from deskmodel.part import CustomShape, Plate

__all__ = ["export_printed", "is_printed"]

FOLDER = "printed"


def is_printed(placed: PlacedPart) -> bool:
    return placed.role == "backing" or (isinstance(placed.part, CustomShape | Plate) and placed.part.printed)


def export_printed(job: ExportJob) -> Written:
    names = [placed.name for placed in job.model.parts if is_printed(placed)]
    paths = {name: f"{FOLDER}/{file}.stl" for name, file in slugs(names).items()}
    files: dict[str, bytes] = {}
    volumes: dict[str, float] = {}
    for name in names:
        shape = job.shapes[job.shape_keys[name]]
        files[paths[name]] = stl_bytes(name, stamp(job), shape.vertices, shape.triangles)
        corners = shape.vertices[shape.triangles]
        volumes[name] = float((corners[:, 0] * np.cross(corners[:, 1], corners[:, 2])).sum() / 6.0)

    def read_back(folder: Path) -> None:
        for name in names:
            check_stl(name, (folder / paths[name]).read_bytes(), volumes[name])

    return Written(files, read_back)
