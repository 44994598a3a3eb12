"""What a click means to measure from: the plane or axis of the wall that is seen, not of one that is near."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.page.steps import at

Opened = Callable[..., Page]

# of ``cut_rail``; seen from the front and somewhat above, where the lower walls of its cuts show
PLACES = {
    "the straight wall of a slot, half a mm before it bends": ((224.5, 3, 25), "plane", "face of slot cable in rail"),
    # 45° round it
    "the round end of the slot": ((228.535534, 3, 26.464466), "axis", "axis of slot cable (60 × 10, 15 deep) in rail"),
    "the wall of a pocket, beside the bore that it runs through": ((84.02, 3, 20), "plane", "face of pocket left in rail"),
    "the same wall on the other side": ((75.98, 3, 20), "plane", "face of pocket left in rail"),
    "the wall of the bore, below the pocket's floor": ((80, 1, 16), "axis", "axis of hole over (Ø 8, through) in rail"),
    "the floor of the left pocket": ((70, 10, 28), "plane", "face of pocket left in rail"),
    "the floor of the right pocket, which lies in the same plane": ((320, 10, 28), "plane", "face of pocket right in rail"),
    "the face that they are cut into": ((130, 0, 50), "plane", "face side of rail"),
    "the face edge, on which nothing is done": ((200, 11, 60), "plane", "face edge of rail"),
}


@pytest.fixture
def rail(opened: Opened) -> Page:
    page = opened("cut")
    page.evaluate("deskPage.turnTo(0, 0.6)")
    return page


def seen(page: Page, point: tuple[float, float, float]) -> dict[str, Any]:
    found: dict[str, Any] = page.evaluate("([x, y]) => deskPage.seenAt(x, y)", list(at(page, point)))
    assert found["at"] == pytest.approx(point, abs=0.05)  # as far as the mesh may lie off
    return found


def test_the_wall_that_is_seen(rail: Page) -> None:
    told = {name: seen(rail, point) for name, (point, _, _) in PLACES.items()}
    assert {name: (each["kind"], each["label"]) for name, each in told.items()} == {
        name: (kind, label) for name, (_, kind, label) in PLACES.items()}
    assert {each["error"] for each in told.values()} == {None}
