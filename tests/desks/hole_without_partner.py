"""Holes for hardware without it, with it, and off its axis by just what jigs are good for, 0.1 (common practice)."""

from __future__ import annotations

from deskmodel import Desk, DowelJoint, Hole, StandOffMount, ThroughDowels, WoodScrewFixing
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found
from tests.desks.equipment import board


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


def through(*holes: Hole) -> Desk:
    """Rails on both sides of a middle one, dowelled right through it at x 111, z 15 and 45."""
    d = Desk("through")
    middle = rail(d, "middle", 300, (0, 0, 0))
    a, b = rail(d, "a", 200, (100, 22, 0), "y"), rail(d, "b", 200, (100, -200, 0), "y")
    d.join(ThroughDowels(a, middle, b))
    if holes:
        d.cut(middle, *holes)
    return d


def screwed(*holes: tuple[str, Hole]) -> Desk:
    """A plate under a rail, screwed at x 50 and 150."""
    d = Desk("screwed")
    r, p = rail(d, "rail", 200, (0, 0, 1.5)), plate(d, "plate", 200, 22, (0, 0, 0))
    d.join(WoodScrewFixing(p, r, at=(50, 150)))
    for part, hole in holes:
        d.cut(part, hole)
    return d


def mounted(*holes: Hole) -> Desk:
    d = Desk("mounted")
    p, c = plate(d, "plate", 200, 200, (0, 0, 0)), d.place(board(), at=(15, 15, 6))
    d.join(StandOffMount(c, p))
    if holes:
        d.cut(p, *holes)
    return d


FAILING = Case(lambda: corner(hole(150)), (Found(("front",), None, (150, 22, 15)),))
PASSING = Case(corner)
AT_THRESHOLD = Case(lambda: corner(hole(11.1)))
JUST_OVER = Case(lambda: corner(hole(11.11)), (Found(("front",), None, (11.11, 22, 15)),))
ONE_SIDED = Case(one_sided, (Found(("other",), None, (111, 22, 15)),))
CABLE = Case(lambda: corner(hole(150, "cable")))  # a bore for a cable needs no partner
INSERT = Case(lambda: corner(hole(11, "insert")), (Found(("front",), None, (11, 22, 15)),))  # a dowel is no insert
SCREW = Case(lambda: corner(hole(150, "screw")), (Found(("front",), None, (150, 22, 15)),))
THROUGH = Case(through)  # the dowel is in three parts, and right through one
THROUGH_BESIDE = Case(lambda: through(Hole("face side", (111, 30), 8, purpose="dowel", name="another")),
                      (Found(("middle",), None, (111, 0, 30)),))
SCREWED = Case(screwed)
EMPTY_PILOT = Case(lambda: screwed(("rail", Hole("under edge", (100, 11), 2.5, 20, 118, purpose="screw", name="pilot"))),
                   (Found(("rail",), None, (100, 11, 1.5)),))
MOUNTED = Case(mounted)
EMPTY_MOUNT_HOLE = Case(lambda: mounted(Hole("bottom", (100, 100), 3.4, purpose="screw", name="spare")),
                        (Found(("plate",), None, (100, 100, 0)),))

