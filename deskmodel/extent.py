"""How far a blank reaches in a direction, in closed form."""

from __future__ import annotations

import math

from deskmodel.features import Prism
from deskmodel.frames import Vec, dot
from deskmodel.part import Blank, Bodies, BoxBlank, FoldedBlank, SheetBlank, TurnedBlank

__all__ = ["reach"]


def reach(blank: Blank, direction: Vec) -> float:
    """The largest p · direction over all points p of the blank (mm for a unit direction; part frame)."""
    x, y, z = direction
    if isinstance(blank, BoxBlank):
        return max(0.0, x * blank.length) + max(0.0, y * blank.width) + max(0.0, z * blank.height)
    if isinstance(blank, SheetBlank):
        return blank.outline.reach(x, y) + max(0.0, z * blank.thickness)
    if isinstance(blank, FoldedBlank):
        return blank.reach(direction)
    if isinstance(blank, TurnedBlank):
        flat = math.hypot(x, y)
        return max(r * flat + h * z for r, h in blank.half)
    if isinstance(blank, Bodies):
        return max(_prism_reach(body, direction) for body in blank.bodies)
    (x0, y0, z0), (x1, y1, z1) = blank.bounds
    return max(x * x0, x * x1) + max(y * y0, y * y1) + max(z * z0, z * z1)


def _prism_reach(prism: Prism, direction: Vec) -> float:
    pose = prism.pose
    x, y, z = (dot(pose.axis(i), direction) for i in range(3))
    return dot(pose.origin, direction) + prism.profile.reach(x, y) + max(0.0, z * prism.depth)
