"""Holes 1.6, 1.5, 3, 3.1 deeper than the dowel together (trade page, common practice), and less deep than it is long."""

from __future__ import annotations

from deskmodel import Desk
from tests.desks.case import Case, Found
from tests.desks.doweled import corner
from tests.desks.hole_without_partner import through


def space(of: float) -> Desk:
    return corner(count=1, depths=(24 + of, 16))


FAILING = Case(lambda: space(-1), (Found(("end", "front"), -1, (111, 22, 30)),))
PASSING = Case(corner)
AT_THRESHOLD = Case(lambda: space(1.6))
JUST_UNDER = Case(lambda: space(1.5), (Found(("end", "front"), 1.5, severity="warn"),))
MOST = Case(lambda: space(3))
JUST_OVER = Case(lambda: space(3.1), (Found(("end", "front"), 3.1, severity="warn"),))
NONE = Case(lambda: space(0), (Found(("end", "front"), 0, severity="warn"),))
THROUGH = Case(through)
