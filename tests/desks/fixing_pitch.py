"""Rows of a stated pitch of 120: up to 180 from screw to screw, up to 120 from the row's end (common practice)."""

from __future__ import annotations

from deskmodel import Desk, InsertFixing
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found


def row(*at: float, pitch: float = 120, corner: bool = False) -> Desk:
    """``corner``: another rail under the plate, whose first screw stands near the first rail's end."""
    d = Desk("row")
    r, p = rail(d, "rail", 600, (0, 0, 1.5)), plate(d, "plate", 600, 222, (0, 0, 0))
    d.join(InsertFixing(p, r, at=at, pitch=pitch))
    if corner:
        d.join(InsertFixing(p, rail(d, "end", 200, (0, 22, 1.5), "y"), at=(60, 150)))
    return d


FAILING = Case(lambda: row(60, 240.1, 400, 540), (Found(("plate", "rail"), 180.1, (150, 11, 1.5), 0.001, "warn"),))
PASSING = Case(lambda: row(60, 180, 300, 420, 540))
AT_THRESHOLD = Case(lambda: row(60, 240, 400, 540))
WIDER_ON_PURPOSE = Case(lambda: row(60, 240.1, 400, 540, pitch=150))
END = Case(lambda: row(120.1, 240, 400, 540), (Found(("plate", "rail"), 120.1, (0, 11, 1.5), 0.001, "warn"),))
END_AT_THRESHOLD = Case(lambda: row(120, 240, 400, 540))
HELD_BY_ANOTHER_RAIL = Case(lambda: row(130, 240, 400, 540, corner=True))
