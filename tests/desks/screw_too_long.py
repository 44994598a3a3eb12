"""Two screws in a stand-off with 0.6 between their tips, less what the board stands too low; 0.5 is wanted. An insert that
ends 12.7 above the plate's underside, under a notch; a wood screw that meets a bore."""

from __future__ import annotations

from deskmodel import Desk, InsertFixing, Notch, StandOffMount, WoodScrewFixing
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found
from tests.desks.equipment import board


def mounted(low: float) -> Desk:
    d = Desk("mounted")
    p, c = plate(d, "plate", 200, 200, (0, 0, 0)), d.place(board(), at=(15, 15, 6 - low))
    d.join(StandOffMount(c, p))
    return d


def notched(depth: float) -> Desk:
    d = Desk("notched")
    r, p = rail(d, "rail", 200, (0, 0, 1.5)), plate(d, "plate", 200, 22, (0, 0, 0))
    d.cut(r, Notch("face edge", 80, 40, depth))
    d.join(InsertFixing(p, r, at=(100,)))
    return d


def bored(x: float) -> Desk:
    """A bore Ø 10 whose lowest line lies at z 20; the screw ends at 30."""
    d = Desk("bored")
    r, p = rail(d, "rail", 200, (0, 0, 1.5)), plate(d, "plate", 200, 22, (0, 0, 0))
    d.bore(r, "y", (x, 0, 25), 10)
    d.join(WoodScrewFixing(p, r, "4x30 pan", at=(100,)))
    return d


def sunk(by: float) -> Desk:
    """A plate pressed into the rail: the pilot hole goes 1.7 below the tip of M4x12."""
    d = Desk("sunk")
    r, p = rail(d, "rail", 200, (0, 0, 1.5)), plate(d, "plate", 200, 22, (0, 0, by))
    d.join(InsertFixing(p, r, insert="M4x8", screw="ISO 7380 M4x12", at=(100,)))
    return d


FAILING = Case(lambda: mounted(0.11), (Found(("board", "plate"), 0.49, within=0.001, severity="warn"),))
PASSING = Case(lambda: mounted(0))
AT_THRESHOLD = Case(lambda: mounted(0.1))
MEETING = Case(lambda: mounted(0.7), (Found(("board", "plate"), -0.1, within=0.001),))
OUT = Case(lambda: notched(48.81), (Found(("plate", "rail"), 0.01, (100, 11, 12.7), 0.001),))
OUT_AT_THRESHOLD = Case(lambda: notched(48.8))
BORE = Case(lambda: bored(100), (Found(("plate", "rail"), 10.0, (100, 11, 30), 0.001),))
BESIDE_A_BORE = Case(lambda: bored(115))
BOTTOM = Case(lambda: sunk(0.51), (Found(("plate", "rail"), 0.49, (100, 11, 12.5), 0.001, "warn"),))  # 10.5 + 1 deep
BOTTOM_AT_THRESHOLD = Case(lambda: sunk(0.5))
