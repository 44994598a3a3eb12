"""An end that should meet the side of a rail: 0.3 short, touching, in it; and apart by just what counts, 0.01."""

from __future__ import annotations

from deskmodel import Desk, DowelJoint
from tests.desks.build import rail
from tests.desks.case import Case, Found


def corner(apart: float) -> Desk:
    d = Desk("corner")
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (0, 22 + apart, 0), "y")
    d.join(DowelJoint(end, front))
    return d


FAILING = Case(lambda: corner(0.3), (Found(("end", "front"), 0.3, (11, 22.3, 30), within=1e-9),))
PASSING = Case(lambda: corner(0.0))
AT_THRESHOLD = Case(lambda: corner(0.0099))
JUST_OVER = Case(lambda: corner(0.01), (Found(("end", "front"), 0.01, within=1e-9),))
TOO_CLOSE = Case(lambda: corner(-0.3), (Found(("end", "front"), -0.3, within=1e-9),))
