"""Two dowel holes drilled by hand that face each other: 0.3 aside, 0.1, and a little more; of different diameters.

None of them has a dowel: that is the other check's word, and only where they are in line.
"""

from __future__ import annotations

from deskmodel import Desk, DowelJoint, Hole
from tests.desks.build import rail
from tests.desks.case import Case, Found


def by_hand(aside: float = 0.0, up: float = 0.0, diameter: float = 8, apart: float = 0.0) -> Desk:
    """An end on the back side of a rail; holes at x 111, z 30 and aside, up of it."""
    d = Desk("by hand")
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (100, 22 + apart, 0), "y")
    d.join(DowelJoint(end, front, positions=(12, 48)))
    d.cut(front, Hole("back side", (111, 30), 8, 16, 118, name="by hand", purpose="dowel"))
    d.cut(end, Hole("datum end", (11 - aside, 30 + up), diameter, 26, 118, name="by hand", purpose="dowel"))
    return d


def beside() -> Desk:
    """A third hole beside the joint's own two, which have each other."""
    d = Desk("beside")
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (100, 22, 0), "y")
    d.join(DowelJoint(end, front, count=1))
    d.cut(front, Hole("back side", (118, 30), 8, 16, 118, name="slip", purpose="dowel"))
    return d


FAILING = Case(lambda: by_hand(0.3), (Found(("end", "front"), 0.3, (111, 22, 30)),))
PASSING = Case(by_hand)
AT_THRESHOLD = Case(lambda: by_hand(0.1))
JUST_OVER = Case(lambda: by_hand(0.101), (Found(("end", "front"), 0.101, within=1e-6),))
UP_AND_ASIDE = Case(lambda: by_hand(0.3, 0.4), (Found(("end", "front"), 0.5),))
FACES_APART = Case(lambda: by_hand(0.3, apart=0.4), (Found(("end", "front"), 0.3),))
SAME_ENOUGH = Case(lambda: by_hand(diameter=8.2))
OTHER_DIAMETER = Case(lambda: by_hand(diameter=8.21), (Found(("end", "front"), 0.21, severity="warn"),))
FAR_ASIDE = Case(lambda: by_hand(up=8.5))  # they do not meet: two holes without a partner
BESIDE = Case(beside)
