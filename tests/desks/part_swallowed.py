"""A peg of 5 x 5 x 20 buried in a rail, in a bore of the rail, and with one end in the rail's surface."""

from __future__ import annotations

from deskmodel import Desk, Hole
from tests.desks.build import rail
from tests.desks.case import Case, Found


def peg(y: float, bore: float | None = None) -> Desk:
    d = Desk("peg")
    beam = rail(d, "beam", 300, (0, 0, 0), section=(60, 60))
    rail(d, "peg", 20, (150, y, 30), "y", section=(5, 5))
    if bore:
        d.cut(beam, Hole("face side", (152.5, 32.5), bore))
    return d


FAILING = Case(lambda: peg(20), (Found(("beam", "peg"), 5.0, (152.5, 30, 32.5)),))  # its smallest width
PASSING = Case(lambda: peg(20, 10))  # in a hollow: 5 x 5 has a diagonal of 7.07
AT_THRESHOLD = Case(lambda: peg(0))  # its end lies in the beam's side: that is parts-overlap
