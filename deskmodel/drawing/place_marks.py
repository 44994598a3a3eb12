"""Marks on a small picture of a place: hatching of an area, letters in it, a measured line, a ring, a figure beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from deskmodel.drawing.dimensions import polyline, rectangle_path
from deskmodel.drawing.labels import Box, shared
from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.records import LAYERS, LayerName, Path, Point, Record, Text
from deskmodel.profiles import circle

__all__ = ["Rings", "figure_beside", "hatched", "inmost", "letter", "measured_line", "ring"]

Rings = Sequence[Sequence[Point]]

_STEP = 1.5  # mm of paper between hatching lines
_RADIUS = 2.3  # of a letter's disc
_LETTER, _FIGURE = 2.5, 2.4
_WHITE = (255, 255, 255)
_GRID = 22
_SHORT = 7.0  # mm of paper; a shorter line is measured from outside
_TAIL = 5.0
_TRIED = tuple((away, turn * math.pi / 8) for away in (7.0, 9.0, 11.5, 14.0, 17.0, 21.0) for turn in range(16))

Floats = NDArray[np.float64]


def hatched(rings: Rings, layer: LayerName, *, falling: bool) -> Iterator[Path]:
    """Lines at 45° through an area on paper, mm; what an odd number of rings enclose."""
    sign = 1.0 if falling else -1.0
    starts, ends = _sides(rings)
    if not len(starts):
        return
    across0, across1 = starts[:, 0] + sign * starts[:, 1], ends[:, 0] + sign * ends[:, 1]
    low, high = min(across0.min(), across1.min()), max(across0.max(), across1.max())
    lines = []
    for k in range(math.ceil(low / (_STEP * math.sqrt(2))), math.floor(high / (_STEP * math.sqrt(2))) + 1):
        at = k * _STEP * math.sqrt(2) + 1e-7
        meets = (across0 > at) != (across1 > at)
        if not meets.any():
            continue
        share = (at - across0[meets]) / (across1[meets] - across0[meets])
        xs = np.sort(starts[meets, 0] + share * (ends[meets, 0] - starts[meets, 0]))
        lines += [((float(x0), (at - float(x0)) * sign, 0.0), (float(x1), (at - float(x1)) * sign, 0.0))
                  for x0, x1 in zip(xs[::2], xs[1::2], strict=False) if x1 - x0 > 0.05]
    if lines:
        yield Path(layer, tuple(lines), closed=False)


def inmost(rings: Rings, away: Sequence[tuple[Point, float]]) -> tuple[Point, float] | None:
    """(the point of an area that lies deepest in it, and ``away`` from each (point, radius); mm to the nearest of both).
    None where no point of a grid lies in it."""
    starts, ends = _sides(rings)
    if not len(starts):
        return None
    low, high = starts.min(axis=0), starts.max(axis=0)
    share = (np.arange(_GRID) + 0.5) / _GRID
    grid = np.stack([g.ravel() for g in np.meshgrid(low[0] + share * (high[0] - low[0]), low[1] + share * (high[1] - low[1]),
                                                    indexing="ij")], axis=1)
    x, y = grid[:, :1], grid[:, 1:]
    crossed = (starts[None, :, 1] > y) != (ends[None, :, 1] > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        at = starts[:, 0] + (y - starts[:, 1]) / (ends[:, 1] - starts[:, 1]) * (ends[:, 0] - starts[:, 0])
    inside = (crossed & (at > x)).sum(axis=1) % 2 == 1
    if not inside.any():
        return None
    grid = grid[inside]
    along = ends - starts
    length = np.maximum((along ** 2).sum(axis=1), 1e-12)
    t = np.clip(((grid[:, None] - starts) * along).sum(axis=2) / length, 0.0, 1.0)
    room = np.hypot(*np.moveaxis(grid[:, None] - starts - t[..., None] * along, 2, 0)).min(axis=1)
    free = np.minimum(room, 4.0)  # deeper in is no better
    for point, radius in away:
        free = np.minimum(free, np.hypot(grid[:, 0] - point[0], grid[:, 1] - point[1]) - radius)
    best = int(np.argmax(np.round(free, 6)))
    return (float(grid[best, 0]), float(grid[best, 1])), float(min(free[best], room[best]))


def letter(sign: str, at: Point, free: float, layer: LayerName, window: Box, taken: list[Box]) -> Iterator[Record]:
    """A letter in a disc on an area; where the area is too narrow for it (``free`` mm about ``at``), beside it with a line
    that leads there."""
    colour = LAYERS[layer].colour
    place = at
    if free < _RADIUS + 0.2:
        place = _beside(at, (2 * _RADIUS, 2 * _RADIUS), window, taken)
        yield polyline(layer, at, place)
        yield Path("fill", (circle(1.0, at).vertices,), colour)
    taken.append((place[0] - _RADIUS, place[1] - _RADIUS, place[0] + _RADIUS, place[1] + _RADIUS))
    yield Path(layer, (circle(2 * _RADIUS, place).vertices,), _WHITE)
    yield Text(sign, (place[0], place[1] - _LETTER / 2), _LETTER, "middle", bold=True, colour=colour)


def measured_line(a: Point, b: Point) -> Iterator[Record]:
    """From a to b, with arrows from within, or from outside where it is short."""
    length = math.hypot(b[0] - a[0], b[1] - a[1])
    if length < 1e-6:
        return
    d = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    if length >= _SHORT:
        yield polyline("measured", a, b)
        yield _head(a, (-d[0], -d[1]))
        yield _head(b, d)
        return
    yield polyline("measured", (a[0] - d[0] * _TAIL, a[1] - d[1] * _TAIL), (b[0] + d[0] * _TAIL, b[1] + d[1] * _TAIL))
    yield _head(a, d)
    yield _head(b, (-d[0], -d[1]))


def _head(tip: Point, d: Point) -> Path:
    """A filled arrowhead that points along ``d``, larger than that of a dimension."""
    (x, y), (dx, dy) = tip, d
    bx, by = x - dx * 2.4, y - dy * 2.4
    return Path("fill", (((x, y, 0.0), (bx - dy * 0.75, by + dx * 0.75, 0.0), (bx + dy * 0.75, by - dx * 0.75, 0.0)),),
                LAYERS["measured"].colour)


def ring(middle: Point, radius: float) -> Path:
    return Path("measured", (circle(2 * radius, middle).vertices,))


def figure_beside(text: str, at: Point, radius: float, window: Box, taken: list[Box]) -> Iterator[Record]:
    """A figure where it covers nothing that is ``taken``, with a line that leads to the ring of ``radius`` about ``at``, or
    to ``at`` itself where it is 0."""
    size = width_of(text, _FIGURE, True) + 1.6, _FIGURE + 1.8
    x, y = _beside(at, size, window, taken)
    box = x - size[0] / 2, y - size[1] / 2, x + size[0] / 2, y + size[1] / 2
    taken.append(box)
    foot = min(max(at[0], box[0]), box[2]), min(max(at[1], box[1]), box[3])
    away = math.dist(at, foot)
    if away > radius + 0.2:
        share = radius / away
        yield polyline("measured", (at[0] + share * (foot[0] - at[0]), at[1] + share * (foot[1] - at[1])), foot)
    yield rectangle_path("fill", *box, _WHITE)
    yield Text(text, (x, y - _FIGURE / 2), _FIGURE, "middle", bold=True, colour=LAYERS["measured"].colour)


def _beside(at: Point, size: tuple[float, float], window: Box, taken: Sequence[Box]) -> Point:
    """Middle of a box of that size near ``at``, within the window, that covers least of what is taken."""
    best: tuple[float, float, float] | None = None
    half = size[0] / 2 + 0.5, size[1] / 2 + 0.5
    for i, (away, turn) in enumerate(_TRIED):
        # farther by as much as the box is wide that way
        x = at[0] + (away - 4.0 + half[0] * abs(math.cos(turn))) * math.cos(turn)
        y = at[1] + (away - 4.0 + half[1]) * math.sin(turn)
        box = x - half[0], y - half[1], x + half[0], y + half[1]
        if box[0] < window[0] or box[1] < window[1] or box[2] > window[2] or box[3] > window[3]:
            continue
        cost = sum(shared(box, other) for other in taken) * 10 + 0.01 * i
        if best is None or cost < best[0]:
            best = cost, x, y
    if best is None:
        return (min(max(at[0], window[0] + half[0]), window[2] - half[0]),
                min(max(at[1], window[1] + half[1]), window[3] - half[1]))
    return best[1], best[2]


def _sides(rings: Rings) -> tuple[Floats, Floats]:
    """Starts and ends (n, 2) of all sides."""
    starts = [p for ring in rings for p in ring]
    ends = [p for ring in rings for p in (*ring[1:], *ring[:1])]
    return np.asarray(starts, dtype=float).reshape(-1, 2), np.asarray(ends, dtype=float).reshape(-1, 2)
