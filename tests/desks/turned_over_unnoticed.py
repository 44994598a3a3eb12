"""A box 100 × 60 with two holes on its middle line is the same turned over about that line; off by less than 2 it seems so
(common practice)."""

from __future__ import annotations

from dataclasses import replace

from deskmodel import Finish, Hole, Veneer, circle, rectangle
from tests.desks.case import Case, Found
from tests.desks.sheets import SHEET, bent, one, service

FILM = service("sheet", sheets=(replace(SHEET, film="one side"),))


def holes(off: float, **more: object) -> object:
    """The second one ``off`` from where the first one's image is when the plate is turned over about its short middle line,
    and as far beside the long one as to tell that way."""
    return one(Hole("top", (20, 15), 5), Hole("top", (80 + off, 15), 5), **more)


FAILING = Case(lambda: holes(1.5), (Found(("plate",), 1.5, severity="warn"),))
PASSING = Case(lambda: holes(10))
AT_THRESHOLD = Case(lambda: holes(2))
JUST_BELOW = Case(lambda: holes(1.99), (Found(("plate",), 1.99, severity="warn"),))
THE_SAME = Case(lambda: holes(0.0))  # right either way
AS_GOOD_AS_THE_SAME = Case(lambda: holes(0.1))
NOT_QUITE = Case(lambda: holes(0.11), (Found(("plate",), 0.11, severity="warn"),))
BRUSHED = Case(lambda: holes(0.0, finish=Finish(brushed="x")), (Found(("plate",), 0, severity="warn"),))
COATED_ON_ONE = Case(lambda: holes(0.0, finish=Finish(coating="lacquer", coated="seen face")),
                     (Found(("plate",), 0, severity="warn"),))
COATED_ON_BOTH = Case(lambda: holes(0.0, finish=Finish(coating="powder", thickness=0.08)))
UNDER_FILM = Case(lambda: holes(0.0, by=FILM), (Found(("plate",), 0, severity="warn"),))
VENEERED = Case(lambda: holes(0.0, by=FILM, veneer=Veneer("ash veneer", 0.6)))
WITH_WITNESS = Case(lambda: holes(1.5, witness=True))
BRUSHED_WITH_WITNESS = Case(lambda: holes(0.0, finish=Finish(brushed="x"), witness=True))
OTHER_DIAMETERS = Case(lambda: one(Hole("top", (20, 15), 5), Hole("top", (80, 15), 8)),
                       (Found(("plate",), 1.5, severity="warn"),))
CLEARLY_OTHER_DIAMETERS = Case(lambda: one(Hole("top", (20, 15), 5), Hole("top", (80, 15), 9)))
SQUARE = Case(lambda: one(Hole("top", (20, 25.5), 5), Hole("top", (25, 20), 5), outline=rectangle(60, 60)),
              (Found(("plate",), 0.5, severity="warn"),))  # over about the diagonal
DISC = Case(lambda: one(Hole("top", (20, 0), 5), Hole("top", (-15, 5), 6), Hole("top", (-15, -6), 6), outline=circle(60)),
            (Found(("plate",), severity="warn"),))
SKEW_DISC = Case(lambda: one(Hole("top", (20, 0), 5), Hole("top", (-15, 5), 6), Hole("top", (-10, -12), 8),
                             outline=circle(60)))
BENT = Case(lambda: bent(Hole("top", (20, 15), 5), Hole("top", (81, 15), 5)), (Found(("plate",), 1, severity="warn"),))
