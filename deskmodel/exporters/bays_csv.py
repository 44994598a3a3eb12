"""``documents/bays.csv``: the bay table, a row for each bay."""

from __future__ import annotations

from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._csv import Cell, csv_bytes, csv_rows, csv_texts
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.plans import BayRow

__all__ = ["export_bays"]

NAME = "documents/bays.csv"
_HEAD = ("bay", "length x (mm)", "width y (mm)", "height z (mm)", "x from (mm)", "x to (mm)", "y from (mm)", "y to (mm)",
         "floor z (mm)", "ceiling z (mm)", "floor is", "ceiling is", "holds", "room left (mm)", "room right (mm)",
         "room front (mm)", "room back (mm)", "room below (mm)", "room above (mm)", "made from")
_SIDES = ("x0", "x1", "y0", "y1", "z0", "z1")


def export_bays(job: ExportJob) -> Written:
    rows: list[tuple[Cell, ...]] = [_HEAD, *(_row(row, stamp(job)) for row in job.bays)]
    data = csv_bytes(rows)

    def read_back(folder: Path) -> None:
        if csv_rows((folder / NAME).read_bytes()) != csv_texts(rows):
            raise BuildFault(f"{NAME} read back is another table")

    return Written({NAME: data}, read_back)


def _row(row: BayRow, made_from: str) -> tuple[Cell, ...]:
    """The stated ends of the bay, and its clear sizes as they are."""
    return (row.bay.name, *row.clear, *row.bay.x, *row.bay.y, row.floor, row.ceiling, row.floor_part or "",
            row.ceiling_part or "", "; ".join(row.holds), *(row.room.get(side) for side in _SIDES), made_from)
