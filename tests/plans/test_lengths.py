"""Cutting lengths: published instances to their known optimum, with and without kerf, an exhaustive search on small ones, a
bound where the search was stopped, and layouts judged by shapely.

Sources: roll of 5600 with 13 widths, optimum 73 rolls (the worked example of the cutting stock problem in the
encyclopaedias, after paper mills; with a kerf of 3.2 computed: 74); raw width 100 with orders 45 × 97, 36 × 610, 31 × 395,
14 × 211, relaxation 452.25, optimum 453 (V. Chvátal, Linear Programming, 1983, chapter 13). Kerf at its edge: by hand.
"""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest

from deskmodel.plans.lengths import Cutting, RawKind, Wanted, cut_lengths
from tests.plans.overlap import Rect, faults, sawable

ROLL = dict(zip((1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200),
                (22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20), strict=True))
CHVATAL = {45: 97, 36: 610, 31: 395, 14: 211}
FURNITURE = {1500: 2, 720: 4, 680: 4, 450: 6, 300: 5}


def wanted(sizes: dict[int, int]) -> list[Wanted]:
    return [Wanted(str(length), length, count) for length, count in sizes.items()]


def cut(sizes: dict[int, int], room: float, kerf: float = 0.0, **effort: int) -> Cutting:
    found = cut_lengths(wanted(sizes), [RawKind("bar", room, 1)], kerf, **effort)
    assert made(found) == Counter({str(length): count for length, count in sizes.items()})
    for raw in found.raws:
        rects = [(p.x, 0.0, p.length, 1.0) for p in raw.pieces]
        assert faults(rects, (room, 1.0), kerf) == []
    return found


def made(found: Cutting) -> Counter[str]:
    return Counter(piece.name for raw in found.raws for piece in raw.pieces)


@pytest.mark.parametrize("listed", [3000, 5], ids=["all patterns", "patterns as they are asked for"])
@pytest.mark.parametrize(("sizes", "room", "kerf", "optimum"), [
    (ROLL, 5600, 0.0, 73), (ROLL, 5600, 3.2, 74), (CHVATAL, 100, 0.0, 453), (FURNITURE, 2400, 3.0, 6)],
    ids=["roll", "roll with kerf", "Chvátal", "furniture"])
def test_published_instances_to_their_optimum(sizes: dict[int, int], room: float, kerf: float, optimum: int,
                                              listed: int) -> None:
    found = cut(sizes, room, kerf, listed=listed)
    assert (found.cost, found.bound, found.proved) == (optimum, optimum, True)
    assert len(found.raws) == optimum
    assert found.missing == ()


@pytest.mark.parametrize(("length", "count", "kerf", "bars"), [
    (600, 4, 0.0, 1), (600, 4, 3.0, 2),  # 4 × 600 = 2400; with three kerfs 2409
    (798, 3, 3.0, 1), (799, 3, 3.0, 2),  # 3 × 798 + 2 × 3 = 2400: the last cut needs no kerf
    (797.9, 3, 3.15, 1), (797.91, 3, 3.15, 2)])  # 3 × 797.9 + 6.3 = 2400
def test_the_last_cut_needs_no_kerf(length: float, count: int, kerf: float, bars: int) -> None:
    found = cut_lengths([Wanted("a", length, count)], [RawKind("bar", 2400, 1)], kerf)
    assert (len(found.raws), found.cost, found.proved) == (bars, bars, True)


def exhaustive(lengths: list[float], raws: list[tuple[float, int, int | None]], kerf: float) -> int | None:
    """The least cost by trying every way of sharing the pieces out, and every raw piece for each share."""
    best: list[int | None] = [None]

    def cheapest(shares: list[list[float]], left: list[int | None], cost: int, at: int) -> None:
        if best[0] is not None and cost >= best[0]:
            return
        if at == len(shares):
            best[0] = cost
            return
        need = sum(shares[at]) + kerf * (len(shares[at]) - 1)
        for i, (length, price, _) in enumerate(raws):
            if need <= length + 1e-9 and left[i] != 0:
                rest = left.copy()
                rest[i] = None if (n := left[i]) is None else n - 1
                cheapest(shares, rest, cost + price, at + 1)

    def share(at: int, shares: list[list[float]]) -> None:
        if at == len(lengths):
            cheapest(shares, [count for _, _, count in raws], 0, 0)
            return
        for each in shares:
            each.append(lengths[at])
            share(at + 1, shares)
            each.pop()
        share(at + 1, [*shares, [lengths[at]]])

    share(0, [])
    return best[0]


@pytest.mark.parametrize("listed", [3000, 2])
@pytest.mark.parametrize("seed", range(12))
def test_small_instances_against_every_way_there_is(seed: int, listed: int) -> None:
    """Several lengths and prices, some of them few, an offcut that costs nothing."""
    rng = Random(seed)
    lengths = [float(rng.choice((210, 330, 405, 512.5, 640, 775, 980))) for _ in range(rng.randint(3, 7))]
    raws: list[tuple[float, int, int | None]] = [(1000.0, 100, None), (1500.0, 140, rng.choice([None, 1])), (700.0, 0, 1)]
    kerf = rng.choice((0.0, 2.4, 3.2))
    found = cut_lengths([Wanted(f"{length:g}", length, n) for length, n in sorted(Counter(lengths).items())],
                        [RawKind(str(i), length, price, None, count) for i, (length, price, count) in enumerate(raws)], kerf,
                        listed=listed)
    assert found.bound <= found.cost == exhaustive(lengths, raws, kerf)
    assert found.proved or listed == 2
    assert made(found) == Counter(f"{length:g}" for length in lengths)


def test_a_search_that_is_stopped_states_a_bound_and_claims_nothing() -> None:
    sizes = {int(length): 3 for length in (187, 231, 264, 305, 338, 377, 410, 447, 489, 523, 561, 602, 640, 683, 719, 754)}
    raws = [RawKind("a", 2000, 1999), RawKind("b", 1500, 1471, None, 7), RawKind("c", 2500, 2569)]
    stopped = cut_lengths(wanted(sizes), raws, 3.2, listed=4, nodes=1)
    assert not stopped.proved
    assert 0 < stopped.bound < stopped.cost
    assert stopped.why == "the bound of the relaxation"
    # no layout can need less than its material: the bound is no less sharp than that, and no more than the best one found
    material = sum(length * count for length, count in sizes.items()) * min(raw.cost / raw.length for raw in raws)
    longer = cut_lengths(wanted(sizes), raws, 3.2, nodes=2000)
    assert material <= stopped.bound <= longer.cost <= stopped.cost


@pytest.mark.parametrize("effort", [{"listed": 4, "nodes": 1}, {"listed": 4, "nodes": 300}])
def test_the_same_layout_on_every_run(effort: dict[str, int]) -> None:
    sizes = {int(length): 2 for length in (187, 231, 264, 305, 338, 377, 410, 447, 489, 523)}
    first = cut(sizes, 2000, 3.2, **effort)
    assert all(cut(sizes, 2000, 3.2, **effort) == first for _ in range(3))


def test_what_there_is_not_enough_of_is_said() -> None:
    found = cut_lengths([Wanted("long", 3000, 1), Wanted("short", 900, 5)], [RawKind("bar", 2000, 1, None, 2)], 3.0)
    assert found.missing == (("long", 1), ("short", 1))  # two bars hold four
    assert not found.proved
    nothing = cut_lengths([Wanted("long", 3000, 2)], [RawKind("bar", 2000, 1)], 3.0)
    assert (nothing.raws, nothing.missing, nothing.proved) == ((), (("long", 2),), False)


# ---- boards that are ripped

def judged(found: Cutting, board: tuple[float, float], kerf: float) -> None:
    for raw in found.raws:
        rects: list[Rect] = [(p.x, p.y, p.length, p.width) for p in raw.pieces]
        assert faults(rects, board, kerf) == []
        assert sawable(rects, kerf)
        for piece in raw.pieces:  # each lies in a strip
            assert any(abs(piece.y - y) < 1e-6 and piece.width <= width + 1e-6 for y, width in raw.strips)


@pytest.mark.parametrize(("width", "boards"), [(131.0, 1), (130.9, 2)])
def test_the_rip_kerf_counts_between_strips_only(width: float, boards: int) -> None:
    # two strips of 64 and one kerf of 3: 131
    found = cut_lengths([Wanted("rail", 1000, 2, 64)], [RawKind("board", 1100, 1, width)], 3.0)
    assert (len(found.raws), found.cost, found.proved) == (boards, boards, True)
    judged(found, (1100, width), 3.0)


def test_narrow_pieces_come_from_wide_strips_where_that_saves_a_board() -> None:
    # 64 + 3 + 64 = 131 of 140: no third strip of 30; but 600 are left beside each rail of 1300 for the short ones
    found = cut_lengths([Wanted("rail", 1300, 2, 64), Wanted("bead", 590, 2, 30)], [RawKind("board", 1900, 1, 140.0)], 3.0)
    assert (len(found.raws), found.proved) == (1, True)
    judged(found, (1900, 140.0), 3.0)


@pytest.mark.parametrize("seed", range(8))
def test_boards_of_random_width_are_cut_soundly(seed: int) -> None:
    rng = Random(seed)
    pieces = [Wanted(f"p{i}", rng.randint(150, 1500), rng.randint(1, 5), rng.choice((30.0, 50.0, 64.0))) for i in range(8)]
    widths = sorted({round(rng.uniform(120, 220), 1) for _ in range(3)})
    raws = [RawKind(f"{w:g}", 2400, int(w * 10), w) for w in widths]
    found = cut_lengths(pieces, raws, 3.2, nodes=100)
    assert made(found) == Counter({p.name: p.count for p in pieces})
    for raw in found.raws:
        judged(Cutting((raw,), 0, 0, True, (), ""), (2400, float(raw.raw)), 3.2)
    area = sum(p.length * p.width * p.count for p in pieces) / 2400 * 10
    assert area <= found.bound <= found.cost
