"""``plates/*.step``: each bent plate as it is folded, beside its DXF; in its own frame, mm."""

from __future__ import annotations

from pathlib import Path

from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._plates import plate_stems
from deskmodel.exporters._step import Occurrence, Product, check_step, step_text
from deskmodel.frames import IDENTITY
from deskmodel.plans import sent_plates

__all__ = ["export_folded"]


def export_folded(job: ExportJob) -> Written:
    plates = sent_plates(job.model)
    stems = plate_stems(job, plates)
    made: dict[str, tuple[str, Product, Occurrence]] = {}
    for plate in plates:
        if plate.sheet.bends:
            name, colour = plate.names[0].replace("\0", "\ufffd"), job.material_of(plate.first.placed).colour
            product = Product(name, job.shapes[job.shape_keys[plate.names[0]]].step, colour)
            made[f"{stems[plate.names[0]]}.step"] = name, product, Occurrence(name, 0, IDENTITY, colour)
    files = {path: step_text(name, (stamp(job),), [product], [occurrence]).encode("ascii")
             for path, (name, product, occurrence) in made.items()}

    def read_back(folder: Path) -> None:
        for path, (name, product, occurrence) in made.items():
            check_step(folder / path, name, [product], [occurrence])

    return Written(files, read_back)
