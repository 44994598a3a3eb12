"""Dowels of 8 mm in ends of 22, 25, 24 (a third), 16 (half) and 15 mm; of 6 in 22 (trade pages: 1/3 to 1/2)."""

from __future__ import annotations

from deskmodel import Desk, Hole, ThroughDowels
from tests.desks.build import rail
from tests.desks.case import Case, Found
from tests.desks.doweled import corner, on_rail


def through(dowel: str) -> Desk:
    d = Desk("through")
    middle = rail(d, "middle", 300, (0, 0, 0))
    a, b = rail(d, "a", 200, (100, 22, 0), "y"), rail(d, "b", 200, (100, -200, 0), "y")
    d.join(ThroughDowels(a, middle, b, dowel))
    return d


FAILING = Case(lambda: corner(dowel="6x30"), (Found(("end", "front"), 6, (111, 22, 30), severity="warn"),))
PASSING = Case(corner)
AT_THRESHOLD = Case(lambda: corner(thick=16))
AT_A_THIRD = Case(lambda: corner(thick=24, front=24))
TOO_THICK = Case(lambda: corner(thick=15.9), (Found(("end", "front"), 8, (107.95, 22, 30), severity="warn"),))
TOO_THIN = Case(lambda: corner(thick=24.1, front=24.1), (Found(("end", "front"), 8, (112.05, 24.1, 30), severity="warn"),))
THE_THINNER_COUNTS = Case(lambda: corner(thick=30))
ON_A_FACE = Case(lambda: on_rail((60, 30), (240, 30), dowel="6x30"), (Found(("block", "rail"), 6, severity="warn"),))
THROUGH = Case(lambda: through("10x60"))
BY_HAND = Case(lambda: corner(("end", Hole("face side", (100, 30), 4, 10, 118, purpose="dowel"))))  # no dowel, no diameter
