"""Holes for hardware without it, with it, and off its axis by just what jigs are good for, 0.1 (common practice)."""

from __future__ import annotations

from deskmodel import Desk, DowelJoint, Hole
from tests.desks.build import rail
from tests.desks.case import Case, Found


def corner(*holes: Hole) -> Desk:
    d = Desk("corner")
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (0, 22, 0), "y")
    d.join(DowelJoint(end, front))  # dowels at z 15 and 45, x 11
    if holes:
        d.cut(front, *holes)
    return d


def one_sided() -> Desk:
    """The end has stepped aside after drilling: its dowels stand in no hole of the rail."""
    d = Desk("corner")
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (0, 22, 0), "y")
    other = rail(d, "other", 200, (100, 22, 0), "y")
    d.join(DowelJoint(end, front))
    d.cut(other, Hole("datum end", (11, 15), 8, 26, 118, purpose="dowel", name="forgotten"))
    return d


def hole(x: float, purpose: str = "dowel") -> Hole:
    return Hole("back side", (x, 15), 8, 16, 118, purpose=purpose, name="another")


FAILING = Case(lambda: corner(hole(150)), (Found(("front",), None, (150, 22, 15)),))
PASSING = Case(corner)
AT_THRESHOLD = Case(lambda: corner(hole(11.1)))
JUST_OVER = Case(lambda: corner(hole(11.11)), (Found(("front",), None, (11.11, 22, 15)),))
ONE_SIDED = Case(one_sided, (Found(("other",), None, (111, 22, 15)),))
CABLE = Case(lambda: corner(hole(150, "cable")))  # a bore for a cable needs no partner
INSERT = Case(lambda: corner(hole(11, "insert")), (Found(("front",), None, (11, 22, 15)),))  # a dowel is no insert
SCREW = Case(lambda: corner(hole(150, "screw")), (Found(("front",), None, (150, 22, 15)),))
