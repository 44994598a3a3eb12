"""Laminates in elastic glue, end grain, wood crossed under rigid glue up to 100 wide (common practice), contact glue round a
corner."""

from __future__ import annotations

from deskmodel import Bond, Desk, DowelJoint, Laminate
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found


def laminate(glue: str, gap: float = 0.0) -> Desk:
    d = Desk("laminate")
    d.join(Laminate([rail(d, "a", 300, (0, 0, 0)), rail(d, "b", 300, (0, 22 + gap, 0))], glue=glue))
    return d


def crossed(width: float, glue: str = "PVAc", gap: float = 0.0) -> Desk:
    """A board ``width`` broad along y across a board 60 broad along x."""
    d = Desk("crossed")
    low = rail(d, "low", 300, (0, 0, 0), section=(60, 20))
    high = rail(d, "high", 200, (50, -50, 20 + gap), "y", section=(width, 20))
    d.join(Bond(high, low, glue))
    return d


def butt(dowelled: bool) -> Desk:
    d = Desk("butt")
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (0, 22, 0), "y")
    d.join(Bond(end, front, "PVAc"))
    if dowelled:
        d.join(DowelJoint(end, front))
    return d


def corner(glue: str, gap: float) -> Desk:
    """A block under a plate and against a post, whose faces are square to each other."""
    d = Desk("corner")
    block, wall = rail(d, "block", 60, (0, 0, 0)), plate(d, "wall", 60, 22, (0, 0, 60 + gap), 18, "birch ply")
    post = rail(d, "post", 60, (0, 22 + gap, 0), "z", section=(22, 22))
    d.join(Bond(block, [wall, post], glue))
    return d


FAILING = Case(lambda: laminate("elastic", 0.5), (Found(("a", "b"), None, (150, 22, 30), severity="warn"),))
PASSING = Case(lambda: laminate("PVAc"))
AT_THRESHOLD = Case(lambda: crossed(100))
JUST_OVER = Case(lambda: crossed(100.1), (Found(("low", "high"), 100.1, (100.05, 30, 20), 0.001, "warn"),))
ELASTIC_ACROSS = Case(lambda: crossed(150, "elastic", 0.5))
END_GRAIN = Case(lambda: butt(dowelled=False), (Found(("end", "front"), None, (11, 22, 30), severity="warn"),))
DOWELLED = Case(lambda: butt(dowelled=True))
GRABS = Case(lambda: corner("contact", 0.15), (Found(("block", "wall", "post"), None, severity="warn"),))
SLIDES = Case(lambda: corner("elastic", 0.5))
