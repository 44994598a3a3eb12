"""A template as data, and what of the strokes of a view lies in its window."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from deskmodel._edges import Point
from deskmodel.drawing._strokes import Stroke
from deskmodel.drawing.dimensions import figure
from deskmodel.features import Hole

__all__ = ["FaceArea", "Template", "drilled", "shifted", "upright", "within"]


@dataclass(frozen=True, slots=True)
class FaceArea:
    """``low`` to ``high`` of the template along y, mm, and the name of the face there."""

    name: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Template:
    """``visible`` strokes in mm from the lower left corner of ``size``. ``folds``: y of the arrises. ``references``: (x on
    the template, text); ``centres``: holes, with what is drilled there. ``group``: whose file it goes to; ``note``: how it
    lies on the piece."""

    group: str
    title: str
    size: tuple[float, float]
    visible: tuple[Stroke, ...]
    faces: tuple[FaceArea, ...]
    folds: tuple[float, ...]
    references: tuple[tuple[float, str], ...]
    centres: tuple[tuple[Point, float, str], ...]
    note: str = ""


def drilled(hole: Hole) -> str:
    return f"Ø {figure(hole.diameter)}, {'through' if hole.depth is None else f'{figure(hole.depth)} deep'}"


def within(stroke: Stroke, low: float, high: float, shift: Point) -> Iterator[Stroke]:
    """The stretch of a stroke with x from ``low`` to ``high``, shifted. An arc that is there in part is kept as it is: the
    sheet cuts off what is beyond the template."""
    if stroke.radius:
        if _touches(stroke, 0, low, high):
            yield shifted(stroke, shift)
        return
    clipped = _clip(stroke, 0, low, high)
    if clipped is not None:
        yield shifted(clipped, shift)


def upright(stroke: Stroke, low: float, high: float) -> Iterator[Stroke]:
    """The same of y, not shifted."""
    if stroke.radius:
        if _touches(stroke, 1, low, high):
            yield stroke
        return
    clipped = _clip(stroke, 1, low, high)
    if clipped is not None:
        yield clipped


def _touches(stroke: Stroke, axis: int, low: float, high: float) -> bool:
    places = [stroke.at(i / 64)[axis] for i in range(65)]
    return min(places) <= high + 1e-6 and max(places) >= low - 1e-6


def _clip(stroke: Stroke, axis: int, low: float, high: float) -> Stroke | None:
    a, b = sorted((stroke.a, stroke.b), key=lambda p: p[axis])
    rise = b[axis] - a[axis]
    if rise < 1e-9:
        return stroke if low - 1e-6 <= a[axis] <= high + 1e-6 else None
    if b[axis] < low + 1e-9 or a[axis] > high - 1e-9:
        return None

    def at(value: float) -> Point:
        share = (value - a[axis]) / rise
        return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])

    start = a if a[axis] >= low else at(low)
    stop = b if b[axis] <= high else at(high)
    return Stroke(start, stop) if math.dist(start, stop) > 1e-6 else None


def shifted(stroke: Stroke, by: Point) -> Stroke:
    return replace(stroke, a=(stroke.a[0] + by[0], stroke.a[1] + by[1]), b=(stroke.b[0] + by[0], stroke.b[1] + by[1]),
                   centre=(stroke.centre[0] + by[0], stroke.centre[1] + by[1]))
