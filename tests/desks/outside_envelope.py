"""A rail in an envelope of 300 x 22 x 60: 0.5 too long, shorter, just as long, 0.01 too long."""

from __future__ import annotations

from deskmodel import Desk
from tests.desks.build import rail
from tests.desks.case import Case, Found


def long(length: float) -> Desk:
    d = Desk("rail", envelope=(300, 22, 60))
    rail(d, "rail", length, (0, 0, 0))
    return d


FAILING = Case(lambda: long(300.5), (Found(("rail",), 300.5, (300.5, 11, 30), within=1e-9),))
PASSING = Case(lambda: long(299))
AT_THRESHOLD = Case(lambda: long(300))
JUST_OVER = Case(lambda: long(300.01), (Found(("rail",), 300.01, within=1e-9),))
