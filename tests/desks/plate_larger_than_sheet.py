"""Sheets of 2500 × 1250 with a border of 10: 2480 × 1230 at most, either way round."""

from __future__ import annotations

from dataclasses import replace

from deskmodel import Finish, rectangle
from tests.desks.case import Case, Found
from tests.desks.sheets import SHEET, one, service

STATED = service("sheet", sheets=(SHEET,))
BRUSHED = service("sheet", sheets=(replace(SHEET, brushed=True),))
TWO = service("sheet", sheets=(SHEET, replace(SHEET, size=(3000, 1500))))


def box(x: float, y: float, by: object = STATED, **more: object) -> object:
    return one(outline=rectangle(x, y), by=by, **more)


FAILING = Case(lambda: box(2481, 600), (Found(("plate",), 2481, (10 + 1240.5, 320, 6.5)),))
PASSING = Case(lambda: box(1480, 690))
AT_THRESHOLD = Case(lambda: box(2480, 1230))
UPRIGHT_AT_THRESHOLD = Case(lambda: box(1230, 2480))
TOO_BROAD = Case(lambda: box(1300, 1231), (Found(("plate",), 1231),))
LARGER_SHEET = Case(lambda: box(2481, 600, TWO))
NO_SUCH_SHEET = Case(lambda: box(500, 500, thickness=2), (Found(("plate",)),))
NO_SUCH_MATERIAL = Case(lambda: box(500, 500, material="brass"), (Found(("plate",)),))
NOT_BRUSHED = Case(lambda: box(500, 500, finish=Finish(brushed="x")), (Found(("plate",)),))
ALONG_THE_BRUSHING = Case(lambda: box(2000, 500, BRUSHED, finish=Finish(brushed="x")))
ACROSS_THE_BRUSHING = Case(lambda: box(2000, 500, BRUSHED, finish=Finish(brushed="y")), (Found(("plate",), 2000),))
ASSUMED = Case(lambda: box(2981, 500, service()), (Found(("plate",), 2981, severity="warn"),))
ASSUMED_AT_THRESHOLD = Case(lambda: box(2980, 1480, service()))
OF_THE_MACHINE = Case(lambda: box(2981, 500, service("laser")), (Found(("plate",), 2981),))
