"""``plates/countersinks.csv``: what is done to the plates besides cutting and bending, and from which side."""

from __future__ import annotations

from pathlib import Path

from deskmodel.cutting import Work
from deskmodel.errors import BuildFault
from deskmodel.exporters._csv import Cell, csv_bytes, csv_rows, csv_texts
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._plates import FOLDER, NOTHING, SIDES, by_whom, plate_stems
from deskmodel.plans import SentPlate, sent_plates

__all__ = ["export_countersinks"]

NAME = f"{FOLDER}/countersinks.csv"
_HEAD = ("file", "plates", "work", "side", "x from the DXF's origin (mm)", "y from the DXF's origin (mm)",
         "hole diameter (mm)", "right through", "diameter at the face (mm)", "angle (°)", "depth (mm)", "point angle (°)",
         "by", "feature", "made from")


def export_countersinks(job: ExportJob) -> Written:
    plates = sent_plates(job.model)
    stems = plate_stems(job, plates)
    rows: list[tuple[Cell, ...]] = [_HEAD]
    for plate in plates:
        file = stems[plate.names[0]].rpartition("/")[2] + ".dxf"
        rows += [_row(file, plate, work, job) for work in plate.sheet.works]
    data = csv_bytes(rows)

    def read_back(folder: Path) -> None:
        if csv_rows((folder / NAME).read_bytes()) != csv_texts(rows):
            raise BuildFault(f"{NAME} read back is another table")

    return Written({NAME: data}, read_back) if plates else NOTHING


def _row(file: str, plate: SentPlate, work: Work, job: ExportJob) -> tuple[Cell, ...]:
    through = "yes" if work.through else "no, see layer MILL" if work.outline is not None else "no"
    return (file, "; ".join(plate.names), work.kind, SIDES[work.drawn], *work.at, work.diameter, through, work.wide,
            work.angle, work.depth, work.point, by_whom(work, job.model.service), work.name, stamp(job))
