"""A screw M4x12 through 1.5 into an insert 1.2 below the wood's face engages 9.3 less the gap between the two: a diameter,
4, at a gap of 5.3. A wood screw 4x20 through a plate as thick as it leaves four diameters, 16 (common practice)."""

from __future__ import annotations

from deskmodel import Desk, InsertFixing, StandOffMount, WoodScrewFixing
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found
from tests.desks.equipment import board


def apart(gap: float) -> Desk:
    d = Desk("fixing")
    r, p = rail(d, "rail", 200, (0, 0, 1.5 + gap)), plate(d, "plate", 200, 22, (0, 0, 0))
    d.join(InsertFixing(p, r, at=(60, 140)))
    return d


def screwed(thick: float, screw: str = "4x20 pan") -> Desk:
    d = Desk("screwing")
    r, p = rail(d, "rail", 200, (0, 0, thick)), plate(d, "plate", 200, 22, (0, 0, 0), thick, "birch ply")
    d.join(WoodScrewFixing(p, r, screw, at=(60, 140)))
    return d


def upright(screw: str) -> Desk:
    """Into end grain: eight diameters."""
    d = Desk("post")
    r, p = rail(d, "post", 200, (0, 0, 4), "z", section=(46, 46)), plate(d, "plate", 46, 46, (0, 0, 0), 4)
    d.join(WoodScrewFixing(p, r, screw, at=((23, 23),)))
    return d


def mounted(raised: float) -> Desk:
    """ISO 7045 M3x5 through a board of 1.6 has 3.4 in its stand-off, less what the board stands above it; 2.4 is wanted."""
    d = Desk("mounted")
    p, c = plate(d, "plate", 200, 200, (0, 0, 0)), d.place(board(), at=(15, 15, 6 + raised))
    d.join(StandOffMount(c, p))
    return d


FAILING = Case(lambda: apart(5.31), (Found(("plate", "rail"), 3.99, (60, 11, 12), 0.001, "warn"),))
PASSING = Case(lambda: apart(0))
AT_THRESHOLD = Case(lambda: apart(5.3))
UNREACHED = Case(lambda: apart(9.5), (Found(("plate", "rail"), 0.0, (60, 11, 12)),))
WOOD = Case(lambda: screwed(4.01), (Found(("plate", "rail"), 15.99, (60, 11, 20), 0.001, "warn"),))
WOOD_AT_THRESHOLD = Case(lambda: screwed(4.0))
END_GRAIN = Case(lambda: upright("4x35 pan"), (Found(("plate", "post"), 31.0, (23, 23, 35), severity="warn"),))
END_GRAIN_PASSING = Case(lambda: upright("4x40 pan"))
STAND_OFF = Case(lambda: mounted(1.01), (Found(("board", "plate"), 2.39, within=0.001, severity="warn"),))
STAND_OFF_AT_THRESHOLD = Case(lambda: mounted(1.0))
