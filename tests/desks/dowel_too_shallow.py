"""A dowel of 8 mm that stands 7, 8, 9.9 and 10 mm deep in the rail (common practice: one diameter, better 1.25)."""

from __future__ import annotations

from deskmodel import Desk
from tests.desks.case import Case, Found
from tests.desks.doweled import corner
from tests.desks.hole_without_partner import through


def stands(deep: float) -> Desk:
    """1 mm of glue space below it."""
    return corner(count=1, depths=(41 - deep, deep + 1))


FAILING = Case(lambda: stands(7), (Found(("front",), 7, (111, 22, 30), severity="warn"),))
PASSING = Case(corner)
AT_THRESHOLD = Case(lambda: stands(8), (Found(("front",), 8, (111, 22, 30), severity="note"),))
JUST_UNDER = Case(lambda: stands(7.99), (Found(("front",), 7.99, severity="warn"),))
BETTER = Case(lambda: stands(10))
LESS_GOOD = Case(lambda: stands(9.9), (Found(("front",), 9.9, severity="note"),))
THROUGH = Case(through)
