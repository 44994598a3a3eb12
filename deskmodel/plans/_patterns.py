"""Patterns of one strip: which pieces are cut from a length, one after the other, with a saw kerf between them.

A pattern is a tuple of counts, one for each item. Lengths are whole numbers of a common unit with the kerf added once to
each item and once to the room, so that the last cut of a strip needs no kerf of its own: a + b + kerf <= L is (a + k) + (b
+ k) <= L + k.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

__all__ = ["Strip", "best_pattern", "good_patterns", "strip_of"]

Pattern = tuple[int, ...]

_FINEST = 1000  # parts of a millimetre


@dataclass(frozen=True, slots=True)
class Strip:
    """``items``: lengths with kerf, whole numbers; ``most``: how many of each are wanted; ``room``: that of the strip."""

    items: tuple[int, ...]
    most: tuple[int, ...]
    room: int


def strip_of(lengths: Sequence[float], most: Sequence[int], room: float, kerf: float) -> Strip:
    """mm to whole numbers of the largest unit that they share: pieces are rounded up and room down to a thousandth."""
    items = [math.ceil((length + kerf) * _FINEST - 1e-6) for length in lengths]
    unit = math.gcd(*items)
    whole = math.floor((room + kerf) * _FINEST + 1e-6)
    return Strip(tuple(each // unit for each in items), tuple(most), whole // unit)


def best_pattern(strip: Strip, values: Sequence[float]) -> tuple[Pattern, float]:
    """The pattern that is worth most (a bounded knapsack, by dynamic programming) and its worth."""
    best = np.zeros(strip.room + 1)
    taken: list[tuple[int, int, np.ndarray]] = []
    for i, (size, most, value) in enumerate(zip(strip.items, strip.most, values, strict=True)):
        left = min(most, strip.room // size)
        if value <= 1e-12:
            continue
        chunk = 1
        while left > 0:  # 1, 2, 4, … copies at once
            copies = min(chunk, left)
            span = copies * size
            with_it = best[:-span] + copies * value
            better = with_it > best[span:] + 1e-12
            best[span:][better] = with_it[better]
            taken.append((i, copies, better))
            left, chunk = left - copies, chunk * 2
    counts = [0] * len(strip.items)
    at = strip.room
    for i, copies, better in reversed(taken):
        span = copies * strip.items[i]
        if at >= span and better[at - span]:
            counts[i] += copies
            at -= span
    return tuple(counts), sum(count * value for count, value in zip(counts, values, strict=True))


def good_patterns(strip: Strip, limit: int, values: Sequence[float] | None = None,
                  least: float = -math.inf) -> list[Pattern] | None:
    """All patterns to which no further piece can be added, with ``values`` those worth ``least`` or more; None where there
    are more than ``limit``. Any other pattern takes no more from what is wanted than one of them."""
    order = sorted(range(len(strip.items)), key=lambda i: (-strip.items[i], i))
    found: list[Pattern] = []
    for pattern in _maximal(strip, order, values, least, 200 * limit):
        if pattern is None or len(found) >= limit:
            return None
        found.append(pattern)
    return found


def _maximal(strip: Strip, order: Sequence[int], values: Sequence[float] | None, least: float,
             steps: int) -> Iterator[Pattern | None]:
    """Depth first, the longest piece first; None once ``steps`` are used up."""
    density = [max((values[i] / strip.items[i] for i in order[at:]), default=0.0) for at in range(len(order) + 1)] if (
        values is not None) else []
    counts = [0] * len(strip.items)
    stack: list[tuple[int, int, float, int]] = [(0, strip.room, 0.0, -1)]  # place in order, room, worth, count to set
    while stack:
        steps -= 1
        if steps < 0:
            yield None
            return
        at, room, worth, count = stack.pop()
        if count >= 0:
            counts[order[at - 1]] = count
        for i in order[at:]:
            counts[i] = 0
        if values is not None and worth + room * density[at] < least - 1e-9:
            continue
        if at == len(order):
            if all(counts[i] >= strip.most[i] or strip.items[i] > room for i in order):
                yield tuple(counts)
            continue
        i = order[at]
        value = values[i] if values is not None else 0.0
        for count in range(min(strip.most[i], room // strip.items[i]) + 1):
            stack.append((at + 1, room - count * strip.items[i], worth + count * value, count))
