"""Openings joined to one outline, against areas and cells counted one by one."""

from __future__ import annotations

import random

import pytest

from deskmodel import InputFault, joined_rectangles
from deskmodel.profiles import check_outline


def covered(boxes: list[tuple[int, int, int, int]]) -> set[tuple[int, int]]:
    """Unit cells under whole-number boxes: the area by counting."""
    return {(x, y) for x0, y0, x1, y1 in boxes for x in range(x0, x1) for y in range(y0, y1)}


def test_two_that_overlap_become_one_outline() -> None:
    outline, = joined_rectangles([(0, 0, 4, 2), (3, 0, 6, 5)])
    assert outline.area == 4 * 2 + 3 * 5 - 1 * 2
    assert len(outline.vertices) == 6


def test_neighbours_are_one_and_strangers_stay_apart() -> None:
    assert len(joined_rectangles([(0, 0, 2, 2), (2, 0, 4, 2)])) == 1
    assert len(joined_rectangles([(0, 0, 2, 2), (2, 2, 4, 4)])) == 2  # only a corner in common
    assert len(joined_rectangles([(0, 0, 2, 2), (3, 0, 4, 2)])) == 2


def test_an_island_is_refused() -> None:
    ring = [(0, 0, 6, 1), (0, 5, 6, 6), (0, 0, 1, 6), (5, 0, 6, 6)]
    with pytest.raises(InputFault, match="island"):
        joined_rectangles(ring)


@pytest.mark.parametrize("bad", [[], [(0, 0, 0, 1)], [(0, 0, 1)], [(3, 0, 1, 1)], [(0, 0, float("nan"), 1)]])
def test_what_is_no_rectangle_is_refused(bad: list) -> None:
    with pytest.raises(InputFault):
        joined_rectangles(bad)


def test_random_rectangles_against_counted_cells() -> None:
    chance = random.Random(20241125)
    islands = 0
    for _ in range(400):
        boxes = []
        for _ in range(chance.randint(1, 7)):
            x, y = chance.randint(0, 9), chance.randint(0, 9)
            boxes.append((x, y, x + chance.randint(1, 5), y + chance.randint(1, 5)))
        try:
            outlines = joined_rectangles(boxes)
        except InputFault:
            islands += 1
            continue
        cells = covered(boxes)
        for outline in outlines:
            check_outline("a piece", outline)
        assert sum(outline.area for outline in outlines) == pytest.approx(len(cells))
        for x in range(15):
            for y in range(15):
                inside = sum(outline.contains((x + 0.5, y + 0.5)) for outline in outlines)
                assert inside == ((x, y) in cells)
    assert islands < 40
