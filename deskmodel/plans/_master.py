"""Which patterns, how often: the integer programme of ``lengths``, solved by HiGHS through scipy."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np

from deskmodel.errors import BuildFault
from deskmodel.plans._greedy import add_greedy
from deskmodel.plans._patterns import Pattern, Strip, best_pattern, good_patterns, strip_of

__all__ = ["Columns", "Solved", "solve_columns"]

_SHORT = 50.0  # cost of a piece that is not cut at all, in raw pieces of the dearest kind
_ROUNDS = 150  # of column generation; each adds at least one pattern
_WORK = 600_000  # steps of the search times columns: a step is as slow as the programme is wide
_RIPS = 5000  # rip patterns of one kind of board


class _Wanted(Protocol):
    @property
    def name(self) -> str: ...
    @property
    def length(self) -> float: ...
    @property
    def width(self) -> float: ...
    @property
    def count(self) -> int: ...


class _Raw(Protocol):
    @property
    def name(self) -> str: ...
    @property
    def length(self) -> float: ...
    @property
    def width(self) -> float | None: ...
    @property
    def cost(self) -> int: ...
    @property
    def count(self) -> int | None: ...


@dataclass(frozen=True, slots=True)
class Key:
    """A kind of strip: ``length``, ``width`` (0: a bar) and which of the wanted may be cut from it."""

    length: float
    width: float
    allowed: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Solved:
    """(column, how often) of boards and strips; ``short``: how many of each wanted are not cut."""

    boards: tuple[tuple[int, int], ...]
    strips: tuple[tuple[int, int], ...]
    short: tuple[int, ...]
    cost: int
    bound: int
    proved: bool
    why: str


class Columns:
    """The columns of the programme. ``board_columns``: (raw, ((kind of strip, count), …)); ``strip_columns``: (kind of
    strip, counts of the wanted)."""

    def __init__(self, wanted: Sequence[Any], raws: Sequence[Any], kerf: float, takes: Callable[[Any, Any], bool]) -> None:
        self.wanted: list[_Wanted] = list(wanted)
        self.raws: list[_Raw] = list(raws)
        self.kerf = kerf
        self.keys: list[Key] = []
        self.strips: list[Strip] = []
        self.board_columns: list[tuple[int, tuple[tuple[int, int], ...]]] = []
        self.strip_columns: list[tuple[int, Pattern]] = []
        self.all_rips = True
        for number, raw in enumerate(self.raws):
            fitting = [i for i, each in enumerate(self.wanted) if takes(raw, each)]
            if fitting:
                self._add_raw(number, raw, fitting)

    def _add_raw(self, number: int, raw: _Raw, fitting: list[int]) -> None:
        if raw.width is None:
            self.board_columns.append((number, ((self._key(raw.length, 0.0, fitting), 1),)))
            return
        widths = sorted({self.wanted[i].width for i in fitting}, reverse=True)
        keys = [self._key(raw.length, w, [i for i in fitting if self.wanted[i].width <= w + 1e-6]) for w in widths]
        total = sum(self.wanted[i].count for i in fitting)
        across = strip_of(widths, [total] * len(widths), raw.width, self.kerf)
        rips = good_patterns(across, _RIPS)
        if rips is None:  # boards much wider than their pieces: each width alone, and what the widest leaves
            self.all_rips = False
            rips = [tuple(across.room // size if j == i else 0 for j in range(len(widths))) for i, size in
                    enumerate(across.items)]
        for rip in rips:
            self.board_columns.append((number, tuple((key, n) for key, n in zip(keys, rip, strict=True) if n)))

    def _key(self, length: float, width: float, allowed: Sequence[int]) -> int:
        key = Key(length, width, tuple(allowed))
        if key not in self.keys:
            self.keys.append(key)
            self.strips.append(strip_of([self.wanted[i].length for i in allowed], [self.wanted[i].count for i in allowed],
                                        length, self.kerf))
        return self.keys.index(key)

    def spread(self, key: int, pattern: Pattern) -> Pattern:
        """A pattern of the items that this kind of strip allows as one of all that is wanted."""
        counts = [0] * len(self.wanted)
        for i, count in zip(self.keys[key].allowed, pattern, strict=True):
            counts[i] = count
        return tuple(counts)

    def add(self, key: int, pattern: Pattern) -> bool:
        column = key, self.spread(key, pattern)
        if column in self.strip_columns:
            return False
        self.strip_columns.append(column)
        return True


def solve_columns(columns: Columns, listed: int, nodes: int) -> Solved:
    if _list_all(columns, listed):
        found = _integer(columns, nodes)
        bound = max(_next_sum(columns, found.bound), 0)
        proved = columns.all_rips and (found.optimal or found.cost <= bound)
        return _solved(found, bound, proved, "every pattern was looked at" if found.optimal else "stopped at the bound "
                       "of the search")
    for key in range(len(columns.keys)):
        _start(columns, key)
    relaxed, values, strip_values, whole = _generate(columns)
    add_greedy(columns)
    bound = _next_sum(columns, relaxed) if whole and columns.all_rips else 0
    found = _integer(columns, nodes)
    if found.cost > bound and whole and not any(found.short) and _list_good(columns, listed, values, strip_values,
                                                                             found.cost - relaxed):
        again = _integer(columns, nodes)
        found = again if again.cost <= found.cost else found
        if again.optimal and columns.all_rips:
            return _solved(found, found.cost, True, "every pattern that could be better was looked at")
    proved = bound > 0 and found.cost <= bound
    return _solved(found, bound, proved, "the bound of the relaxation is met" if proved else "the bound of the relaxation"
                   if bound else "no bound: too many patterns")


@dataclass(frozen=True, slots=True)
class _Found:
    boards: tuple[tuple[int, int], ...]
    strips: tuple[tuple[int, int], ...]
    short: tuple[int, ...]
    cost: int
    bound: float
    optimal: bool


def _solved(found: _Found, bound: int, proved: bool, why: str) -> Solved:
    bound = found.cost if proved else min(bound, found.cost)
    return Solved(found.boards, found.strips, found.short, found.cost, bound, proved and not any(found.short), why)


def _list_all(columns: Columns, listed: int) -> bool:
    """Whether all patterns of all strips are few enough to be listed; then they are."""
    lists: list[list[Pattern]] = []
    for strip in columns.strips:
        found = good_patterns(strip, listed - sum(len(each) for each in lists))
        if found is None:
            return False
        lists.append(found)
    for key, found in enumerate(lists):
        for pattern in found:
            columns.add(key, pattern)
    return True


def _list_good(columns: Columns, listed: int, values: np.ndarray, strip_values: np.ndarray, gap: float) -> bool:
    """Adds every pattern that could be part of a layout that is cheaper by something: its reduced cost is below the gap."""
    lists = []
    for key, strip in enumerate(columns.strips):
        own = [float(values[i]) for i in columns.keys[key].allowed]
        found = good_patterns(strip, listed, own, float(strip_values[key]) - gap)
        if found is None:
            return False
        lists.append(found)
    for key, found in enumerate(lists):
        for pattern in found:
            columns.add(key, pattern)
    return True


def _start(columns: Columns, key: int) -> None:
    """As many of one piece as go, for each; and strips filled with the longest first."""
    strip = columns.strips[key]
    for i, size in enumerate(strip.items):
        room, counts = strip.room, [0] * len(strip.items)
        for j in [i, *(j for j in range(len(strip.items)) if j != i)]:
            counts[j] = min(strip.most[j], room // strip.items[j])
            room -= counts[j] * strip.items[j]
        if size <= strip.room:
            columns.add(key, tuple(counts))


def _generate(columns: Columns) -> tuple[float, np.ndarray, np.ndarray, bool]:
    """(least cost of the relaxation, worth of each piece, worth of each strip, whether no better pattern is left)."""
    from scipy.optimize import linprog  # only here: a second to import

    for _ in range(_ROUNDS):
        cost, matrix, right = _programme(columns)
        solved = linprog(cost, A_ub=-matrix, b_ub=-right, bounds=_bounds(columns), method="highs")
        if solved.status != 0:
            break
        worth = -np.asarray(solved.ineqlin.marginals)
        n, k = len(columns.wanted), len(columns.keys)
        values, strip_values = worth[:n], worth[n:n + k]
        grown = False
        for key, strip in enumerate(columns.strips):
            pattern, gain = best_pattern(strip, [float(values[i]) for i in columns.keys[key].allowed])
            if gain > float(strip_values[key]) + 1e-9:
                grown |= columns.add(key, pattern)
        if not grown:
            scale = _scale(columns)
            return float(solved.fun) * scale, values * scale, strip_values * scale, True
    return 0.0, np.zeros(len(columns.wanted)), np.zeros(len(columns.keys)), False


def _scale(columns: Columns) -> float:
    return float(max((raw.cost for raw in columns.raws), default=1) or 1)


def _programme(columns: Columns) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(cost, matrix, right): cost · x to be least with matrix · x >= right; x: boards, strips, what is short."""
    boards, strips, n = columns.board_columns, columns.strip_columns, len(columns.wanted)
    k, limited = len(columns.keys), [i for i, raw in enumerate(columns.raws) if raw.count is not None]
    width = len(boards) + len(strips) + n
    matrix = np.zeros((n + k + len(limited), width))
    cost = np.zeros(width)
    for j, (raw, rips) in enumerate(boards):
        cost[j] = columns.raws[raw].cost / _scale(columns)
        for key, count in rips:
            matrix[n + key, j] = count
        if raw in limited:
            matrix[n + k + limited.index(raw), j] = -1
    for j, (key, pattern) in enumerate(strips, len(boards)):
        matrix[:n, j] = pattern
        matrix[n + key, j] = -1
    for i in range(n):
        matrix[i, len(boards) + len(strips) + i] = 1
        cost[len(boards) + len(strips) + i] = _SHORT
    right = np.array([float(each.count) for each in columns.wanted] + [0.0] * k
                     + [-float(columns.raws[i].count or 0) for i in limited])
    return cost, matrix, right


def _bounds(columns: Columns) -> list[tuple[float, float | None]]:
    free: list[tuple[float, float | None]] = [(0.0, None)] * (len(columns.board_columns) + len(columns.strip_columns))
    return [*free, *((0.0, float(each.count) if _may_lack(columns, i) else 0.0) for i, each in enumerate(columns.wanted))]


def _may_lack(columns: Columns, i: int) -> bool:
    """Whether only limited raw pieces hold it."""
    unlimited = {key for raw, rips in columns.board_columns if columns.raws[raw].count is None for key, _ in rips}
    return not any(i in columns.keys[key].allowed for key in unlimited)


def _integer(columns: Columns, nodes: int) -> _Found:
    """The best whole-numbered choice of the columns there are; of equally cheap ones the one that uses least of what costs
    nothing."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    cost, matrix, right = _programme(columns)
    sides = _bounds(columns)
    bounds = Bounds(np.array([low for low, _ in sides]), np.array([np.inf if high is None else high for _, high in sides]))
    rows = [LinearConstraint(csr_array(matrix), right, np.inf)]
    options = {"node_limit": max(20, min(nodes, _WORK // len(cost))), "mip_rel_gap": 0.0}
    first = milp(cost, constraints=rows, bounds=bounds, integrality=np.ones(len(cost)), options=options)
    if first.x is None:  # stopped before it had any: the first that there is
        first = milp(cost, constraints=rows, bounds=bounds, integrality=np.ones(len(cost)), options={"mip_rel_gap": 1e6})
    if first.x is None:
        raise BuildFault(f"the solver found no layout: {first.message}")  # what is short may always be left out
    best = first.x
    if first.status == 0 and any(raw.cost == 0 for raw in columns.raws):
        own = np.zeros(len(cost))
        for j, (raw, _) in enumerate(columns.board_columns):
            kind = columns.raws[raw]
            own[j] = kind.length * (kind.width or 1.0) / 1e6 if kind.cost == 0 else 0.0
        same = LinearConstraint(csr_array(cost[None, :]), -np.inf, float(cost @ np.round(best)) + 1e-7)
        second = milp(own, constraints=[*rows, same], bounds=bounds, integrality=np.ones(len(cost)), options=options)
        best = second.x if second.x is not None else best
    counts = [round(float(value)) for value in best]
    b, s = len(columns.board_columns), len(columns.strip_columns)
    total = sum(counts[j] * columns.raws[raw].cost for j, (raw, _) in enumerate(columns.board_columns))
    bound = first.mip_dual_bound if first.mip_dual_bound is not None and math.isfinite(first.mip_dual_bound) else 0.0
    return _Found(tuple((j, counts[j]) for j in range(b) if counts[j]),
                  tuple((j, counts[b + j]) for j in range(s) if counts[b + j]), tuple(counts[b + s:]), total,
                  bound * _scale(columns), first.status == 0)


def _next_sum(columns: Columns, least: float) -> int:
    """The smallest multiple of what all costs share that is not below ``least``."""
    step = math.gcd(*(raw.cost for raw in columns.raws)) or 1
    return step * math.ceil(least / step - 1e-6)
