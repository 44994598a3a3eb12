"""Two rails side by side, pushed into each other. An overlap from 0.01 mm on, never at 0 (promise of the fit engine)."""

from __future__ import annotations

from deskmodel import Desk
from tests.desks.build import rail
from tests.desks.case import Case, Found


def pushed(depth: float) -> Desk:
    d = Desk("rails")
    rail(d, "a", 300, (0, 0, 0))
    rail(d, "b", 300, (100, 22 - depth, 0))
    return d


# they share 200 x depth x 60
FAILING = Case(lambda: pushed(0.5), (Found(("a", "b"), 0.5, None),))
PASSING = Case(lambda: pushed(-1.0))
AT_THRESHOLD = Case(lambda: pushed(0.0))
JUST_OVER = Case(lambda: pushed(0.01), (Found(("a", "b"), 0.01, within=0.001),))
