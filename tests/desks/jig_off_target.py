"""A corner of two rails, jigs made by a shop of one bit, one bush and one printer; a rail with dowel holes by hand.

What the bit of 8 at 118° has to reach: on the end 26 + 2.403 + gap 4 + bush 16 + 2 below the chuck with a jig for each hand,
with fences on both sides 26 + 2.403 + 4 + 16 + 4 + 12 + 2; on the face 16 + 2.403 + 4 + 16 + 2 of shoulder + 2.
"""

from __future__ import annotations

import math

from deskmodel import Desk, DowelJoint, FaceDowels, Hole, Member, Plate, rectangle
from deskmodel.workshop import Bit, Bush, HandDrill, Printer, Workshop
from tests.desks.build import rail
from tests.desks.case import Case, Found

TIP = 4 / math.tan(math.radians(59))
HANDS = 26 + TIP + 4 + 16 + 2
BUSH = Bush(8.02, 12, 16, "press", "test")
PRINTER = Printer((220, 220, 220), 0.4, 0.1, 3, "test")
DRILL = HandDrill(66, 205, "test")


def shop(length: float = 80, bush: Bush | None = BUSH, printer: Printer | None = PRINTER, drill: HandDrill = DRILL,
         **more: object) -> Workshop:
    return Workshop("test", (Bit(8, "twist", length, 118, "test"),), (), () if bush is None else (bush,), printer=printer,
                    hand_drill=drill, **more)


def corner(workshop: Workshop, positions: tuple[float, ...] | None = None) -> Desk:
    """Dowels from the end into the front at x 11, z 45 and 15."""
    d = Desk("corner", workshop=workshop)
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (0, 22, 0), "y")
    d.join(DowelJoint(end, front, positions=positions))
    return d


def by_hand(aside: float = 0.0, up: float = 0.0, x: float = 100.0) -> Desk:
    """The end's holes ``aside`` of those in the front's back side, 11 from the end's left at ``x``, and ``up``."""
    d = Desk("by hand", workshop=shop())
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (x, 22, 0), "y")
    for z in (15, 45):
        d.cut(front, Hole("back side", (x + 11, z), 8, 16, 118, name=f"face {z}", purpose="dowel"))
        d.cut(end, Hole("datum end", (11 - aside, z + up), 8, 26, 118, name=f"end {z}", purpose="dowel"))
    return d


def upside_down() -> Desk:
    """The end's face edge looks down, that of the front up."""
    d = Desk("upside down", workshop=shop())
    front = rail(d, "front", 300, (0, 0, 0))
    end = d.place(Member("end", (22, 60), 200, "ash"), at=(100, 22, 0), along="y", turn=180)
    d.join(DowelJoint(end, front))
    return d


def on_board() -> Desk:
    d = Desk("on a board", workshop=shop())
    board = d.place(Plate("board", rectangle(200, 100), 18, "birch ply"), at=(0, 0, 0))
    block = rail(d, "block", 200, (0, 20, 18), section=(40, 30))
    d.join(FaceDowels(block, board, "8x30"))
    return d


EITHER = ("end",)
BOTH = ("end", "front")
FAILING = Case(lambda: by_hand(0.3), (Found(BOTH, 0.3, (111, 22, 15)),))
PASSING = Case(lambda: corner(shop()))
# the mark is the end's side: the front's holes come that much aside; x: no figure lies halfway between two tenths
AT_THRESHOLD = Case(lambda: by_hand(0.05, x=100.02))
JUST_ASIDE = Case(lambda: by_hand(0.051), (Found(BOTH, 0.051, within=1e-6),))
JUST_OVER = Case(lambda: by_hand(0.101), (Found(BOTH, 0.101, within=1e-6),))
UP = Case(lambda: by_hand(up=0.3), (Found(BOTH, 0.3, (111, 22, 15)),))
JUST_UP = Case(lambda: by_hand(up=0.1))
BY_HAND_IN_LINE = Case(by_hand)
SHORT_BIT = Case(lambda: corner(shop(HANDS - 0.01)), (Found(EITHER, HANDS - 0.01, (11, 22, 15)),))
JUST_LONG_ENOUGH = Case(lambda: corner(shop(HANDS)))
FENCES_ON_BOTH_SIDES = Case(lambda: corner(shop(HANDS + 16)))
SHORT_FOR_ANYTHING = Case(lambda: corner(shop(44)))  # below the bush alone: that is told by hole-not-drillable
WIDE_BUSH = Case(lambda: corner(shop(bush=Bush(8.2, 12, 16, "press", "test"))), (Found(BOTH, 8.2, (11, 22, 15)),))
NARROW_BUSH = Case(lambda: corner(shop(bush=Bush(7.9, 12, 16, "press", "test"))), (Found(BOTH, 7.9),))
NO_BUSH = Case(lambda: corner(shop(bush=None)), (Found(BOTH, severity="warn"),))
BUSHES_ASSUMED = Case(lambda: corner(shop(bush=Bush(8.2, 12, 16, "press", "test"), assumed=("bush",))),
                      (Found(BOTH, 8.2, severity="warn"),))
SHORT_BUSH = Case(lambda: corner(shop(bush=Bush(8.02, 12, 15.9, "press", "test"))), (Found(BOTH, 15.9, severity="warn"),))
# play 0.1 + 0.022: halves of the root of 2 · 0.1² + 4 · 0.061² + 2 · (0.122 / 16 · 17)² + 2 · (0.122 / 16 · 14)²
LOOSE = Case(lambda: corner(shop(bush=Bush(8.1, 12, 16, "press", "test"))), (Found(BOTH, 0.151, severity="warn"),))
SMALL_BED = Case(lambda: corner(shop(printer=Printer((65.9, 65.9, 220), 0.4, 0.1, 3, "test"))), (Found(EITHER, 66),))
BED_JUST_LARGE_ENOUGH = Case(lambda: corner(shop(printer=Printer((66, 63, 220), 0.4, 0.1, 3, "test"))))
BED_ASSUMED = Case(lambda: corner(shop(printer=Printer((65, 65, 220), 0.4, 0.1, 3, "test"), assumed=("printer",))),
                   (Found(EITHER, 66, severity="warn"),))
NO_PRINTER = Case(lambda: corner(shop(printer=None)), (Found(BOTH, severity="note"),))
FAT_DRILL = Case(lambda: corner(shop(drill=HandDrill(200, 300, "test"))))
ASYMMETRIC = Case(lambda: corner(shop(), positions=(14, 40)))
UPSIDE_DOWN = Case(upside_down, (Found(BOTH, 0.3, severity="warn"),))
ON_A_BOARD = Case(on_board, (Found(("board",), severity="warn"),))
