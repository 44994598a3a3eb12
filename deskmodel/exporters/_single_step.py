"""STEP files of one part each, in its own frame."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._step import Occurrence, Product, check_step, step_text
from deskmodel.frames import IDENTITY
from deskmodel.solids.step_file import StepBody

__all__ = ["single_steps"]


def single_steps(job: ExportJob, parts: Mapping[str, tuple[str, StepBody, tuple[float, float, float]]]) -> Written:
    """By path: name, body, colour (sRGB, 0 to 1)."""
    made = {}
    for path, (name, body, colour) in parts.items():
        readable = name.replace("\0", "\ufffd")
        made[path] = (readable, [Product(readable, body, colour)], [Occurrence(readable, 0, IDENTITY, colour)])
    files = {path: step_text(name, (stamp(job),), products, occurrences).encode("ascii")
             for path, (name, products, occurrences) in made.items()}

    def read_back(folder: Path) -> None:
        for path, (name, products, occurrences) in made.items():
            check_step(folder / path, name, products, occurrences, job.step.read)

    return Written(files, read_back)
