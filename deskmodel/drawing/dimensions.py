"""Dimensions and rulers as records: narrow lines, filled arrowheads, figures above the line (ISO 129-1, from memory)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.records import LAYERS, Path, Point, Record, Text

__all__ = ["arrow", "figure", "height_dimension", "polyline", "rectangle_path", "ruler", "spread", "width_dimension"]

_ARROW, _HALF = 2.2, 0.38  # length and half width of an arrowhead
_GAP, _BEYOND = 0.8, 1.6  # an extension line starts off the outline and runs past the dimension line
_COLOUR = LAYERS["dimension"].colour


def figure(value: float) -> str:
    """A length for people: to a hundredth, without superfluous zeros."""
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def polyline(layer: str, *points: Point) -> Path:
    return Path(layer, (tuple((x, y, 0.0) for x, y in points),), closed=False)  # type: ignore[arg-type]  # a LayerName


def rectangle_path(layer: str, x0: float, y0: float, x1: float, y1: float,
                   fill: tuple[int, int, int] | None = None) -> Path:
    return Path(layer, (((x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0)),), fill)  # type: ignore[arg-type]


def arrow(tip: Point, towards: Point, layer: str = "dimension") -> Path:
    """A filled arrowhead; ``towards`` is the unit vector in which it points."""
    (x, y), (dx, dy) = tip, towards
    bx, by = x - dx * _ARROW, y - dy * _ARROW
    outline = ((x, y, 0.0), (bx - dy * _HALF, by + dx * _HALF, 0.0), (bx + dy * _HALF, by - dx * _HALF, 0.0))
    return Path("fill", (outline,), LAYERS[layer].colour)  # type: ignore[index]


def width_dimension(x0: float, x1: float, y: float, text: str, height: float = 2.5,
                    from_y: float | None = None) -> Iterator[Record]:
    """A horizontal dimension at ``y``; extension lines from ``from_y``. Where the figure has no room between the arrows it
    stands behind the right one, and the arrows point inwards."""
    yield from _extensions(((x0, from_y), (x1, from_y)), y, upright=True)
    narrow = x1 - x0 < width_of(text, height) + 2 * _ARROW + 1
    if narrow:
        end = x1 + _ARROW + 2 + width_of(text, height)
        yield polyline("dimension", (x0 - _ARROW - 2, y), (end, y))
        yield arrow((x0, y), (1, 0))
        yield arrow((x1, y), (-1, 0))
        yield Text(text, (end, y + 0.7), height, "end", colour=_COLOUR)
        return
    yield polyline("dimension", (x0, y), (x1, y))
    yield arrow((x0, y), (-1, 0))
    yield arrow((x1, y), (1, 0))
    yield Text(text, ((x0 + x1) / 2, y + 0.7), height, "middle", colour=_COLOUR)


def height_dimension(x: float, y0: float, y1: float, text: str, height: float = 2.5,
                     from_x: float | None = None, ground: tuple[int, int, int] | None = None) -> Iterator[Record]:
    """The same standing upright at ``x``, its figure read from the right; ``ground``: a colour laid below the figure."""
    yield from _extensions(((from_x, y0), (from_x, y1)), x, upright=False)
    narrow = y1 - y0 < width_of(text, height) + 2 * _ARROW + 1
    if narrow:
        end = y1 + _ARROW + 2 + width_of(text, height)
        yield polyline("dimension", (x, y0 - _ARROW - 2), (x, end))
        yield arrow((x, y0), (0, 1))
        yield arrow((x, y1), (0, -1))
        yield Text(text, (x - 0.7, end), height, "end", 90, colour=_COLOUR)
        return
    yield polyline("dimension", (x, y0), (x, y1))
    yield arrow((x, y0), (0, -1))
    yield arrow((x, y1), (0, 1))
    if ground:
        half = width_of(text, height) / 2 + 0.4
        yield rectangle_path("fill", x - 0.9 - height, (y0 + y1) / 2 - half, x - 0.3, (y0 + y1) / 2 + half, ground)
    yield Text(text, (x - 0.7, (y0 + y1) / 2), height, "middle", 90, colour=_COLOUR)


def _extensions(ends: Sequence[tuple[float | None, float | None]], at: float, *, upright: bool) -> Iterator[Record]:
    for x, y in ends:
        if upright and x is not None and y is not None:
            away = 1 if at > y else -1
            yield polyline("dimension", (x, y + away * _GAP), (x, at + away * _BEYOND))
        elif not upright and x is not None and y is not None:
            away = 1 if at > x else -1
            yield polyline("dimension", (x + away * _GAP, y), (at + away * _BEYOND, y))


def ruler(marks: Sequence[tuple[float, str]], start: float, away: float, *, upright: bool,
          height: float = 1.8) -> Iterator[Record]:
    """Figures beside the places that they tell, spread where they would touch, each with a line to its place.

    ``marks``: (coordinate on paper, figure). The lines start at ``start`` and lead ``away`` (above 0: up, below 0: to the
    left). ``upright``: marks along x with the figures turned; else marks along y."""
    places = spread([at for at, _ in marks], height + 0.7)
    sign = 1 if away > 0 else -1
    for (at, text), place in zip(marks, places, strict=True):
        bend, end = start + sign * 1.5, start + away
        if upright:
            yield polyline("dimension", (at, start + sign * 0.5), (at, bend), (place, end))
            yield Text(text, (place + height / 2, end + sign * 0.7), height, "start", 90, colour=_COLOUR)
        else:
            yield polyline("dimension", (start + sign * 0.5, at), (bend, at), (end, place))
            yield Text(text, (end + sign * 0.7, place - height / 2), height, "end" if sign < 0 else "start", colour=_COLOUR)


def spread(places: Sequence[float], apart: float) -> list[float]:
    """The places, moved as little as can be so that each is ``apart`` from the next; ascending order in and out."""
    groups: list[list[float]] = []  # [sum of wanted starts, count]: each group is packed about its mean
    for i, place in enumerate(places):
        groups.append([place - i * apart, 1])
        while len(groups) > 1 and groups[-2][0] / groups[-2][1] > groups[-1][0] / groups[-1][1]:
            total, count = groups.pop()
            groups[-1][0] += total
            groups[-1][1] += count
    starts = [total / count for total, count in groups for _ in range(int(count))]
    return [start + i * apart for i, start in enumerate(starts)]
