"""Whether a layout can be sawn, judged by shapely and by cutting it up again: nothing here is shared with what made it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from shapely import STRtree, box, union_all

Rect = tuple[float, float, float, float]  # x, y, length, width


def faults(rects: Sequence[Rect], sheet: tuple[float, float], kerf: float) -> list[str]:
    """Pieces off the sheet, pieces nearer to each other than the kerf: each piece grown by the kerf to the right and upwards
    may touch the next ones but not enter them."""
    whole = box(0, 0, *sheet).buffer(1e-6)
    shapes = [box(x, y, x + length, y + width) for x, y, length, width in rects]
    grown = [box(x, y, x + length + kerf, y + width + kerf) for x, y, length, width in rects]
    found = [f"piece {i} leaves the sheet" for i, shape in enumerate(shapes) if not whole.covers(shape)]
    tree = STRtree(grown)
    for i, shape in enumerate(grown):
        found += [f"pieces {i} and {j} meet" for j in tree.query(shape)
                  if j > i and shape.intersection(grown[j]).area > 1e-4]
    return found


def filled(rects: Sequence[Rect]) -> float:
    """Area that the pieces cover together."""
    return float(union_all([box(x, y, x + length, y + width) for x, y, length, width in rects]).area)


def sawable(rects: Sequence[Rect], kerf: float) -> bool:
    """Whether cuts from edge to edge part the pieces one from the other."""
    if len(rects) <= 1:
        return True
    for axis in (0, 1):
        for at in sorted({r[axis] + r[axis + 2] for r in rects}):
            low = [r for r in rects if r[axis] + r[axis + 2] <= at + 1e-6]
            high = [r for r in rects if r[axis] >= at + kerf - 1e-6]
            if high and len(low) + len(high) == len(rects):
                return sawable(low, kerf) and sawable(high, kerf)
    return False


def touching(rects: Sequence[Rect]) -> int:
    """Pairs of pieces that touch, for tests of the judge itself."""
    return sum(box(a[0], a[1], a[0] + a[2], a[1] + a[3]).touches(box(b[0], b[1], b[0] + b[2], b[1] + b[3]))
               for a, b in combinations(rects, 2))
