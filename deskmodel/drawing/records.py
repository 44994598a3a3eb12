"""A drawing as neutral records: made once, replayed by a writer for each format.

Paper: mm, x to the right, y up from the lower left corner. Outlines are vertices (x, y, bulge) as in ``profiles``.

Line widths follow ISO 128-2 (0.25 for narrow lines, 0.5 for wide ones) and so do the line types; text heights follow
ISO 3098-1 (1.8, 2.5, 3.5, 5: the height of a capital letter); dimensions have narrow lines, filled arrowheads and the
figure above the line, as is the habit of ISO 129-1. (Standards from memory.)
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

from deskmodel.profiles import Vertex

__all__ = ["LAYERS", "Colour", "Drawing", "Layer", "LayerName", "Outline", "Path", "Picture", "Point", "Record", "Text",
           "moved"]

Point = tuple[float, float]
Outline = tuple[Vertex, ...]
Colour = tuple[int, int, int]
LayerName = Literal["cut", "visible", "thin", "hidden", "centre", "phantom", "hatch", "dimension", "fill", "vents",
                    "rule", "warning", "first", "second",
                    "measured"]
Anchor = Literal["start", "middle", "end"]

NARROW, MIDDLE, WIDE = 0.25, 0.35, 0.5


@dataclass(frozen=True, slots=True)
class Layer:
    """``width`` of the line in mm, ``colour``, and the ``dashes`` of its line type (line, gap, line, … in mm)."""

    width: float
    colour: Colour = (0, 0, 0)
    dashes: tuple[float, ...] = ()


LAYERS: dict[LayerName, Layer] = {
    "fill": Layer(0.0),
    "vents": Layer(0.13, (150, 156, 162)),
    "rule": Layer(0.18, (165, 165, 165)),
    "hatch": Layer(0.18, (120, 92, 50)),
    "thin": Layer(NARROW),
    "hidden": Layer(NARROW, (60, 60, 60), (1.6, 0.8)),              # dashed narrow line
    "centre": Layer(NARROW, (60, 60, 60), (6.0, 0.8, 0.5, 0.8)),    # long-dashed dotted narrow line
    "phantom": Layer(NARROW, (60, 60, 60), (6.0, 0.8, 0.5, 0.8, 0.5, 0.8)),
    "visible": Layer(MIDDLE),
    "cut": Layer(WIDE),
    "dimension": Layer(NARROW, (20, 60, 130)),
    "warning": Layer(WIDE, (190, 20, 20)),
    "first": Layer(0.18, (20, 84, 148)),    # the parts that a finding is about: two colours that every eye tells apart,
    "second": Layer(0.18, (176, 84, 0)),    # hatched both ways, for those who print without
    "measured": Layer(MIDDLE, (190, 20, 20)),
}


@dataclass(frozen=True, slots=True)
class Path:
    """Outlines, drawn with their layer's line (none on "fill"). Filled with ``fill``: the first, less the others, which
    lie in it. Not ``closed``: only the line, from the first vertex to the last."""

    layer: LayerName
    outlines: tuple[Outline, ...]
    fill: Colour | None = None
    closed: bool = True


@dataclass(frozen=True, slots=True)
class Text:
    """``height`` of its capitals in mm; ``at`` is on its base line, at its ``anchor``; ``turn`` 0 or 90° anticlockwise."""

    text: str
    at: Point
    height: float
    anchor: Anchor = "start"
    turn: Literal[0, 90] = 0
    bold: bool = False
    colour: Colour = (0, 0, 0)


@dataclass(frozen=True, slots=True)
class Picture:
    """Pixels: a PNG file of RGB, its lower left corner ``at``, ``size`` (width, height) on paper in mm."""

    data: bytes = field(repr=False)
    at: Point
    size: Point


Record = Path | Text | Picture


@dataclass(frozen=True, slots=True)
class Drawing:
    """``size`` (width, height) of the paper in mm; ``title`` and ``remark`` go into the file, not onto the paper."""

    size: Point
    title: str
    remark: str
    records: tuple[Record, ...] = field(repr=False)


def moved(record: Record, by: Point) -> Record:
    if isinstance(record, Path):
        return replace(record, outlines=tuple(tuple((x + by[0], y + by[1], bulge) for x, y, bulge in outline)
                                              for outline in record.outlines))
    return replace(record, at=(record.at[0] + by[0], record.at[1] + by[1]))
