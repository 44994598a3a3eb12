"""``model.json``: the desk itself, as ``deskmodel.model`` writes it."""

from __future__ import annotations

from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.model import read_json, revision, write_json

__all__ = ["export_model"]

NAME = "model.json"
_END = "\n}\n"


def export_model(job: ExportJob) -> Written:
    text = write_json(job.model)
    if job.unreleased is not None:  # the last key in canonical order; no part of the revision
        text = text.removesuffix(_END) + ',\n "unreleased": true' + _END

    def read_back(folder: Path) -> None:
        model = read_json((folder / NAME).read_text(encoding="utf-8"))
        if model != job.model or revision(model) != job.revision:
            raise BuildFault(f"{NAME} read back is another desk")

    return Written({NAME: text.encode()}, read_back)
