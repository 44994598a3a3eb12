"""An insert Ø 8 beside a notch: its own diameter away (common practice); beside an end that is dowelled, 40 away, and beside
another part's end that is dowelled on, 20 away (common practice)."""

from __future__ import annotations

from deskmodel import Desk, DowelJoint, InsertFixing, LegMount, Notch
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found


def beside_a_notch(distance: float, edge: str = "under edge") -> Desk:
    d = Desk("notch")
    r, p = rail(d, "rail", 200, (0, 0, 1.5)), plate(d, "plate", 200, 22, (0, 0, 0))
    d.cut(r, Notch(edge, 100 + distance, 30, 5))
    d.join(InsertFixing(p, r, at=(100,)))
    return d


def corner(front_at: float, end_at: float) -> Desk:
    """The end's datum end is dowelled to the back of the front, at x 0 to 22."""
    d = Desk("corner")
    front, end = rail(d, "front", 300, (0, 0, 1.5)), rail(d, "end", 200, (0, 22, 1.5), "y")
    p = plate(d, "plate", 300, 222, (0, 0, 0))
    d.join(DowelJoint(end, front), InsertFixing(p, front, at=(front_at,)), InsertFixing(p, end, at=(end_at,)))
    return d


def leg(pattern: float) -> Desk:
    """Bolts with inserts Ø 12 in a block 80 square."""
    d = Desk("leg")
    block, under = rail(d, "block", 80, (0, 0, 0), section=(80, 60)), plate(d, "under", 80, 80, (0, 0, -1.5))
    steel = plate(d, "leg plate", 80, 80, (0, 0, -7.5), 6)
    post = rail(d, "leg", 400, (17, 17, -407.5), "z", section=(46, 46))
    d.join(LegMount(post, steel, block, under, pattern=(pattern, pattern)))
    return d


FAILING = Case(lambda: beside_a_notch(7.9), (Found(("plate", "rail"), 7.9, (100, 11, 1.5), severity="warn"),))
PASSING = Case(lambda: beside_a_notch(20))
AT_THRESHOLD = Case(lambda: beside_a_notch(8))
OTHER_EDGE = Case(lambda: beside_a_notch(-5, "face edge"))  # a notch above the insert takes no edge from it
DOWELLED_END = Case(lambda: corner(150, 39.9), (Found(("plate", "end"), 39.9, (11, 61.9, 1.5), severity="warn"),))
DOWELLED_END_AT_THRESHOLD = Case(lambda: corner(150, 40))
# from (x, 11) to (22, 22), the nearest of the glued end: hypot(16.7, 11) = 20.0 at x 38.7033
GLUE_LINE = Case(lambda: corner(38.6, 100), (Found(("plate", "front"), 19.914, (38.6, 11, 1.5), 0.001, "warn"),))
GLUE_LINE_AT_THRESHOLD = Case(lambda: corner(22 + (20**2 - 11**2) ** 0.5, 100))
LEG = Case(lambda: leg(58), (Found(("leg plate", "block"), 11.0, (11, 11, 0), severity="warn"),))
LEG_AT_THRESHOLD = Case(lambda: leg(56))
