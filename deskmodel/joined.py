"""One outline for openings that run into each other: a laser cuts their common border, not each of them."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from deskmodel._numbers import told, vector
from deskmodel.errors import InputFault
from deskmodel.profiles import Profile

__all__ = ["joined_rectangles"]

Corner = tuple[float, float]


def joined_rectangles(rectangles: Iterable[tuple[float, float, float, float]]) -> tuple[Profile, ...]:
    """The outlines of all that the rectangles (x0, y0, x1, y1) cover together, mm; one for each piece, from left to right.

    Rectangles that overlap or share a border are one piece; such that only meet in a corner stay apart. InputFault where
    they enclose an island: cutting round it, the island would fall out."""
    boxes = [_box(each) for each in rectangles]
    if not boxes:
        raise InputFault("no rectangles to join", allowed="one or more (x0, y0, x1, y1)")
    xs = sorted({x for x0, _, x1, _ in boxes for x in (x0, x1)})
    ys = sorted({y for _, y0, _, y1 in boxes for y in (y0, y1)})
    cells = {(i, j) for i, (a, b) in enumerate(pairwise(xs)) for j, (c, d) in enumerate(pairwise(ys))
             if any(x0 <= a and b <= x1 and y0 <= c and d <= y1 for x0, y0, x1, y1 in boxes)}
    outlines = []
    while cells:
        piece = _connected(min(cells), cells)
        cells -= piece
        loops = _borders(piece)
        if len(loops) > 1:
            inner = min(loops, key=len)
            x, y = xs[inner[0][0]], ys[inner[0][1]]
            raise InputFault(f"openings that enclose an island near x {x:g}, y {y:g}",
                             allowed="openings that leave the plate in one piece")
        outlines.append(Profile(tuple((xs[i], ys[j], 0.0) for i, j in loops[0])))
    return tuple(outlines)


def _box(given: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = vector("rectangle (x0, y0, x1, y1)", given, 4)
    if not (x0 < x1 and y0 < y1):
        raise InputFault(f"rectangle {told(given)}", allowed="(x0, y0, x1, y1) with x0 below x1 and y0 below y1")
    return x0, y0, x1, y1


def _connected(start: tuple[int, int], cells: set[tuple[int, int]]) -> set[tuple[int, int]]:
    piece, waiting = {start}, [start]
    while waiting:
        i, j = waiting.pop()
        for near in {(i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)} & cells - piece:
            piece.add(near)
            waiting.append(near)
    return piece


def _borders(piece: set[tuple[int, int]]) -> list[list[tuple[int, int]]]:
    """Closed borders as grid corners, what is covered to the left: outer ones anticlockwise. Where two cells meet only
    in a corner the border turns right there, so each loop stays simple."""
    steps: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for i, j in piece:
        for start, stop, beyond in (((i, j), (i + 1, j), (i, j - 1)), ((i + 1, j), (i + 1, j + 1), (i + 1, j)),
                                    ((i + 1, j + 1), (i, j + 1), (i, j + 1)), ((i, j + 1), (i, j), (i - 1, j))):
            if beyond not in piece:
                steps.setdefault(start, []).append(stop)
    loops = []
    while steps:
        start = min(steps)
        loop = [start]
        at, came = steps[start].pop(), start
        while at != start:
            loop.append(at)
            ways = steps[at]
            dx, dy = at[0] - came[0], at[1] - came[1]
            # of two ways out of a shared corner the left turn keeps to the same cell
            way = ways[0] if len(ways) == 1 else next(w for w in ways if (w[0] - at[0], w[1] - at[1]) == (-dy, dx))
            ways.remove(way)
            came, at = at, way
        steps = {corner: ways for corner, ways in steps.items() if ways}
        loops.append(_corners(loop))
    return loops


def _corners(loop: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Without the corners at which the border runs straight on."""
    around = [loop[-1], *loop, loop[0]]
    return [b for a, b, c in zip(around, around[1:], around[2:], strict=False)
            if (b[0] - a[0]) * (c[1] - b[1]) != (b[1] - a[1]) * (c[0] - b[0])]
