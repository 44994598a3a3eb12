"""Dowel holes with 3 mm of wood left below their points and beside what is cut away, a little less, and none.

The point of a drill of 118 degrees and 8 mm is 4 / tan 59 = 2.4034 long.
"""

from __future__ import annotations

import math

from deskmodel import Bevel, CutOut, Desk, Groove, Hole, Notch, Pocket, Slot, circle, polygon
from deskmodel.features import Feature
from tests.desks.build import plate
from tests.desks.case import Case, Found
from tests.desks.doweled import corner

POINT = 4 / math.tan(math.radians(59))


def one(*cuts: tuple[str, Feature], front: float = 16, end: float = 26) -> Desk:
    """One dowel in the middle of the joint: x 111, z 30; in the front from y 22 to 6, in the end from y 22 to 48."""
    return corner(*cuts, count=1, depths=(end, front))


def in_ply(outline: object) -> Desk:
    """A board with a hole for an insert, Ø 8 at (50, 50), and an opening beside it."""
    d = Desk("ply")
    board = plate(d, "board", 200, 100, (0, 0, 0), 18, "birch ply")
    d.cut(board, Hole("top", (50, 50), 8, 10, name="pilot", purpose="insert"), CutOut(outline, name="opening"))
    return d


FAILING = Case(lambda: one(front=17), (Found(("front",), 22 - 17 - POINT, (111, 5 - POINT, 30), severity="warn"),))
PASSING = Case(one)
AT_THRESHOLD = Case(lambda: one(front=19 - POINT))
JUST_OVER = Case(lambda: one(front=19.01 - POINT), (Found(("front",), 2.99, within=1e-6, severity="warn"),))
# the end's hole ends with its point at 26 + 2.403: a notch from there on, from 3 on, and across it
NOTCH = Case(lambda: one(("end", Notch("under edge", 29 + POINT, 60, 40))))
NOTCH_NEAR = Case(lambda: one(("end", Notch("under edge", 28 + POINT, 60, 40))),
                  (Found(("end",), 2, (111, 48 + POINT, 30), severity="warn"),))
NOTCH_ACROSS = Case(lambda: one(("end", Notch("under edge", 20, 60, 40))), (Found(("end",), 0, (111, 42, 30)),))
NOTCH_BELOW = Case(lambda: one(("end", Notch("under edge", 10, 60, 23))))  # up to z 23, the hole from z 26 on
NOTCH_JUST_BELOW = Case(lambda: one(("end", Notch("under edge", 10, 60, 23.5))), (Found(("end",), 2.5, severity="warn"),))
GROOVE = Case(lambda: one(("front", Groove("face side", 30, 12, 1))),
              (Found(("front",), 5 - POINT, (111, 6 - POINT, 30), severity="warn"),))
POCKET = Case(lambda: one(("front", Pocket("face side", circle(20, (111, 30)), 4))),
              (Found(("front",), 0, (111, 4, 30)),))
SLOT = Case(lambda: one(("end", Slot("face side", (20, 30), 30, 10))), (Found(("end",), 0),))
SLOT_CLEAR = Case(lambda: one(("end", Slot("face side", (60, 30), 30, 10))))
# 45 degrees through (y 0, z 46) and (y 14, z 60): the hole's rim at y 6, z 34 is (46 - 34 + 6) / sqrt 2 = 12.7 from it
BEVEL_CLEAR = Case(lambda: one(("front", Bevel(("face side", "face edge"), 14))))
# and a dowel 15 below the face edge, its rim at y 6, z 49: (46 - 49 + 6) / sqrt 2 = 2.12
BEVEL_NEAR = Case(lambda: corner(("front", Bevel(("face side", "face edge"), 14)), count=1, positions=(15,)),
                  (Found(("front",), 3 / math.sqrt(2), (111, 6, 49), severity="warn"),))
MOUTH_IN_A_GROOVE = Case(lambda: one(("end", Hole("face side", (100, 30), 5, 12, 118, name="pilot", purpose="insert")),
                                     ("end", Groove("face side", 30, 10, 3))))  # the pilot begins at the groove's floor
MOUTH_HALF_IN_IT = Case(lambda: one(("end", Hole("face side", (100, 34), 5, 12, 118, name="pilot", purpose="insert")),
                                    ("end", Groove("face side", 30, 10, 3, start=80))),
                       (Found(("end",), 0, (122, 122, 34)),))
A_BORE_IS_A_HOLE = Case(lambda: one(("end", Hole("face side", (30, 30), 20, purpose="cable"))))  # told by holes-cross
# an L about the hole, its legs 5 and 7 from the axis: 1 and 3 of wood
L_NEAR = Case(lambda: in_ply(polygon([(55, 20), (80, 20), (80, 80), (20, 80), (20, 57), (55, 57)])),
              (Found(("board",), 1, (54, 50, 18), severity="warn"),))
L_CLEAR = Case(lambda: in_ply(polygon([(57, 20), (80, 20), (80, 80), (20, 80), (20, 57), (57, 57)])))
