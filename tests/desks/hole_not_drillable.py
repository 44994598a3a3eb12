"""Holes that a workshop cannot drill, can, and can just. An end hole for a dowel 8 × 40 is 26 deep (trade: 22 - 6 in the
face, the rest and 2 of glue space in the end); a tip of 118° is 4 / tan 59° long; the bush above it 16 (DIN 179, from
memory)."""

from __future__ import annotations

import math

from deskmodel import Desk, DowelJoint, Hole, InsertFixing
from deskmodel.workshop import Bit, Bush, Countersink, Workshop
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found

TIP = 4 / math.tan(math.radians(59))
NEEDED = 26 + TIP + 16
BUSH = Bush(8.02, 12, 16, "press", "test")


def shop(*bits: Bit, bushes: tuple[Bush, ...] = (BUSH,), countersinks: tuple[Countersink, ...] = (),
         **more: object) -> Workshop:
    return Workshop("test", bits, countersinks, bushes, **more)


def bit(diameter: float, length: float, kind: str = "twist", point: float = 118) -> Bit:
    return Bit(diameter, kind, length, point, "test")


def corner(workshop: Workshop, *holes: Hole) -> Desk:
    """Dowels from the end into the front at x 11, z 15 and 45."""
    d = Desk("corner", workshop=workshop)
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (0, 22, 0), "y")
    d.join(DowelJoint(end, front))
    if holes:
        d.cut(front, *holes)
    return d


def bored(length: float, diameter: float = 20) -> Desk:
    """A cable bore right through the front, 22 thick, at x 200, z 30; a flat bit."""
    bore = Hole("face side", (200, 30), diameter, name="bore", purpose="cable")
    return corner(shop(bit(8, 100), bit(20, length, "Forstner", 180)), bore)


def screwed(countersink: Countersink, **more: object) -> Desk:
    """ISO 10642 M4: 8.96 wide at the plate's face; inserts in a recess of 8.5."""
    d = Desk("screwed", workshop=shop(bit(6.3, 60), bit(8.5, 70), countersinks=(countersink,), **more))
    r, p = rail(d, "rail", 200, (0, 0, 1.5)), plate(d, "plate", 200, 22, (0, 0, 0))
    d.join(InsertFixing(p, r, at=(50, 150)))
    return d


EITHER = ("end",)
FAILING = Case(lambda: corner(shop(bit(8, 40))), (Found(EITHER, 40, (11, 22, 15)),))
PASSING = Case(lambda: corner(shop(bit(8, 75))))
AT_THRESHOLD = Case(lambda: corner(shop(bit(8, NEEDED))))
JUST_SHORT = Case(lambda: corner(shop(bit(8, NEEDED - 0.01))), (Found(EITHER, NEEDED - 0.01, (11, 22, 15)),))
LONGER_TIP = Case(lambda: corner(shop(bit(8, NEEDED, point=117))), (Found(EITHER, NEEDED),))
SHORT_WITHOUT_A_BUSH = Case(lambda: corner(shop(bit(8, 28), bushes=())), (Found(EITHER, 28, (11, 22, 15)),))
ENOUGH_WITHOUT_A_BUSH = Case(lambda: corner(shop(bit(8, 26 + TIP), bushes=())))
BUSH_OF_ANOTHER_SIZE = Case(lambda: corner(shop(bit(8, 26 + TIP), bushes=(Bush(10.02, 15, 20, "slide", "test"),))))
A_SHORTER_BUSH_DOES = Case(lambda: corner(shop(bit(8, NEEDED), bushes=(BUSH, Bush(8.02, 12, 20, "press", "test")))))
ALL_TOO_SHORT = Case(lambda: corner(shop(bit(8, 20))), (Found(("end", "front"), 20, (11, 22, 15)),))  # 16 + TIP + 16
ONE_OF_TWO_DOES = Case(lambda: corner(shop(bit(8, 20), bit(8, 60, "brad-point"))))
NO_BIT = Case(lambda: corner(shop(bit(7.5, 75), bit(10, 75))), (Found(("end", "front"), 7.5, (11, 22, 15)),))
NO_BIT_AT_ALL = Case(lambda: corner(shop()), (Found(("end", "front"), None, (11, 22, 15)),))
THE_SAME_BIT = Case(lambda: corner(shop(bit(8.05, 75))))
ANOTHER_BIT = Case(lambda: corner(shop(bit(8.06, 75))), (Found(("end", "front"), 8.06),))
ASSUMED = Case(lambda: corner(shop(bit(8, 40), assumed=("bit",))), (Found(EITHER, 40, severity="warn"),))
ASSUMED_BUSH = Case(lambda: corner(shop(bit(8, 40), assumed=("bush",))), (Found(EITHER, 40, severity="warn"),))
SHORT_WHATEVER_BUSH = Case(lambda: corner(shop(bit(8, 20), assumed=("bush",))),
                           (Found(("end",), 20), Found(("front",), 20, severity="warn")))

THROUGH = Case(lambda: bored(22))
FROM_BOTH_FACES = Case(lambda: bored(21.9), (Found(("front",), 21.9, (200, 0, 30), severity="warn"),))
JUST_FROM_BOTH = Case(lambda: bored(11), (Found(("front",), 11, severity="warn"),))
NOT_EVEN_FROM_BOTH = Case(lambda: bored(10.9), (Found(("front",), 10.9, (200, 0, 30)),))

SUNK = Case(lambda: screwed(Countersink(8.96, 90, "test")))
TOO_SMALL = Case(lambda: screwed(Countersink(8.9, 90, "test")), (Found(("plate",), 8.9, (50, 11, 0)),))
NEARLY_THAT_ANGLE = Case(lambda: screwed(Countersink(10, 91, "test")))
ANOTHER_ANGLE = Case(lambda: screwed(Countersink(10, 91.1, "test")), (Found(("plate",), None, (50, 11, 0)),))
ANGLE_ASSUMED = Case(lambda: screwed(Countersink(10, 82, "test"), assumed=("countersink",)),
                     (Found(("plate",), None, severity="warn"),))
DEFAULTS = Case(lambda: corner(None))
