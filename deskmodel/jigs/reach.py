"""How long a bit has to be for a jig."""

from __future__ import annotations

from deskmodel.jigs._tools import CHUCK, DRILL_BODY, GUIDE
from deskmodel.jigs._types import Jig
from deskmodel.workshop import HandDrill

__all__ = ["CHUCK", "GUIDE", "needed_length"]


def needed_length(jig: Jig, depth: float, hand_drill: HandDrill | None) -> float:
    """mm of usable length for a hole ``depth`` deep: its tip, the jig, and the chuck clear of whatever stands highest beside
    the body of the hand drill."""
    top = jig.above
    if jig.kind == "end" and jig.hand is None:
        body = (hand_drill or DRILL_BODY).diameter / 2 + CHUCK
        if min(min(axis) for axis in jig.axes) < body:
            assert jig.web is not None
            assert jig.fence is not None
            top = jig.web + jig.fence
    return depth + jig.bit.tip + top + CHUCK
