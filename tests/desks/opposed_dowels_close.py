"""Dowels from both faces of a rail, side by side in its 22 mm: 16 apart, less, and in each other; in 60 mm no matter."""

from __future__ import annotations

from deskmodel import Desk, DowelJoint
from tests.desks.build import rail
from tests.desks.case import Case, Found


def both(apart: float, thick: float = 22) -> Desk:
    """"front" and "behind" of a rail, one dowel each at z 30, at x 111 and 111 + apart."""
    d = Desk("both sides")
    middle = rail(d, "middle", 400, (0, 0, 0), section=(thick, 60))
    a, b = rail(d, "a", 200, (100, thick, 0), "y"), rail(d, "b", 200, (100 + apart, -200, 0), "y")
    d.join(DowelJoint(a, middle, count=1), DowelJoint(b, middle, count=1))
    return d


FAILING = Case(lambda: both(12), (Found(("middle",), 12, (117, 11, 30), severity="warn"),))
PASSING = Case(lambda: both(40))
AT_THRESHOLD = Case(lambda: both(16))
JUST_OVER = Case(lambda: both(15.99), (Found(("middle",), 15.99, severity="warn"),))
MEETING = Case(lambda: both(7.9), (Found(("middle",), 7.9, (114.95, 11, 30)),))
OPPOSITE = Case(lambda: both(0), (Found(("middle",), 0, (111, 11, 30)),))
THICK = Case(lambda: both(0, 60))  # 21 + 2.4 deep from either side
# 21 + 2.403 twice are 46.807: 3 between the points is enough, 2.99 is not
POINT_TO_POINT = Case(lambda: both(0, 49.82))
POINTS_NEAR = Case(lambda: both(0, 49.79), (Found(("middle",), 0, severity="warn"),))
