"""A table as a file, read back cell by cell."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._csv import Cell, csv_bytes, csv_rows, csv_texts
from deskmodel.exporters._job import Written

__all__ = ["written_table"]


def written_table(name: str, rows: Sequence[Sequence[Cell]]) -> Written:
    """``name``: path of the file; the first row is its head."""
    texts = csv_texts(rows)

    def read_back(folder: Path) -> None:
        if csv_rows((folder / name).read_bytes()) != texts:
            raise BuildFault(f"{name} read back is another table")

    return Written({name: csv_bytes(rows)}, read_back)
