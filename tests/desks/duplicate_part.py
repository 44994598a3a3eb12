"""Two equal plates in one place, in two places, and apart by the last digit that counts: 1e-6 mm."""

from __future__ import annotations

from deskmodel import Desk
from tests.desks.build import plate
from tests.desks.case import Case, Found


def pair(apart: float) -> Desk:
    d = Desk("plates")
    plate(d, "one", 100, 60, (10, 0, 0), 3)
    plate(d, "two", 100, 60, (10 + apart, 0, 0), 3)
    return d


FAILING = Case(lambda: pair(0.0), (Found(("one", "two"), 3.0, None),))
PASSING = Case(lambda: pair(100.0))
AT_THRESHOLD = Case(lambda: pair(4e-7), (Found(("one", "two"), 3.0, None),))
JUST_OVER = Case(lambda: pair(1e-3))  # not the same place: parts-overlap
