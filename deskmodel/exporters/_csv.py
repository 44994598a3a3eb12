"""Tables as CSV (RFC 4180) that a spreadsheet may open: no cell is a formula, whatever people called their things."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

__all__ = ["Cell", "csv_bytes", "csv_rows", "csv_texts", "defused"]

Cell = str | float | None

_FORMULA = "=+-@＝＋－＠"
"""Signs with which a spreadsheet takes a text for a formula, their wide forms included (OWASP, CSV injection)."""


def defused(text: str) -> str:
    """The text as one line; an apostrophe before what would be read as a formula."""
    line = "".join(c if c.isprintable() else " " for c in text)
    return f"'{line}" if line.lstrip().startswith(tuple(_FORMULA)) else line


def csv_texts(rows: Sequence[Sequence[Cell]]) -> list[list[str]]:
    """The cells as they are written: numbers to a thousandth, None as an empty cell, texts defused."""
    return [[_text(cell) for cell in row] for row in rows]


def csv_bytes(rows: Sequence[Sequence[Cell]]) -> bytes:
    """UTF-8 with a mark, by which spreadsheets tell it."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows(csv_texts(rows))
    return out.getvalue().encode("utf-8-sig", "backslashreplace")


def csv_rows(data: bytes) -> list[list[str]]:
    """The cells of such a file, as texts."""
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def _text(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return defused(cell)
    return f"{round(cell, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
