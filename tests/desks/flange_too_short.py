"""Steel 1.5: 6 outside (guideline: four times the thickness); 0.7 of a die of 12 (from memory): 8.4."""

from __future__ import annotations

from dataclasses import replace

from tests.desks.case import Case, Found
from tests.desks.sheets import BEND, bent, service

STATES = service("bend", bends=(BEND,))
ONLY_V = service("bend", bends=(replace(BEND, flange=None),))

FAILING = Case(lambda: bent(length=5.9), (Found(("plate",), 5.9, (60, 78.7, 6.5)),))
PASSING = Case(lambda: bent(length=20))
AT_THRESHOLD = Case(lambda: bent(length=6))
ASSUMED = Case(lambda: bent(length=5.9, by=service()), (Found(("plate",), 5.9, severity="warn"),))
STATED = Case(lambda: bent(length=8.4, by=STATES), (Found(("plate",), 8.4),))
STATED_AT_THRESHOLD = Case(lambda: bent(length=8.5, by=STATES))
BY_THE_DIE = Case(lambda: bent(length=8.3, by=ONLY_V), (Found(("plate",), 8.3, severity="warn"),))
BY_THE_DIE_AT_THRESHOLD = Case(lambda: bent(length=8.4, by=ONLY_V))
