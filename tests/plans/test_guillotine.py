"""Rectangles from sheets: published perfect packings try the judge, layouts are judged by shapely and by sawing them up
again.

Sources: the 33 × 32 rectangle of nine squares (Z. Moroń, 1925); the 112 × 112 square of 21 squares (A. J. W. Duijvestijn,
1978; OEIS A014530), laid out from its Bouwkamp code here.
"""

from __future__ import annotations

from random import Random

import pytest

from deskmodel.plans.guillotine import Nesting, Panel, SheetKind, nest
from tests.plans.overlap import Rect, faults, filled, sawable, touching

PERFECT: list[Rect] = [(x, y, s, s) for s, x, y in (
    (18, 0, 0), (15, 18, 0), (7, 18, 15), (8, 25, 15), (14, 0, 18), (4, 14, 18), (10, 14, 22), (1, 24, 22), (9, 24, 23))]
CODE = (50, 35, 27, 8, 19, 15, 17, 11, 6, 24, 29, 25, 9, 2, 7, 18, 16, 42, 4, 37, 33)


def bouwkamp(code: tuple[int, ...], side: int) -> list[Rect]:
    """Each square goes as low as it can, and there as far left."""
    height = [0] * side
    placed: list[Rect] = []
    for size in code:
        level = min(height)
        x = height.index(level)
        assert all(h == level for h in height[x:x + size])
        height[x:x + size] = [level + size] * size
        placed.append((x, level, size, size))
    return placed


def test_the_judge_takes_perfect_packings_and_finds_what_is_wrong() -> None:
    square = bouwkamp(CODE, 112)
    for rects, sheet in ((PERFECT, (33.0, 32.0)), (square, (112.0, 112.0))):
        assert faults(rects, sheet, 0.0) == []
        assert filled(rects) == pytest.approx(sheet[0] * sheet[1])
        assert touching(rects) > len(rects)
        assert not sawable(rects, 0.0)  # no cut from edge to edge parts a perfect packing
        assert faults(rects, sheet, 0.1)
        x, y, length, width = rects[3]
        assert faults([*rects[:3], (x + 0.01, y, length, width), *rects[4:]], sheet, 0.0)
        assert faults(rects, (sheet[0] - 0.01, sheet[1]), 0.0)


def judged(panels: list[Panel], kinds: list[SheetKind], kerf: float) -> Nesting:
    found = nest(panels, kinds, kerf)
    by_name = {panel.name: panel for panel in panels}
    names = [spot.name for sheet in found.sheets for spot in sheet.spots]
    assert sorted([*names, *found.missing]) == sorted(by_name)
    for sheet in found.sheets:
        kind = next(kind for kind in kinds if kind.name == sheet.sheet)
        rects: list[Rect] = [(s.x, s.y, s.length, s.width) for s in sheet.spots]
        assert faults(rects, (kind.length, kind.width), kerf) == []
        assert sawable(rects, kerf)
        for spot in sheet.spots:
            panel = by_name[spot.name]
            size = (panel.width, panel.length) if spot.turned else (panel.length, panel.width)
            assert (spot.length, spot.width) == size
            assert panel.turns or not spot.turned
    assert found.bound <= found.cost
    return found


@pytest.mark.parametrize("seed", range(15))
@pytest.mark.parametrize("turns", [True, False])
def test_layouts_are_sound(seed: int, turns: bool) -> None:
    rng = Random(seed)
    panels = [Panel(f"p{i}", rng.randint(60, 700), rng.randint(60, 500), turns) for i in range(rng.randint(1, 30))]
    kinds = [SheetKind("sheet", 1250, 600, 75), SheetKind("rest", 640, 310, 0, 1), SheetKind("large", 2500, 1250, 290)]
    kerf = rng.choice((0.0, 3.2))
    found = judged(panels, kinds, kerf)
    assert found.missing == ()
    assert found == nest(panels, kinds, kerf)
    area = sum((p.length + kerf) * (p.width + kerf) for p in panels)
    free = (640 + kerf) * (310 + kerf)
    assert found.bound >= (75 if area > free + 1 else 0)


def test_the_bound_is_met_where_pieces_fill_the_sheet() -> None:
    panels = [Panel(f"p{i}", 400, 300, False) for i in range(8)]
    found = judged(panels, [SheetKind("sheet", 800, 600, 10)], 0.0)
    assert (len(found.sheets), found.cost, found.bound, found.proved) == (2, 20, 20, True)
    with_kerf = judged(panels, [SheetKind("sheet", 800, 600, 10)], 3.0)  # 400 + 3 + 400 > 800
    assert len(with_kerf.sheets) > 2
    exact = judged(panels, [SheetKind("sheet", 803, 603, 10)], 3.0)  # the last cut needs no kerf
    assert (exact.cost, exact.proved) == (20, True)


def test_grain_forbids_turning() -> None:
    kinds = [SheetKind("sheet", 1000, 200, 1)]
    assert judged([Panel("a", 150, 900, True)], kinds, 3.0).missing == ()
    assert judged([Panel("a", 150, 900, False)], kinds, 3.0).missing == ("a",)


def test_sheets_that_run_out_are_said() -> None:
    found = judged([Panel(f"p{i}", 500, 500, True) for i in range(3)], [SheetKind("rest", 510, 510, 0, 2)], 3.0)
    assert (len(found.sheets), len(found.missing), found.proved) == (2, 1, False)


def test_a_perfect_square_is_not_claimed() -> None:
    """The heuristic is no solver for it: it needs more than one sheet, and says that the bound is one."""
    panels = [Panel(f"s{size}", size, size, True) for size in CODE]
    found = judged(panels, [SheetKind("sheet", 112, 112, 1)], 0.0)
    assert found.bound == 1
    assert found.proved == (found.cost == 1)
