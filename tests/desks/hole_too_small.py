"""Steel 1.5: no hole below 1.5, no slot narrower (guideline: the thickness, 1 mm at least)."""

from __future__ import annotations

from deskmodel import CutOut, Hole, Slot, VentField, obround, polygon, rectangle
from tests.desks.case import Case, Found
from tests.desks.sheets import SHEET, one, service

OWN = service("laser", "limits", "sheet", sheets=(SHEET.__class__("steel", 1.5, (2500, 1250), "list", hole=1.2),))

FAILING = Case(lambda: one(Hole("top", (50, 30), 1.4)), (Found(("plate",), 1.4, (60, 50, 6.5)),))
PASSING = Case(lambda: one(Hole("top", (50, 30), 3)))
AT_THRESHOLD = Case(lambda: one(Hole("top", (50, 30), 1.5)))
SLOT = Case(lambda: one(Slot("top", (50, 30), 20, 1.3)), (Found(("plate",), 1.3, (60, 50, 6.5)),))
SLOT_AT_THRESHOLD = Case(lambda: one(CutOut(obround(20, 1.5, (50, 30), 30))))
TAPERED = Case(lambda: one(CutOut(polygon([(20, 20), (60, 20.3), (60, 21.7), (20, 22.2)]))),
               (Found(("plate",), 1.4, (70, 41, 6.5), 0.02),))
BOX_OF_THAT_WIDTH = Case(lambda: one(CutOut(rectangle(30, 1.5, (20, 20)))))
ROUNDED = Case(lambda: one(CutOut(rectangle(30, 20, (20, 20), radius=0.5))))  # its small corners are no slots
WORST_OF_THE_VENTS = Case(lambda: one(VentField((20, 20), 3, 2, 8, 1.2)), (Found(("plate",), 1.2),))
ASSUMED = Case(lambda: one(Hole("top", (50, 30), 1.4), by=service()), (Found(("plate",), 1.4, severity="warn"),))
STATED_BY_THE_SHEET = Case(lambda: one(Hole("top", (50, 30), 1.2), by=OWN))
BELOW_THE_SHEET = Case(lambda: one(Hole("top", (50, 30), 1.19), by=OWN), (Found(("plate",), 1.19, within=1e-6),))
THIN = Case(lambda: one(Hole("top", (50, 30), 0.99), thickness=0.8), (Found(("plate",), 0.99),))
THIN_AT_THRESHOLD = Case(lambda: one(Hole("top", (50, 30), 1.0), thickness=0.8))
BLIND = Case(lambda: one(Hole("top", (50, 30), 1.0, depth=0.5)))  # drilled, not cut
PLY = Case(lambda: one(Hole("top", (50, 30), 1.0), material="birch ply"))  # not sent
