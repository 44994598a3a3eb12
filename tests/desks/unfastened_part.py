"""A plate that lies loose on a frame, one that is bonded, one held by way of another part, and two held by each other."""

from __future__ import annotations

from deskmodel import Bond, Desk, DowelJoint, Rest
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found


def frame(*joined: str) -> Desk:
    """``joined``: pairs "upper>lower" that rest on each other."""
    d = Desk("frame")
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (0, 22, 0), "y")
    d.join(DowelJoint(end, front))
    plate(d, "plate", 300, 222, (0, 0, 60))
    plate(d, "lid", 100, 100, (0, 0, 61.5))
    d.join(*(Rest(*pair.split(">")) for pair in joined))
    return d


def only_bonded() -> Desk:
    d = Desk("bonded")
    front = rail(d, "front", 300, (0, 0, 0))
    d.join(Bond(plate(d, "plate", 300, 22, (0, 0, 60.5)), front))
    return d


FAILING = Case(lambda: frame("lid>plate"), (Found(("plate",), None, (150, 111, 60.75)),
                                             Found(("lid",), None, (50, 50, 62.25))))
PASSING = Case(only_bonded)
AT_THRESHOLD = Case(lambda: frame("lid>plate", "plate>front"))  # the lid is held by way of the plate
JUST_OVER = Case(lambda: frame("plate>front"), (Found(("lid",), None, (50, 50, 62.25)),))
