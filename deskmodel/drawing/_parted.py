"""Curves taken apart where an answer along them changes; all curves at once, each question of many points."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from deskmodel.drawing._curves import Arc3, Curve
from deskmodel.drawing._rays import Bools, Floats, Rows

__all__ = ["Stretches", "parted", "sampled"]

Ask = Callable[[Floats, Floats], Bools]
"""Of points (n, 3) and the directions of the curves there (n, 3), unit: (n,) bool."""

_SHORT = 1e-6
_ONE, _THREE = (0.47,), (0.13, 0.47, 0.83)


@dataclass(frozen=True, slots=True)
class Stretches:
    """Between two of ``places`` (0 to 1, ascending) of a curve one point is asked, or three where ``thrice`` says so (None:
    wherever there is more than one stretch)."""

    places: Sequence[float]
    thrice: Sequence[bool] | None = None


class _Places:
    """Where on which curve, as points and directions."""

    def __init__(self, curves: Sequence[Curve]) -> None:
        self._round = np.array([isinstance(curve, Arc3) for curve in curves], bool)
        # a line: start and way; an arc: centre, x and y, radius, first angle, sweep
        self._from = np.array([c.centre if isinstance(c, Arc3) else c.a for c in curves]).reshape(-1, 3)
        self._x = np.array([c.x if isinstance(c, Arc3) else np.subtract(c.b, c.a) for c in curves]).reshape(-1, 3)
        self._y = np.array([c.y if isinstance(c, Arc3) else (0.0, 0.0, 0.0) for c in curves]).reshape(-1, 3)
        self._size = np.array([(c.radius, c.start, c.sweep) if isinstance(c, Arc3) else (0.0, 0.0, 0.0)
                               for c in curves]).reshape(-1, 3)

    def said(self, which: Rows, t: Floats, ask: Ask) -> Bools:
        origin, x, y, t = self._from[which], self._x[which], self._y[which], t[:, None]
        radius, start, sweep = (self._size[which, k, None] for k in range(3))
        angle = start + t * sweep
        c, s = np.cos(angle), np.sin(angle)
        arcs = self._round[which, None]
        points = origin + np.where(arcs, x * (radius * c) + y * (radius * s), t * x)
        along = np.where(arcs, x * -s + y * c, x)
        along /= np.sqrt((along * along).sum(axis=1))[:, None]
        return ask(points, along)


def parted(curves: Sequence[Curve], asked: Sequence[Stretches], ask: Ask,
           coarse: float = 1e-7) -> Iterator[list[tuple[Curve, bool]]]:
    """Each curve in stretches of one answer. Where two neighbours differ the place of the change is found by halving, to
    ``coarse`` mm; a change at one of the places lies just there."""
    places: list[tuple[int, float, float, tuple[float, ...]]] = []
    for which, each in enumerate(asked):
        for i, (start, stop) in enumerate(pairwise(each.places)):
            three = len(each.places) > 2 if each.thrice is None else each.thrice[i]
            shares = _THREE if three else _ONE
            places.append((which, start, stop, tuple(start + share * (stop - start) for share in shares)))
    runs: list[list[tuple[float, float, bool]]] = [[] for _ in curves]
    within = [coarse / curve.length if curve.length else 1.0 for curve in curves]
    for which, start, stop, answer in _runs(curves, places, within, ask):
        own = runs[which]
        if stop - start <= 1e-12:
            continue
        if own and own[-1][2] == answer:
            own[-1] = (own[-1][0], stop, answer)
        else:
            own.append((start, stop, answer))
    for curve, own in zip(curves, runs, strict=True):
        yield [(curve.part(start, stop), answer) for start, stop, answer in own if (stop - start) * curve.length > _SHORT]


def sampled(curves: Sequence[Curve], step: float, ask: Ask) -> Iterator[list[tuple[Curve, bool]]]:
    """As ``parted`` where nothing is known of where the answer changes: one point for each ``step`` mm, changes found to a
    hundredth of it."""
    counts = [max(1, math.ceil(curve.length / step)) for curve in curves]
    places = [(which, 0.0, 1.0, tuple((i + 0.47) / n for i in range(n))) for which, n in enumerate(counts)]
    within = [step / 100 / curve.length if curve.length else 1.0 for curve in curves]
    found: list[list[tuple[Curve, bool]]] = [[] for _ in curves]
    for which, start, stop, answer in _runs(curves, places, within, ask):
        found[which].append((curves[which].part(start, stop), answer))
    yield from found


def _runs(curves: Sequence[Curve], places: Sequence[tuple[int, float, float, tuple[float, ...]]], within: Sequence[float],
          ask: Ask) -> Iterator[tuple[int, float, float, bool]]:
    """(which curve, from, to, answer) of each piece of each of ``places``: (which curve, from, to, where it is asked)."""
    if not places:
        return
    table = _Places(curves)
    counts = np.array([len(asked) for _, _, _, asked in places])
    stretch = np.repeat(np.arange(len(places)), counts)
    which = np.array([curve for curve, _, _, _ in places])[stretch]
    t = np.array([each for _, _, _, asked in places for each in asked])
    answers = table.said(which, t, ask)
    before = np.flatnonzero((stretch[1:] == stretch[:-1]) & (answers[1:] != answers[:-1]))
    changes = _changed(table, which[before], t[before], t[before + 1], answers[before], np.array(within)[which[before]], ask)
    change = dict(zip(before.tolist(), changes.tolist(), strict=True))
    said = answers.tolist()
    at = 0
    for curve, start, stop, asked in places:
        for i in range(at, at + len(asked) - 1):
            if i in change:
                yield curve, start, change[i], said[i]
                start = change[i]
        at += len(asked)
        yield curve, start, stop, said[at - 1]


def _changed(table: _Places, which: Rows, low: Floats, high: Floats, one: Bools, within: Floats,
             ask: Ask) -> Floats:
    """Where the answers stop being ``one``."""
    low, high = low.copy(), high.copy()
    rows = np.flatnonzero(high - low > within)
    while len(rows):
        middle = (low[rows] + high[rows]) / 2
        same = table.said(which[rows], middle, ask) == one[rows]
        low[rows[same]], high[rows[~same]] = middle[same], middle[~same]
        rows = rows[high[rows] - low[rows] > within[rows]]
    return high
