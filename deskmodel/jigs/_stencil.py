"""Lettering for a printed surface: stencil letters, whose inner islands hang on bars, as outlines without holes.

    The ring of an O would leave its middle standing alone; on the first layer it comes off the bed. A bar down the middle
    of each counter keeps it, and leaves two outlines that a prism can have.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from deskmodel._edges import Point
from deskmodel.profiles import Profile

__all__ = ["LEAST_HEIGHT", "Line", "height_for", "line_width", "lines_fitting", "stencil"]

LEAST_HEIGHT = 6.0
"""mm of capitals that are read at arm's length and that the nozzle still draws."""

_THINNEST = 0.19
"""Thinnest stroke of the bold letters as a share of the capitals' height."""

_LARGEST = 9.0  # mm
_PITCH = 1.35  # from line to line, in heights of capitals, at the least
_COARSE = 0.03  # mm by which an outline may be made simpler
_LEAST_AREA = 0.05  # mm² of a piece


@dataclass(frozen=True, slots=True)
class Line:
    """A line of text with capitals ``height`` high, its base line's left end at ``at``, all in mm."""

    text: str
    height: float
    at: Point


def height_for(nozzle: float) -> float:
    """The least height of capitals whose strokes are two nozzles wide."""
    return max(LEAST_HEIGHT, 2 * nozzle / _THINNEST)


def line_width(text: str, height: float) -> float:
    from deskmodel.drawing.outlines import advance  # here: who only explains a check draws nothing

    return sum(advance(sign, height) for sign in text)


def lines_fitting(texts: Sequence[str], box: tuple[float, float, float, float], nozzle: float) -> list[Line]:
    """The texts in a box (x0, y0, x1, y1), as large as they go: up to 9 mm with a line for each, else one after the other
    as small as is legible; the last ones are left out where not even that is possible."""
    x0, y0, x1, y1 = box
    wide, high = x1 - x0, y1 - y0
    least = height_for(nozzle)
    for count in range(len(texts), 0, -1):
        rows = list(texts[:count])
        if _fit(rows, least, wide, high):
            height = max(least, min(_LARGEST, high / (_PITCH * (count - 1) + 1), *(wide / line_width(t, 1.0) for t in rows)))
            return _placed(rows, height, box)
        flowing = _flowing(rows, least, wide)
        if _fit(flowing, least, wide, high):
            return _placed(flowing, least, box)
    return []


def _fit(rows: Sequence[str], height: float, wide: float, high: float) -> bool:
    return height * (_PITCH * (len(rows) - 1) + 1) <= high and all(line_width(text, height) <= wide for text in rows)


def _flowing(texts: Sequence[str], height: float, wide: float) -> list[str]:
    """The texts in as few lines as hold them; only what is wider than a line is broken at its words."""
    rows: list[str] = []
    for text in texts:
        for piece in [text] if line_width(text, height) <= wide else text.split():
            if rows and line_width(f"{rows[-1]} {piece}", height) <= wide:
                rows[-1] += f" {piece}"
            else:
                rows.append(piece)
    return rows


def _placed(rows: Sequence[str], height: float, box: tuple[float, float, float, float]) -> list[Line]:
    x0, y0, x1, y1 = box
    pitch = min(1.5, ((y1 - y0) / height - 1) / (len(rows) - 1)) * height if len(rows) > 1 else 0.0
    base = (y0 + y1 + pitch * (len(rows) - 1) - height) / 2
    return [Line(text, height, ((x0 + x1 - line_width(text, height)) / 2, base - i * pitch)) for i, text in enumerate(rows)]


def stencil(line: Line, bar: float) -> list[Profile]:
    """The outlines of a line of text, anticlockwise; ``bar``: mm of the bars in closed letters."""
    from deskmodel.drawing.outlines import advance, letter

    found: list[Profile] = []
    x, y = line.at
    for sign in line.text:
        for piece in _pieces(letter(sign, line.height), bar):
            points = _simpler([(px + x, py + y) for px, py in piece])
            area = _area(points)
            if len(points) >= 3 and abs(area) >= _LEAST_AREA:
                found.append(Profile(tuple((px, py, 0.0) for px, py in (points if area > 0 else points[::-1]))))
        x += advance(sign, line.height)
    return found


def _pieces(contours: Sequence[Sequence[Point]], bar: float) -> list[list[Point]]:
    """A sign cut by bars through its counters."""
    rings = [list(contour) for contour in contours]
    bars: list[float] = []
    for low, high in sorted((min(x for x, _ in ring), max(x for x, _ in ring)) for ring in rings if _area(ring) > 0):
        middle = (low + high) / 2
        if not any(low + bar / 2 <= x <= high - bar / 2 for x in bars):
            bars.append(middle)
    made: list[list[Point]] = []
    for left, right in pairwise([None, *bars, None]):
        part = rings
        if left is not None:
            part = _clipped(part, left + bar / 2, 1.0)
        if right is not None:
            part = _clipped(part, right - bar / 2, -1.0)
        made += part
    return made


def _clipped(rings: Sequence[Sequence[Point]], at: float, keep: float) -> list[list[Point]]:
    """What of the rings (filled by even and odd) lies at x > ``at`` (``keep`` 1) or x < ``at`` (-1)."""
    at += 1.234e-5  # off every corner of the font
    whole: list[list[Point]] = []
    chains: list[list[Point]] = []
    for ring in rings:
        inside = [keep * (x - at) > 0 for x, _ in ring]
        if all(inside):
            whole.append(list(ring))
            continue
        if not any(inside):
            continue
        start = next(i for i in range(len(ring)) if inside[i] and not inside[i - 1])
        order = [*range(start, len(ring)), *range(start)]
        chain = [_crossing(ring[start - 1], ring[start], at)]
        for i, k in enumerate(order):
            follower = order[(i + 1) % len(order)]
            if inside[k]:
                chain.append(ring[k])
                if not inside[follower]:
                    chain.append(_crossing(ring[k], ring[follower], at))
                    chains.append(chain)
            elif inside[follower] and follower != start:
                chain = [_crossing(ring[k], ring[follower], at)]
    return whole + _joined(chains)


def _joined(chains: list[list[Point]]) -> list[list[Point]]:
    """Chains that begin and end on one upright line, closed along it where the inside is."""
    ends = sorted([(chain[0][1], i, True) for i, chain in enumerate(chains)]
                  + [(chain[-1][1], i, False) for i, chain in enumerate(chains)])
    partner: dict[tuple[int, bool], tuple[int, bool]] = {}
    for low, high in zip(ends[::2], ends[1::2], strict=True):
        partner[low[1:]], partner[high[1:]] = high[1:], low[1:]
    made, done = [], set[int]()
    for first in range(len(chains)):
        ring: list[Point] = []
        i, forwards = first, True
        while i not in done:
            done.add(i)
            ring += chains[i] if forwards else chains[i][::-1]
            i, at_start = partner[(i, not forwards)]
            forwards = at_start
        if ring:
            made.append(ring)
    return made


def _crossing(a: Point, b: Point, at: float) -> Point:
    return at, a[1] + (at - a[0]) / (b[0] - a[0]) * (b[1] - a[1])


def _simpler(points: list[Point]) -> list[Point]:
    """Without the corners that lie on the line of their neighbours, to ``_COARSE``."""
    kept = list(points)
    changed = True
    while changed and len(kept) > 4:
        changed = False
        i = 0
        while i < len(kept) and len(kept) > 4:
            a, p, b = kept[i - 1], kept[i], kept[(i + 1) % len(kept)]
            long = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
            off = abs((b[0] - a[0]) * (a[1] - p[1]) - (a[0] - p[0]) * (b[1] - a[1])) / long if long > 1e-9 else 0.0
            if off < _COARSE:
                kept.pop(i)
                changed = True
                i += 1  # its neighbour stays this time, or a whole arc would go bit by bit
            else:
                i += 1
        if changed:
            break
    return kept


def _area(points: Sequence[Point]) -> float:
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]], strict=True)) / 2
