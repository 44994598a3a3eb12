"""The papers of a desk: cut list, drilling schedule, list and drawings of plates, countersink table. As written, no more."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Papers", "names", "read_papers"]

Row = dict[str, str]


@dataclass(frozen=True)
class Papers:
    """Rows by their column heads; ``drawings``: the folder of the DXF files; ``drilled``: the STEP files
    of members as they come from drilling."""

    cuts: tuple[Row, ...]
    holes: tuple[Row, ...]
    plates: tuple[Row, ...]
    sinks: tuple[Row, ...]
    drawings: Path
    drilled: tuple[Path, ...]

    @property
    def members(self) -> list[str]:
        """Members: what has marked faces."""
        return [name for row in self.cuts if row["row"] == "piece" and row["datum end leans (°)"]
                for name in names(row["part"])]

    @property
    def sheets(self) -> list[str]:
        """Boards and leaves that are sawn or cut in the workshop."""
        return [name for row in self.cuts if row["row"] == "piece" and not row["datum end leans (°)"]
                for name in names(row["part"])]

    @property
    def ordered(self) -> list[str]:
        """Plates from the cutting service."""
        return [name for row in self.plates for name in names(row["plates"])]


def names(text: str) -> list[str]:
    return text.split("; ")


def read_papers(folder: Path) -> Papers:
    """``folder``: what ``deskmodel make`` wrote for one desk."""
    tables = [_table(folder / file) for file in ("documents/cut-list.csv", "documents/drilling.csv", "documents/plates.csv",
                                                 "plates/countersinks.csv")]
    return Papers(*tables, folder / "plates", tuple(sorted((folder / "members").glob("*.step"))))


def _table(file: Path) -> tuple[Row, ...]:
    if not file.exists():
        return ()
    with file.open(encoding="utf-8-sig", newline="") as stream:
        return tuple(csv.DictReader(stream))
