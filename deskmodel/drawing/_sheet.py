"""The paper about a view: its scale, its title, its list of numbered parts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from deskmodel.drawing.dimensions import rectangle_path
from deskmodel.drawing.lettering import clipped, plain, width_of
from deskmodel.drawing.records import LAYERS, Drawing, Record, Text, moved

__all__ = ["SCALES", "Frame", "scale_for", "sheet"]

SCALES = (1, 2, 5, 10, 20, 50)
"""1 : n, the reductions of ISO 5455 (from memory)."""

_MARGIN = 6.0
_TITLE, _TEXT, _STEP = 5.0, 2.5, 4.6
_NARROWEST = 120.0
_MARK = "UNRELEASED"


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a view lies on paper: ``x`` and ``y`` of the desk's (or section's) corner ``low``, 1 : ``scale`` along x and
    1 : ``tall`` along y."""

    x: float
    y: float
    low: tuple[float, float]
    scale: float
    tall: float

    def at(self, u: float, v: float) -> tuple[float, float]:
        return self.x + (u - self.low[0]) / self.scale, self.y + (v - self.low[1]) / self.tall


def scale_for(size: float, room: float) -> int:
    """The largest of the scales at which ``size`` mm take up at most ``room`` mm of paper."""
    return next((scale for scale in SCALES if size / scale <= room), SCALES[-1])


def sheet(name: str, what: str, remarks: Sequence[str], numbered: Sequence[str], view: Sequence[Record],
          size: tuple[float, float], remark: str, unreleased: bool) -> Drawing:
    """The view (``size`` mm, from (0, 0)) with its title over it and remarks and numbered names below it."""
    width = max(size[0], _NARROWEST) + 2 * _MARGIN
    inner = width - 2 * _MARGIN
    below = [line for text in remarks for line in _lines(text, inner, _TEXT)]
    columns, rows = _columns([f"{i}: {plain(text)}" for i, text in enumerate(numbered, 1)], inner)
    foot = _MARGIN + _STEP * (len(below) + rows)
    height = foot + size[1] + _TITLE + _STEP + 2 * _MARGIN
    shift = (_MARGIN + (inner - size[0]) / 2, foot + 2.0)
    records = [moved(record, shift) for record in view]
    top = height - _MARGIN - _TITLE
    free = inner - (width_of(_MARK, _TITLE, bold=True) + 6 if unreleased else 0)
    records.append(Text(clipped(plain(name), free, _TITLE, bold=True), (_MARGIN, top), _TITLE, bold=True))
    records.append(Text(clipped(what, inner, _TEXT), (_MARGIN, top - _STEP - 0.5), _TEXT))
    records += [Text(text, (_MARGIN, foot - _STEP * (i + 1)), _TEXT) for i, text in enumerate(below)]
    for i, text in enumerate(columns):
        column, row = divmod(i, rows)
        x = _MARGIN + column * inner / (-(-len(columns) // rows))
        records.append(Text(text, (x, foot - _STEP * (len(below) + row + 1)), _TEXT))
    if unreleased:
        records += _not_to_build_from(width, height)
    return Drawing((width, height), plain(f"{name}: {what}"), remark, tuple(records))


def _lines(text: str, width: float, height: float) -> Iterator[str]:
    """As many lines as it takes; a word that is wider than the paper is cut."""
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if line and width_of(longer, height) > width:
            yield line
            line = word
        else:
            line = longer
        line = clipped(line, width, height)
    if line:
        yield line


def _columns(texts: Sequence[str], width: float) -> tuple[list[str], int]:
    """(the texts, cut where they are wider than a column; rows in a column)."""
    if not texts:
        return [], 0
    widest = max(width_of(text, _TEXT) for text in texts) + 6
    columns = max(1, min(len(texts), int(width // min(widest, width / 2 if len(texts) > 6 else width))))
    rows = -(-len(texts) // columns)
    columns = -(-len(texts) // rows)
    return [clipped(text, width / columns - 4, _TEXT) for text in texts], rows


def _not_to_build_from(width: float, height: float) -> list[Record]:
    red, text = LAYERS["warning"].colour, _MARK
    at = (width - _MARGIN, height - _MARGIN - _TITLE)
    wide = width_of(text, _TITLE, bold=True)
    return [rectangle_path("warning", 1, 1, width - 1, height - 1),
            rectangle_path("warning", at[0] - wide - 2, at[1] - 1.5, at[0], at[1] + _TITLE + 1.5, (255, 255, 255)),
            Text(text, (at[0] - 1, at[1]), _TITLE, "end", bold=True, colour=red)]
