"""Kerf 0.2 (common practice for 1 to 3 mm): a slot must be wider."""

from __future__ import annotations

from deskmodel import CutOut, Hole, Profile, rectangle
from tests.desks.case import Case, Found
from tests.desks.sheets import one, service

# the box with a slit from its front edge, 20 deep
SLIT = Profile(((0, 0, 0), (50, 0, 0), (50, 20, 0), (50.2, 20, 0), (50.2, 0, 0), (100, 0, 0), (100, 60, 0), (0, 60, 0)))
WIDER = Profile(((0, 0, 0), (50, 0, 0), (50, 20, 0), (50.3, 20, 0), (50.3, 0, 0), (100, 0, 0), (100, 60, 0), (0, 60, 0)))

FAILING = Case(lambda: one(CutOut(rectangle(30, 0.2, (20, 20)))), (Found(("plate",), 0.2, (45, 40.1, 6.5)),))
PASSING = Case(lambda: one(CutOut(rectangle(30, 2, (20, 20)))))
AT_THRESHOLD = Case(lambda: one(CutOut(rectangle(30, 0.2001, (20, 20)))))
WIDER_KERF = Case(lambda: one(CutOut(rectangle(30, 0.3, (20, 20))), by=service("laser", laser={"kerf": 0.3})),
                  (Found(("plate",), 0.3),))
ROUND = Case(lambda: one(Hole("top", (50, 30), 0.15)), (Found(("plate",), 0.15),))
IN_THE_OUTLINE = Case(lambda: one(outline=SLIT), (Found(("plate",), 0.2, (60.1, 30, 6.5)),))
WIDER_IN_THE_OUTLINE = Case(lambda: one(outline=WIDER))
FROM_THE_EDGE = Case(lambda: one(CutOut(rectangle(0.2, 20, (50, 0)))), (Found(("plate",), 0.2, (60.1, 30, 6.5)),))
ASSUMED = Case(lambda: one(CutOut(rectangle(30, 0.2, (20, 20))), by=service()), (Found(("plate",), 0.2, severity="warn"),))
