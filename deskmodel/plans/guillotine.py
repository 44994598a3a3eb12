"""Rectangles from sheets by cuts from edge to edge, as a panel saw and a veneer knife make them.

A heuristic, and it says so: pieces are put one after the other into the free rectangle where they leave least beside them;
each then splits what is free by one cut. Several orders and ways to split are tried, always the same ones, and the best
layout is kept. The bound is one of area: n sheets hold no more than n (W + k)(H + k) when each piece takes (w + k)(h + k),
k the kerf.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

__all__ = ["CutSheet", "Nesting", "Panel", "PanelSpot", "SheetKind", "nest"]

_EPS = 1e-6


@dataclass(frozen=True, slots=True)
class Panel:
    """A piece ``length`` × ``width``; ``turns``: whether it may be turned by a right angle."""

    name: str
    length: float
    width: float
    turns: bool


@dataclass(frozen=True, slots=True)
class SheetKind:
    """Sheets that are alike: what can be used of them, margins taken off, mm; ``cost`` of one; ``count`` None: as many as
    wanted."""

    name: str
    length: float
    width: float
    cost: int
    count: int | None = None


@dataclass(frozen=True, slots=True)
class PanelSpot:
    """Where a piece lies: ``x`` along the sheet's length, ``y`` across; ``length`` and ``width`` as it lies."""

    name: str
    x: float
    y: float
    length: float
    width: float
    turned: bool


@dataclass(frozen=True, slots=True)
class CutSheet:
    sheet: str
    spots: tuple[PanelSpot, ...]


@dataclass(frozen=True, slots=True)
class Nesting:
    """``cost`` of the sheets used and the ``bound`` below which no layout can be, by area. ``missing``: pieces for which
    there is no sheet, or not enough of them."""

    sheets: tuple[CutSheet, ...]
    cost: int
    bound: int
    missing: tuple[str, ...]

    @property
    def proved(self) -> bool:
        return self.cost <= self.bound and not self.missing


@dataclass(frozen=True, slots=True)
class _Free:
    x: float
    y: float
    length: float
    width: float


def nest(panels: Sequence[Panel], kinds: Sequence[SheetKind], kerf: float) -> Nesting:
    """The cheapest of the layouts that are tried; of equally cheap ones the one with the largest rest in one piece."""
    able = [panel for panel in panels if any(_fits(panel, kind) for kind in kinds)]
    lost = [panel.name for panel in panels if panel not in able]
    best: tuple[tuple[float, ...], list[CutSheet], list[str]] | None = None
    for order, split, first in product(range(len(_ORDERS)), range(len(_SPLITS)), _choices(kinds)):
        sheets, left = _one_way(sorted(able, key=_ORDERS[order]), kinds, first, kerf, split)
        cost = sum(_kind(kinds, sheet.sheet).cost for sheet in sheets)
        rank = (float(len(left)), float(cost), float(len(sheets)), -_rest(sheets, kinds, kerf))
        if best is None or rank < best[0]:
            best = rank, sheets, left
    if best is None or not able:
        return Nesting((), 0, 0, tuple(lost))
    cost = sum(_kind(kinds, sheet.sheet).cost for sheet in best[1])
    return Nesting(tuple(best[1]), cost, min(cost, _area_bound(able, kinds, kerf)), (*lost, *best[2]))


_ORDERS: tuple[Callable[[Panel], tuple[float | str, ...]], ...] = (
    lambda p: (-p.length * p.width, p.name),
    lambda p: (-max(p.length, p.width), -min(p.length, p.width), p.name),
    lambda p: (-p.width, -p.length, p.name),
    lambda p: (-p.length, -p.width, p.name),
    lambda p: (-min(p.length, p.width), -max(p.length, p.width), p.name),
    lambda p: (-p.length - p.width, p.name),
)
_SPLITS = ("along", "across", "larger rest", "smaller rest")


def _choices(kinds: Sequence[SheetKind]) -> list[str | None]:
    """Which unlimited sheet is bought when what is limited is used up; None: the limited ones alone."""
    bought: list[str | None] = [kind.name for kind in kinds if kind.count is None]
    return bought or [None]


def _kind(kinds: Sequence[SheetKind], name: str) -> SheetKind:
    return next(kind for kind in kinds if kind.name == name)


def _one_way(panels: list[Panel], kinds: Sequence[SheetKind], bought: str | None, kerf: float,
             split: int) -> tuple[list[CutSheet], list[str]]:
    """(sheets, names left over): limited sheets first, the cheapest for its area first; then of one kind as many as it
    takes."""
    rest = list(panels)
    sheets: list[CutSheet] = []
    limited = [kind for kind in kinds if kind.count is not None]
    for kind in sorted(limited, key=lambda k: (k.cost / (k.length * k.width), k.length * k.width, k.name)):
        for _ in range(min(kind.count or 0, len(rest))):
            spots, rest = _fill(rest, kind, kerf, split)
            if not spots:
                break
            sheets.append(CutSheet(kind.name, tuple(spots)))
    while rest and bought is not None:
        chosen = _kind(kinds, bought)
        if not any(_fits(panel, chosen) for panel in rest):  # too large for this kind: the smallest that takes the next
            able = [kind for kind in kinds if kind.count is None and _fits(rest[0], kind)]
            if not able:
                break
            chosen = min(able, key=lambda k: (k.cost, k.length * k.width, k.name))
        spots, rest = _fill(rest, chosen, kerf, split)
        if not spots:
            break
        sheets.append(CutSheet(chosen.name, tuple(spots)))
    return sheets, [panel.name for panel in rest]


def _fill(panels: list[Panel], kind: SheetKind, kerf: float, split: int) -> tuple[list[PanelSpot], list[Panel]]:
    free = [_Free(0.0, 0.0, kind.length, kind.width)]
    spots: list[PanelSpot] = []
    left: list[Panel] = []
    for panel in panels:
        place = min(_places(panel, free), default=None)
        if place is None:
            left.append(panel)
            continue
        _, _, number, turned = place
        room = free.pop(number)
        length, width = (panel.width, panel.length) if turned else (panel.length, panel.width)
        spots.append(PanelSpot(panel.name, room.x, room.y, length, width, turned))
        free += _rest_of(room, length, width, kerf, _SPLITS[split])
    return spots, left


def _places(panel: Panel, free: Sequence[_Free]) -> Iterator[tuple[float, float, int, bool]]:
    """(least room beside it, most room beside it, free rectangle, turned), of every way in which it goes in."""
    for number, room in enumerate(free):
        for turned in (False, True) if panel.turns else (False,):
            length, width = (panel.width, panel.length) if turned else (panel.length, panel.width)
            beside, above = room.length - length, room.width - width
            if beside >= -_EPS and above >= -_EPS:
                yield round(min(beside, above), 6), round(max(beside, above), 6), number, turned


def _rest_of(room: _Free, length: float, width: float, kerf: float, split: str) -> Iterator[_Free]:
    """What one cut along and one across leave beside and above a piece in the corner of a free rectangle."""
    beside, above = room.length - length - kerf, room.width - width - kerf
    along = {"along": True, "across": False, "larger rest": beside < above, "smaller rest": beside >= above}[split]
    right = _Free(room.x + length + kerf, room.y, beside, width if along else room.width)
    top = _Free(room.x, room.y + width + kerf, room.length if along else length, above)
    for each in (right, top):
        if each.length > _EPS and each.width > _EPS:
            yield each


def _fits(panel: Panel, kind: SheetKind) -> bool:
    ways = [(panel.length, panel.width), *([(panel.width, panel.length)] if panel.turns else [])]
    return any(length <= kind.length + _EPS and width <= kind.width + _EPS for length, width in ways)


def _rest(sheets: Sequence[CutSheet], kinds: Sequence[SheetKind], kerf: float) -> float:
    """The largest strip right across the last sheet that nothing is cut from, mm²."""
    if not sheets:
        return 0.0
    kind = _kind(kinds, sheets[-1].sheet)
    x = max(spot.x + spot.length for spot in sheets[-1].spots) + kerf
    y = max(spot.y + spot.width for spot in sheets[-1].spots) + kerf
    return max((kind.length - x) * kind.width, (kind.width - y) * kind.length, 0.0)


def _area_bound(panels: Sequence[Panel], kinds: Sequence[SheetKind], kerf: float) -> int:
    """Least cost at which whole sheets of enough area can be had; 0 where there is not enough area at all."""
    from scipy.optimize import Bounds, LinearConstraint, milp  # only here: a second to import

    needed = sum((panel.length + kerf) * (panel.width + kerf) for panel in panels)
    areas = np.array([[(kind.length + kerf) * (kind.width + kerf) / needed for kind in kinds]])
    dearest = float(max(kind.cost for kind in kinds)) or 1.0
    most = np.array([np.inf if kind.count is None else float(kind.count) for kind in kinds])
    found = milp(np.array([kind.cost / dearest for kind in kinds]), constraints=LinearConstraint(areas, 1.0 - 1e-9, np.inf),
                 bounds=Bounds(0, most), integrality=np.ones(len(kinds)), options={"mip_rel_gap": 0.0})
    if found.x is None:
        return 0
    return sum(round(float(n)) * kind.cost for n, kind in zip(found.x, kinds, strict=True))
