"""Tiles of story sticks: laws over lengths and papers."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deskmodel.plans import StickMark, StorySticks, tiles_of
from deskmodel.plans.story_stick import OVERLAP


@given(st.floats(30, 4000), st.floats(100, 400))
def test_tiles_cover_the_member_and_overlap(length: float, room: float) -> None:
    tiles = tiles_of(length, room)
    assert tiles[0].start == -5
    assert tiles[-1].stop == pytest.approx(length + 5)
    for tile in tiles:
        assert tile.stop - tile.start <= room + 1e-6
        assert tile.stop > tile.start
    for a, b in pairwise(tiles):
        assert a.stop - b.start == pytest.approx(OVERLAP)
        shared = set(a.joins) & set(b.joins)
        assert len(shared) == 1
        join = shared.pop()
        assert b.start < join < a.stop
        assert join % 10 == 5  # a figure that can be found on a tape
    assert len(tiles) == 1 or (len(tiles) - 1) * (room - OVERLAP) < length + 10 + 10 * len(tiles)  # no more than it takes


def test_what_is_joined_lies_on_its_side_of_the_line() -> None:
    def span(towards: str | None, breadth: float | None = 22.0) -> tuple[float, float]:
        return StickMark(100.0, "face side", towards, breadth, ("rail",), "J1", "").span

    assert span("far end") == (100, 122)
    assert span("datum end") == (78, 100)
    assert span(None) == span("far end", None) == (100, 100)


def test_faces_that_have_marks() -> None:
    marks = tuple(StickMark(at, place, None, None, ("x",), "", "") for at, place in ((5, "face side"), (9, "face edge")))
    sticks = StorySticks(("a",), "ash", 100.0, marks, ("",))
    assert sticks.places == ("face side", "face edge")
    assert sticks.on("face edge") == marks[1:]
