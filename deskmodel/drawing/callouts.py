"""Names beside a picture, each with a line to what it names; they are spread so that none runs into another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from deskmodel.drawing.dimensions import polyline, spread
from deskmodel.drawing.flow import lines_of
from deskmodel.drawing.pdf import drawable
from deskmodel.drawing.records import Path, Point, Record, Text
from deskmodel.profiles import circle

__all__ = ["Callout", "callouts"]

_TEXT, _STEP = 2.2, 3.8
_DOT = 1.0


@dataclass(frozen=True, slots=True)
class Callout:
    """``at``: the place that is meant, mm on paper. ``right``: on which side its name stands."""

    text: str
    at: Point
    right: bool


def callouts(given: Sequence[Callout], picture: tuple[float, float, float, float], column: float) -> Iterator[Record]:
    """Names in columns ``column`` mm wide to the left and right of ``picture`` (x low, y low, x high, y high)."""
    x0, y0, x1, y1 = picture
    for right in (False, True):
        mine = sorted((each for each in given if each.right == right), key=lambda each: (each.at[1], each.at[0], each.text))
        blocks = [lines_of(drawable(each.text), column - 4.0, _TEXT) for each in mine]
        if not mine:
            continue
        tall = max(len(block) for block in blocks) * _STEP + 1.2
        low, high = y0 + tall / 2, y1 - tall / 2
        places = spread([each.at[1] for each in mine], tall)
        places = [max(place, low + i * tall) for i, place in enumerate(places)]
        places = [min(place, high - (len(places) - 1 - i) * tall) for i, place in enumerate(places)]
        edge = x1 if right else x0
        for each, lines, y in zip(mine, blocks, places, strict=True):
            start = edge + (1.5 if right else -1.5)
            yield polyline("dimension", each.at, (edge, y), (start, y))
            yield Path("fill", (circle(_DOT, each.at).vertices,), (20, 60, 130))
            top = y + (len(lines) - 1) * _STEP / 2 - _TEXT / 2
            for i, line in enumerate(lines):
                yield Text(line, (start + (1.0 if right else -1.0), top - i * _STEP), _TEXT, "start" if right else "end")
