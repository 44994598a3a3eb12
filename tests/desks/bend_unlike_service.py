"""The service bends steel 1.5 to R 1.5, K 0.45: deduction at 90° 2 · 3 - π/2 (1.5 + 0.675) = 2.5835."""

from __future__ import annotations

from math import pi

from tests.desks.case import Case, Found
from tests.desks.sheets import BEND, bent, service

STATES = service("bend", bends=(BEND,))
# R 3: 2 · 4.5 - π/2 (3 + 0.675) = 3.2273; K 0.5: 6 - π/2 · 2.25 = 2.4657
OTHER_RADIUS = 9 - pi / 2 * 3.675 - (6 - pi / 2 * 2.175)

FAILING = Case(lambda: bent(radius=3, by=STATES), (Found(("plate",), OTHER_RADIUS, within=1e-4),))
PASSING = Case(lambda: bent(by=STATES))
AT_THRESHOLD = Case(lambda: bent(k=0.45 + 0.0999 / (pi / 2 * 1.5), by=STATES))
JUST_OVER = Case(lambda: bent(k=0.45 + 0.1001 / (pi / 2 * 1.5), by=STATES), (Found(("plate",), 0.1001, within=1e-5),))
NO_TOOL = Case(lambda: bent(by=service("bend", bends=())), (Found(("plate",)),))
TOO_LONG = Case(lambda: bent(by=service("bend", bends=(BEND.__class__("steel", 1.5, 1.5, 0.45, "x", longest=99),))),
                (Found(("plate",), 100, (60, 78.7, 6.5)),))
JUST_LONG_ENOUGH = Case(lambda: bent(by=service("bend", bends=(BEND.__class__("steel", 1.5, 1.5, 0.45, "x", longest=100),))))
NOT_STATED = Case(lambda: bent(radius=3))
