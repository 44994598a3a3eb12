"""Two boxes that must keep 5 mm: 4.5 apart, 6 apart, just 5 apart, and touching."""

from __future__ import annotations

from deskmodel import Desk
from tests.desks.build import rail
from tests.desks.case import Case, Found


def apart(gap: float) -> Desk:
    d = Desk("gap")
    a, b = rail(d, "a", 300, (0, 0, 0)), rail(d, "b", 300, (0, 22 + gap, 10))
    d.require_gap(a, b, 5, reason="air")
    return d


FAILING = Case(lambda: apart(4.5), (Found(("a", "b"), 4.5),))
PASSING = Case(lambda: apart(6.0))
AT_THRESHOLD = Case(lambda: apart(5.0))
JUST_OVER = Case(lambda: apart(4.98), (Found(("a", "b"), 4.98),))
TOUCHING = Case(lambda: apart(0.0), (Found(("a", "b"), 0.0),))
