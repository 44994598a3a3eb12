"""Cutting lengths from bars and from boards that are ripped: fewest or cheapest raw pieces, proved, or with a bound.

Two stages, as at the saw: a board is ripped into strips along its grain, each strip is crosscut into pieces; a bar is one
strip. A strip of one width also yields narrower pieces. The kerf counts between strips and between pieces; the last cut
needs none.

    minimise  sum cost_b y_b                       y_b  boards cut by rip pattern b
    with      sum a_iq x_q           >= wanted_i   x_q  strips cut by pattern q
              sum n_bw y_b - sum x_q >= 0          for each strip width w (and length of board)
              sum y_b                <= there are  of each kind of raw piece

All patterns are listed where they are few, and then the solver's own proof holds. Where they are many they are made as they
are asked for (column generation: P. C. Gilmore and R. E. Gomory, Operations Research 9, 1961 and 11, 1963): the relaxation
gives a bound, rounded up to a multiple of what all costs share, and all patterns that could still be better are listed where
they are few. Nothing depends on time: the search is limited by its own steps.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from deskmodel.plans._master import Columns, solve_columns

__all__ = ["CutPiece", "CutRaw", "Cutting", "RawKind", "Wanted", "cut_lengths"]


@dataclass(frozen=True, slots=True)
class Wanted:
    """``count`` pieces ``length`` long (with the grain) and ``width`` wide, rough sizes in mm; of bars the width is 0."""

    name: str
    length: float
    count: int
    width: float = 0.0


@dataclass(frozen=True, slots=True)
class RawKind:
    """Raw pieces that are alike: ``length`` and ``width`` that can be used, raw ends and edges taken off, mm; ``width``
    None: a bar. ``cost`` of one, a whole number; ``count`` None: as many as wanted. ``takes``: names of what may be cut
    from it, None for all."""

    name: str
    length: float
    cost: int
    width: float | None = None
    count: int | None = None
    takes: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class CutPiece:
    """``x`` along the grain and ``y`` across from the corner of what can be used, mm."""

    name: str
    x: float
    y: float
    length: float
    width: float


@dataclass(frozen=True, slots=True)
class CutRaw:
    """A raw piece cut up. ``strips``: (y, width) of each strip that is ripped from it; empty for a bar."""

    raw: str
    strips: tuple[tuple[float, float], ...]
    pieces: tuple[CutPiece, ...]


@dataclass(frozen=True, slots=True)
class Cutting:
    """``cost`` of the raw pieces used, ``bound``: no layout costs less; equal where ``proved``. ``missing``: (name, count)
    for which there is no raw piece, or not enough of them; nothing is proved then. ``why``: how the bound was found."""

    raws: tuple[CutRaw, ...]
    cost: int
    bound: int
    proved: bool
    missing: tuple[tuple[str, int], ...]
    why: str


def cut_lengths(wanted: Sequence[Wanted], raws: Sequence[RawKind], kerf: float, *, listed: int = 3000,
                nodes: int = 5000) -> Cutting:
    """``listed``: patterns are listed up to so many; ``nodes``: steps of the search before it is stopped."""
    able = [each for each in wanted if any(_takes(raw, each) for raw in raws)]
    lost = [(each.name, each.count) for each in wanted if each not in able]
    if not able:
        return Cutting((), 0, 0, not lost, tuple(lost), "nothing to cut")
    columns = Columns(able, raws, kerf, _takes)
    solved = solve_columns(columns, listed, nodes)
    missing = tuple(sorted([*lost, *((able[i].name, count) for i, count in enumerate(solved.short) if count)]))
    return Cutting(tuple(_assembled(columns, solved.boards, solved.strips)), solved.cost, min(solved.bound, solved.cost),
                   solved.proved and not missing, missing, solved.why)


def _takes(raw: RawKind, piece: Wanted) -> bool:
    fits = piece.length <= raw.length + 1e-6 and (raw.width is None or piece.width <= raw.width + 1e-6)
    return fits and (raw.takes is None or piece.name in raw.takes)


def _assembled(columns: Columns, boards: Sequence[tuple[int, int]], strips: Sequence[tuple[int, int]]) -> list[CutRaw]:
    """Boards (column, how many) filled with strips (column, how many); what is cut more than wanted is left as a rest."""
    left = [each.count for each in columns.wanted]
    waiting: dict[int, list[tuple[int, ...]]] = {}
    for column, count in strips:
        waiting.setdefault(columns.strip_columns[column][0], []).extend([columns.strip_columns[column][1]] * count)
    for each in waiting.values():
        each.sort(reverse=True)
    made = []
    for column, count in boards:
        raw, rips = columns.board_columns[column]
        for _ in range(count):
            made.append(_one(columns, raw, rips, waiting, left))
    return [each for each in made if each.pieces]


def _one(columns: Columns, raw: int, rips: tuple[tuple[int, int], ...], waiting: dict[int, list[tuple[int, ...]]],
         left: list[int]) -> CutRaw:
    kind, kerf = columns.raws[raw], columns.kerf
    y, lanes, pieces = 0.0, [], []
    for key, count in rips:  # the widest strip first
        width = columns.keys[key].width
        for _ in range(count):
            pattern = waiting[key].pop(0) if waiting.get(key) else ()
            x, found = 0.0, []
            for i in sorted((i for i, n in enumerate(pattern) if n), key=lambda i: (-columns.wanted[i].length, i)):
                for _ in range(min(pattern[i], left[i])):
                    item = columns.wanted[i]
                    found.append(CutPiece(item.name, x, y, item.length, item.width))
                    left[i] -= 1
                    x += item.length + kerf
            if found:
                pieces += found
                lanes.append((y, width))
                y += width + kerf
    return CutRaw(kind.name, () if kind.width is None else tuple(lanes), tuple(pieces))
