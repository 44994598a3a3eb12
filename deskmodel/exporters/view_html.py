"""``view.html``: the desk in three dimensions with its findings, one file that opens from disk without a network."""

from __future__ import annotations

import json
from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.page import read_blob, read_standalone, standalone

__all__ = ["export_view"]

NAME = "view.html"


def export_view(job: ExportJob) -> Written:
    scene = job.scene
    data = standalone(scene)

    def read_back(folder: Path) -> None:
        record, shapes = read_standalone((folder / NAME).read_bytes())
        if record != json.loads(json.dumps(scene.record)):
            raise BuildFault(f"{NAME} read back shows another desk")
        if shapes != scene.shapes:
            raise BuildFault(f"{NAME} read back has other shapes")
        for part in record["parts"]:
            if part["shape"] is not None and part["shape"] not in shapes:
                raise BuildFault(f"{NAME} read back has no shape of {part['name']!r}")
        for shape in shapes.values():
            read_blob(shape)

    return Written({NAME: data}, read_back)
