"""Steel 1.5 bent up at the back, R 1.5, K 0.45: the bend begins 57 from the front, its allowance is π/2 (1.5 + 0.675) =
3.4165, the bend line lies at 58.708; 3 + 1.5 from it (guideline: twice the thickness and the radius), of the middle of a
countersink 6 + 1.5 (guideline: four times)."""

from __future__ import annotations

from deskmodel import Hole
from tests.desks.case import Case, Found
from tests.desks.sheets import bent, service

LINE = 57 + 3.4164820 / 2

FAILING = Case(lambda: bent(Hole("top", (50, 51.5), 6)), (Found(("plate",), LINE - 54.5, (60, 74.5, 6.5)),))
PASSING = Case(lambda: bent(Hole("top", (50, 40), 6)))
AT_THRESHOLD = Case(lambda: bent(Hole("top", (50, LINE - 7.5), 6)))
IN_THE_FLANGE = Case(lambda: bent(Hole("back flange inside", (50, 8), 6)),  # 5 up the leg, which begins at 3: 2 + 1.708
                     (Found(("plate",), 3.708, within=0.001),))
FREE_IN_THE_FLANGE = Case(lambda: bent(Hole("back flange inside", (50, 9), 6)))
# R 3: the bend begins at 55.5, its allowance is π/2 (3 + 0.675) = 5.7727, the line lies at 58.386; 3 + 3 from it
WIDER_BEND = Case(lambda: bent(Hole("top", (50, 50), 6), radius=3), (Found(("plate",), 5.386, within=0.001),))
ASSUMED = Case(lambda: bent(Hole("top", (50, 51.5), 6), by=service()), (Found(("plate",), severity="warn"),))


def sunk(y: float) -> Hole:
    return Hole("top", (50, y), 3.4, countersink=(6.72, 90))


SUNK = Case(lambda: bent(sunk(LINE - 7.4)), (Found(("plate",), 7.4, severity="warn", within=0.001),))
SUNK_AT_THRESHOLD = Case(lambda: bent(sunk(LINE - 7.5)))
