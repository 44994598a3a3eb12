"""Two holes cut by hand under equipment with holes Ø 3.2: an M3 screw passes both while they are 0.1 + 0.2 apart at the most
(ISO 273: 3.2 fine, 3.4 medium). A box screwed down through two of its four holes."""

from __future__ import annotations

from deskmodel import CutOut, Desk, Hole, Rest, StandOffMount, WoodScrewFixing, rectangle
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found
from tests.desks.equipment import board, box_with_rim, equipment


def by_hand(*holes: tuple[float, float, float], deep: float | None = None) -> Desk:
    """A relay with mounting holes at x 25 and 55, y 35; holes (x, y, diameter) in the plate."""
    d = Desk("by hand")
    p = plate(d, "plate", 100, 100, (0, 0, 0))
    relay = d.place(equipment("relay", (((40, 30, 20), (0, 0, 0)),), ((5, 15), (35, 15)), 3.0 if deep else 3.2, deep),
                    at=(20, 20, 1.5))
    d.join(Rest(relay, p, held="two screws"))
    for number, (x, y, diameter) in enumerate(holes, 1):
        d.cut(p, Hole("bottom", (x, y), diameter, name=f"hole {number}"))
    return d


def slotted() -> Desk:
    d = by_hand((25, 35, 3.4))
    d.cut("plate", CutOut(rectangle(8, 3.4, (51, 33.3))))
    return d


def screwed(y: float) -> Desk:
    """Holes of the box at y + 8 and y + 32, the shelf from 0 to 60."""
    d = Desk("screwed")
    shelf, box = rail(d, "shelf", 140, (0, 0, 0), section=(60, 22)), d.place(box_with_rim(), at=(20, y, 22))
    d.join(WoodScrewFixing(box, shelf, "4x20 pan"))
    return d


def mounted() -> Desk:
    d = Desk("mounted")
    p, c = plate(d, "plate", 200, 200, (0, 0, 0)), d.place(board(), at=(15, 15, 6))
    d.join(StandOffMount(c, p))
    return d


FAILING = Case(lambda: by_hand((25, 35, 3.4), (55.31, 35, 3.4)), (Found(("relay", "plate"), 0.31, (55, 35, 1.5), 0.001),))
PASSING = Case(lambda: by_hand((25, 35, 3.4), (55, 35, 3.4)))
AT_THRESHOLD = Case(lambda: by_hand((25, 35, 3.4), (55.3, 35, 3.4)))
TOO_SMALL = Case(lambda: by_hand((25, 35, 3.4), (55, 35, 2.9)), (Found(("relay", "plate"), 2.9, (55, 35, 1.5)),))
FORGOTTEN = Case(lambda: by_hand((25, 35, 3.4)), (Found(("relay", "plate"), None, (55, 35, 1.5), severity="warn"),))
JUST_STANDS = Case(by_hand)
SLOTTED = Case(slotted)
THREADED = Case(lambda: by_hand((25, 35, 3.4), (55.21, 35, 3.4), deep=5),  # a thread leaves no room of its own
                (Found(("relay", "plate"), 0.21, (55, 35, 1.5), 0.001),))
TWO_OF_FOUR = Case(lambda: screwed(35), (Found(("box", "shelf"), None, (25, 67, 22), severity="warn"),))
ALL_FOUR = Case(lambda: screwed(10))
ON_STAND_OFFS = Case(mounted)
