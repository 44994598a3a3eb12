"""A joint on one dowel, on two a sixth of its length apart, at a third, and what a lamination does to it."""

from __future__ import annotations

from deskmodel import Bond, Desk, DowelJoint, FaceDowels, Laminate, ThroughDowels, WoodScrewFixing
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found
from tests.desks.doweled import corner


def doubled(glue: bool) -> Desk:
    """Two ends side by side, each on one dowel in the same rail."""
    d = Desk("doubled")
    front = rail(d, "front", 300, (0, 0, 0))
    ends = [rail(d, name, 200, (x, 22, 0), "y") for name, x in (("one", 100), ("two", 122))]
    d.join(*(DowelJoint(end, front, count=1) for end in ends))
    if glue:
        d.join(Laminate(ends, glue="PVAc"))
    return d


def bonded(glue: bool) -> Desk:
    d = Desk("bonded")
    low, block = rail(d, "rail", 80, (0, 0, 0)), rail(d, "block", 80, (0, 22, 0), section=(80, 60))
    d.join(FaceDowels(block, low, count=1))
    if glue:
        d.join(Bond(block, low, glue="PVAc"))
    return d


def both_ends(right: int) -> Desk:
    """A rail between two ends: on one dowel at the left, ``right`` at the right."""
    d = Desk("between")
    left, other = rail(d, "left", 200, (0, 0, 0), "y"), rail(d, "right", 200, (222, 0, 0), "y")
    cross = rail(d, "cross", 200, (22, 100, 0))
    d.join(DowelJoint(cross, left, count=1), DowelJoint(cross, other, count=right))
    return d


def through(count: int) -> Desk:
    d = Desk("through")
    middle = rail(d, "middle", 300, (0, 0, 0))
    a, b = rail(d, "a", 200, (100, 22, 0), "y"), rail(d, "b", 200, (100, -200, 0), "y")
    d.join(ThroughDowels(a, middle, b, count=count))
    return d


def under_a_plate() -> Desk:
    """Screwed to a plate below: that comes when the glue has set."""
    d = corner(count=1)
    under = plate(d, "under", 300, 222, (0, 0, -1.5))
    d.join(*(WoodScrewFixing(under, d.parts[name], pitch=150) for name in ("front", "end")))
    return d


_TURNS = Found(("end", "front"), 0, (111, 22, 30), severity="warn")

FAILING = Case(lambda: corner(count=1), (_TURNS,))
PASSING = Case(corner)
AT_THRESHOLD = Case(lambda: corner(positions=(20, 40)))  # 20 of 60
JUST_OVER = Case(lambda: corner(positions=(20, 39.9)), (Found(("end", "front"), 19.9, (111, 22, 30), severity="warn"),))
TWO_APART = Case(lambda: doubled(False), (Found(("one", "front"), 0, severity="warn"),
                                          Found(("two", "front"), 0, severity="warn")))
TWO_GLUED = Case(lambda: doubled(True))
ONE = Case(lambda: bonded(False), (Found(("block", "rail"), 0, severity="warn"),))
ONE_AND_GLUE = Case(lambda: bonded(True))
HELD_AT_THE_OTHER_END = Case(lambda: both_ends(2), (Found(("cross", "left"), 0, (22, 111, 30), severity="warn"),))
THROUGH = Case(lambda: through(2))
ONE_THROUGH = Case(lambda: through(1), (Found(("a", "middle"), 0, severity="warn"),
                                        Found(("b", "middle"), 0, severity="warn")))
SCREWED_LATER = Case(under_a_plate, (_TURNS,))
