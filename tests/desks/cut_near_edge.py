"""Steel 1.5: 2.25 from a cut to the edge (guideline: 1.5 times the thickness)."""

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
