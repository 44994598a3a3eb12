"""The border of a drawing and its title block: the fields of ISO 7200 (from memory), in an arrangement of our own.

What only people can say (owner, date of issue, approval) is left to be filled in by hand.
"""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel.drawing.dimensions import polyline, rectangle_path
from deskmodel.drawing.lettering import clipped, plain
from deskmodel.drawing.paper import PAPERS, Paper
from deskmodel.drawing.pdf import drawable
from deskmodel.drawing.records import LAYERS, Drawing, Path, Record, Text

__all__ = ["BLOCK", "Title", "area_of", "drawn_sheet", "projection_symbol"]

BLOCK = (180.0, 36.0)
"""mm, in the lower right corner of the border."""

_MARGIN = 10.0
_ROW = 9.0
_LABEL, _TEXT, _TITLE = 2.0, 2.5, 3.5
_RED = LAYERS["warning"].colour


@dataclass(frozen=True, slots=True)
class Title:
    """``kind``: of document. ``number``: of the piece, "M5". ``made_from``: the revision, see ``exporters``' ``stamp``."""

    desk: str
    title: str
    kind: str
    number: str
    material: str
    quantity: str
    scale: str
    made_from: str
    tolerance: str = "ISO 2768-m"
    unreleased: bool = False


def area_of(paper: Paper) -> tuple[float, float, float, float]:
    """(x low, y low, x high, y high) within the border, mm of the sheet."""
    wide, high = PAPERS[paper]
    return _MARGIN + 2, _MARGIN + 2, wide - _MARGIN - 2, high - _MARGIN - 2


def drawn_sheet(paper: Paper, title: Title, records: list[Record], sheet: int, sheets: int) -> Drawing:
    """A sheet: border, title block, and ``records`` in mm of the sheet."""
    wide, high = PAPERS[paper]
    border: list[Record] = [rectangle_path("cut", _MARGIN, _MARGIN, wide - _MARGIN, high - _MARGIN)]
    border += _block(paper, title, sheet, sheets)
    if title.unreleased:
        border.append(rectangle_path("warning", _MARGIN - 3, _MARGIN - 3, wide - _MARGIN + 3, high - _MARGIN + 3))
        border.append(Text("UNRELEASED: not to build from", (wide / 2, high - _MARGIN + 3.8), _TEXT, "middle", bold=True,
                           colour=_RED))
    name = drawable(plain(f"{title.desk}: {title.title}"))
    return Drawing((wide, high), name, title.made_from, (*records, *border))


def _block(paper: Paper, title: Title, sheet: int, sheets: int) -> list[Record]:
    wide, _ = PAPERS[paper]
    x0, y0 = wide - _MARGIN - BLOCK[0], _MARGIN
    rows: tuple[tuple[tuple[float, str, str, float, bool], ...], ...] = (
        ((44, "owner (by hand)", "", _TEXT, False), (96, "title", title.title, _TITLE, True),
         (40, "document", title.kind, _TEXT, False)),
        ((44, "desk", title.desk, _TEXT, False), (64, "material", title.material, _TEXT, False),
         (32, "quantity", title.quantity, _TEXT, False), (40, "number", title.number, _TITLE, True)),
        ((44, "general tolerances", title.tolerance, _TEXT, False), (32, "projection", "", _TEXT, False),
         (32, "scale", title.scale, _TEXT, True), (32, "lengths", "mm", _TEXT, False),
         (40, "sheet", f"{sheet} of {sheets}, {paper.split()[0]}", _TEXT, False)),
        ((76, "made from", title.made_from, _TEXT, False), (32, "date (by hand)", "", _TEXT, False),
         (72, "approved (by hand)", "", _TEXT, False)),
    )
    records: list[Record] = [rectangle_path("cut", x0, y0, x0 + BLOCK[0], y0 + BLOCK[1], (255, 255, 255))]
    for i, row in enumerate(rows):
        y = y0 + BLOCK[1] - (i + 1) * _ROW
        if i:
            records.append(polyline("thin", (x0, y + _ROW), (x0 + BLOCK[0], y + _ROW)))
        x = x0
        for j, (width, label, value, height, bold) in enumerate(row):
            if j:
                records.append(polyline("thin", (x, y), (x, y + _ROW)))
            records.append(Text(label, (x + 1.2, y + _ROW - 1.0 - _LABEL), _LABEL, colour=(90, 90, 90)))
            if value:
                text = drawable(plain(value))
                while height > _TEXT and clipped(text, width - 2.4, height, bold) != text:
                    height -= 0.5
                red = label == "made from" and title.unreleased
                records.append(Text(clipped(text, width - 2.4, height, bold), (x + 1.2, y + 1.5), height, bold=bold,
                                    colour=_RED if red else (0, 0, 0)))
            if label == "projection":
                records += projection_symbol(x + width - 17.0, y + 1.3, 5.6)
            x += width
    return records


def projection_symbol(x: float, y: float, high: float) -> list[Record]:
    """First angle (ISO 5456-2, from memory): a cone from its side and, to the right of it, as it is seen from the left, so
    that its smaller end is in front. Lower left corner at (x, y)."""
    small, middle = high / 2, y + high / 2
    cone = ((x, middle - small / 2, 0.0), (x + high, y, 0.0), (x + high, y + high, 0.0), (x, middle + small / 2, 0.0))
    cx = x + high * 1.9

    def ring(d: float) -> Path:
        return Path("thin", (((cx + d / 2, middle, 1.0), (cx - d / 2, middle, 1.0)),))

    return [Path("thin", (cone,)), ring(high), ring(small),
            polyline("centre", (x - 1, middle), (cx + high / 2 + 1, middle)),
            polyline("centre", (cx, y - 0.6), (cx, y + high + 0.6))]
