"""A cover that lifts 100 mm out of its place, a shelf across its way at various heights, and one beside it."""

from __future__ import annotations

from deskmodel import Cover, Desk
from tests.desks.build import plate
from tests.desks.case import Case, Found


def shelf(height: float, x: float = 50.0) -> Desk:
    d = Desk("shelf")
    d.place(Cover("cover", (200, 150)), at=(0, 0, 0))  # 1.5 thick: its top at 1.5
    plate(d, "shelf", 40, 150, (x, 0, 1.5 + height), 3)
    return d


FAILING = Case(lambda: shelf(60.0), (Found(("cover", "shelf"), 60.0, within=0.1),))
PASSING = Case(lambda: shelf(150.0))
AT_THRESHOLD = Case(lambda: shelf(100.0))  # it comes to lie against the shelf
JUST_OVER = Case(lambda: shelf(99.9), (Found(("cover", "shelf"), 99.9, within=0.1),))
BESIDE = Case(lambda: shelf(20.0, 200.0))
