"""Steel 1.5: 2.25 from a cut to the edge (guideline: 1.5 times the thickness); 6 from the middle of a countersink
(guideline: 4 times)."""

from __future__ import annotations

from deskmodel import CutOut, Hole, VentField, circle, rectangle
from tests.desks.case import Case, Found
from tests.desks.sheets import SHEET, one, service

OWN = service("limits", "sheet", sheets=(SHEET.__class__("steel", 1.5, (2500, 1250), "list", edge=1),))

FAILING = Case(lambda: one(Hole("top", (5, 30), 6)), (Found(("plate",), 2.0, (11, 50, 6.5)),))
PASSING = Case(lambda: one(Hole("top", (20, 30), 6)))
AT_THRESHOLD = Case(lambda: one(Hole("top", (5.25, 30), 6)))
VENT = Case(lambda: one(VentField((20, 57), 3, 1, 8, 5)), (Found(("plate",), 0.5, (30, 79.75, 6.5)),))
BOX = Case(lambda: one(CutOut(rectangle(10, 20, (88, 20)))), (Found(("plate",), 2.0),))
IN_A_DISC = Case(lambda: one(Hole("top", (18, 0), 6), outline=circle(46)), (Found(("plate",), 2.0, (32 + 23, 43, 6.5)),))
RUNS_OUT = Case(lambda: one(CutOut(rectangle(10, 20, (90, 20)))))  # a notch, no hole
ASSUMED = Case(lambda: one(Hole("top", (5, 30), 6), by=service()), (Found(("plate",), 2.0, severity="warn"),))
STATED_BY_THE_SHEET = Case(lambda: one(Hole("top", (4, 30), 6), by=OWN))


def sunk(x: float, face: str = "top") -> Hole:
    return Hole(face, (x, 30), 3.4, countersink=(6.72, 90))


SUNK = Case(lambda: one(sunk(5.9)), (Found(("plate",), 5.9, (10 + 2.95, 50, 6.5), severity="warn"),))
SUNK_AT_THRESHOLD = Case(lambda: one(sunk(6)))
SUNK_FROM_BELOW = Case(lambda: one(sunk(5.9, "bottom")), (Found(("plate",), 5.9, severity="warn"),))
SUNK_IN_A_DISC = Case(lambda: one(Hole("top", (17.5, 0), 3.4, countersink=(6.72, 90)), outline=circle(46)),
                      (Found(("plate",), 5.5, severity="warn"),))
# both: the hole by what the service states, its countersink by the guideline
SUNK_AND_CUT = Case(lambda: one(sunk(3.9)), (Found(("plate",), 2.2), Found(("plate",), 3.9, severity="warn")))
