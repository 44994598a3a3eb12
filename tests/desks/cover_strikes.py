"""A cover that lifts 100 mm out of its place, a shelf across its way at various heights, one beside it; one that turns."""

from __future__ import annotations

from deskmodel import Cover, Desk, Hinge
from tests.desks.build import plate, rail
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


def turning(behind: float, angle: float = 95.0) -> Desk:
    """A cover on hinges, its top 1.1 over the pin; a rail 22 high ``behind`` the pin, on nothing."""
    d = Desk("hinged")
    back = rail(d, "back", 300, (0, 178, 0))
    cover = d.place(Cover("cover", (276, 176)), at=(12, 12, 60.5))
    d.join(Hinge(cover, back, angle=angle))
    rail(d, "wall", 300, (0, 188 + behind, 62), section=(22, 22))
    return d


# the wall's front upper edge lies 84 - 60.9 = 23.1 over the pin (knuckle / 2 - leaf = 0.9 over the member); the cover's top,
# 1.1 over the pin, meets it at atan2(23.1, -behind) - asin(1.1 / hypot(23.1, behind)): 99.55° for 5
TURNED = Case(lambda: turning(5.0, 100.0), (Found(("cover", "wall"), 99.55, within=0.1),))
NOT_SO_FAR = Case(lambda: turning(5.0, 99.4))
