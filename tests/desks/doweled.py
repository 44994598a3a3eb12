"""A corner of two rails 22 × 60 with one dowel joint, and a block on a rail: for the checks of dowels and holes."""

from __future__ import annotations

from collections.abc import Sequence

from deskmodel import Desk, DowelJoint, FaceDowels
from deskmodel.features import Feature
from tests.desks.build import rail

__all__ = ["corner", "on_rail"]


def corner(*cuts: tuple[str, Feature], thick: float = 22, front: float = 22, section: float = 60, dowel: str = "8x40",
           count: int = 2, positions: Sequence[float] | None = None, depths: tuple[float, float] | None = None) -> Desk:
    """"end", ``thick``, meets the back side of "front" at x 100; its middle there is x 100 + thick / 2, z section / 2."""
    d = Desk("corner")
    long = rail(d, "front", 300, (0, 0, 0), section=(front, section))
    end = rail(d, "end", 200, (100, front, 0), "y", section=(thick, section))
    d.join(DowelJoint(end, long, dowel, count, None if positions is None else tuple(positions), depths))
    for part, cut in cuts:
        d.cut(d.parts[part], cut)
    return d


def on_rail(*at: tuple[float, float], dowel: str = "8x40", length: float = 300) -> Desk:
    """"block", 80 deep, on the back side of "rail", both ``length`` long; ``at`` from the lower left corner."""
    d = Desk("on a rail")
    low = rail(d, "rail", length, (0, 0, 0))
    block = rail(d, "block", length, (0, 22, 0), section=(80, 60))
    d.join(FaceDowels(block, low, dowel, at=at))
    return d
