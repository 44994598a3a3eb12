"""ISO 10642 M4, its smallest head 7.53 (from memory), sunk 8.96 wide in a plate t thick: the far edge is 8.96 - 2 t wide,
and the plate holds t - 0.715 all round: 0.5 (common practice) at t = 1.215."""

from __future__ import annotations

from deskmodel import Desk, Hole, InsertFixing
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found


def fixing(thick: float, sunk: float = 0.0, screw: str = "ISO 10642 M4x12") -> Desk:
    d = Desk("fixing")
    r, p = rail(d, "rail", 200, (0, 0, thick)), plate(d, "plate", 200, 22, (0, 0, sunk), thick)
    d.join(InsertFixing(p, r, screw, at=(60, 140)))
    return d


def by_hand(wide: float, over: bool) -> Desk:
    """A hole Ø 4.5, countersunk by hand, in 1.5: over the rail or beside it."""
    d = fixing(1.5)
    wing = plate(d, "wing", 200, 60, (0, 0, 61.5))
    d.join(InsertFixing(wing, "rail", at=(60, 140)))
    d.cut(wing, Hole("top", (100, 11 if over else 40), 4.5, countersink=(wide, 90), name="by hand"))
    return d


FAILING = Case(lambda: fixing(1.2), (Found(("plate", "rail"), 0.485, (60, 11, 0), 0.001, "warn"),))
PASSING = Case(lambda: fixing(1.5))
AT_THRESHOLD = Case(lambda: fixing(1.215))
BUTTON = Case(lambda: fixing(0.8, screw="ISO 7380 M4x12"))
# the insert lies 1.2 below the wood's face, the cone reaches 0.98 below it
ON_INSERT = Case(lambda: fixing(1.5, 0.3), (Found(("plate", "rail"), -0.08, (60, 11, 0.3), 0.001),))
ON_INSERT_AT_THRESHOLD = Case(lambda: fixing(1.5, 0.22))
HAND = Case(lambda: by_hand(7.6, over=False), (Found(("wing",), 1.55, (100, 40, 63), 0.001, "warn"),))
HAND_OVER_WOOD = Case(lambda: by_hand(7.6, over=True), (Found(("wing", "rail"), 1.55, (100, 11, 63), 0.001),))
HAND_AT_THRESHOLD = Case(lambda: by_hand(7.5, over=True))
