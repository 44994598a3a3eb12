"""Steel 1.5: 3 between two cuts (guideline: twice the thickness)."""

from __future__ import annotations

from deskmodel import CutOut, Hole, Profile, VentField, circle, rectangle
from tests.desks.case import Case, Found
from tests.desks.sheets import SHEET, one, service

OWN = service("limits", "sheet", sheets=(SHEET.__class__("steel", 1.5, (2500, 1250), "list", web=2),))
# a C: 2 mm of tongue between its stretches
C = Profile(((20, 20, 0), (50, 20, 0), (50, 25, 0), (25, 25, 0), (25, 27, 0), (50, 27, 0), (50, 32, 0), (20, 32, 0)))


def pair(apart: float, **more: object) -> object:
    return one(Hole("top", (30, 30), 6), Hole("top", (36 + apart, 30), 6), **more)


FAILING = Case(lambda: pair(2.9), (Found(("plate",), 2.9, (44.45, 50, 6.5)),))
PASSING = Case(lambda: pair(10))
AT_THRESHOLD = Case(lambda: pair(3))
VENTS = Case(lambda: one(VentField((20, 20), 4, 3, 7.9, 5)), (Found(("plate",), 2.9),))
VENTS_AT_THRESHOLD = Case(lambda: one(VentField((20, 20), 4, 3, 8, 5)))
STAGGERED = Case(lambda: one(VentField((20, 20), 4, 3, 8, 5.6, staggered=True)), (Found(("plate",), 2.4),))
ROUND_AND_SQUARE = Case(lambda: one(CutOut(circle(10, (30, 30))), CutOut(rectangle(10, 10, (40, 34)))))  # √116 - 5
CORNER = Case(lambda: one(CutOut(circle(16, (30, 30))), CutOut(rectangle(10, 10, (38, 36)))),
              (Found(("plate",), 2.0, (46.8, 55.6, 6.5)),))  # from (30, 30) to the corner (38, 36): 10 - 8
TONGUE = Case(lambda: one(CutOut(C)), (Found(("plate",), 2, (47.5, 46, 6.5)),))
ASSUMED = Case(lambda: pair(2.9, by=service()), (Found(("plate",), 2.9, severity="warn"),))
STATED_BY_THE_SHEET = Case(lambda: pair(2.1, by=OWN))
TWICE = Case(lambda: one(Hole("top", (30, 30), 6), CutOut(circle(6, (30, 30)))))  # one hole, said twice
MEETING = Case(lambda: one(Hole("top", (30, 30), 6), Hole("top", (34, 30), 6)))  # one opening
