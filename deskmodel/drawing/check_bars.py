"""What shows that a page came out in true size: bars of a stated length, and marks that lay one sheet upon the next."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.drawing.dimensions import polyline
from deskmodel.drawing.records import Record, Text

__all__ = ["TOLERANCE", "bar_text", "check_bar_x", "check_bar_y"]

TOLERANCE = 0.2
"""mm by which a bar may be off on paper: what is read off a steel rule (common practice)."""

_TICK, _TEXT = 2.5, 2.2


def check_bar_x(x: float, y: float, length: float) -> Iterator[Record]:
    """A level bar from (x, y), with its length above its middle."""
    yield polyline("visible", (x, y), (x + length, y))
    for end in (x, x + length):
        yield polyline("thin", (end, y - _TICK), (end, y + _TICK))
    yield Text(f"check: this bar is {length:g} long", (x + length / 2, y + 1.5), _TEXT, "middle")


def check_bar_y(x: float, y: float, length: float) -> Iterator[Record]:
    """The same standing upright, its text to the left."""
    yield polyline("visible", (x, y), (x, y + length))
    for end in (y, y + length):
        yield polyline("thin", (x - _TICK, end), (x + _TICK, end))
    yield Text(f"check: this bar is {length:g} long", (x - 1.5, y + length / 2), _TEXT, "middle", 90)


def bar_text(x: float, y: float) -> str:
    """What to do with the bars, ``x`` and ``y`` mm long."""
    return (f"Measure the check bars on every sheet with a steel rule: {x:g} along the sheet, {y:g} across it. If one is "
            f"off by more than {TOLERANCE:g}, do not use the sheet: print again at 100 %, not fitted to the page, or mark "
            f"by the figures of the table.")
