"""Two sealing rings in closed form: tubes about two circles, as far apart as the circles less both tubes' radii.

The kernel's distance of two tori can overlook the nearest place and say 0; the circles' distance does not ask it. The
distance of a point from a circle is exact; its least along the other circle is bracketed by 720 samples and refined.
"""

from __future__ import annotations

import math

from scipy.optimize import minimize_scalar

from deskmodel.frames import Vec
from tests.truth.case import Case, Truth
from tests.truth.recipe import Recipe

__all__ = ["rings_truth"]

_SAMPLES = 720


def rings_truth(case: Case) -> Truth | None:
    """The truth of two cord rings that do not sink deep into each other; None for any other pair."""
    if case.a.kind != "cord_ring" or case.b.kind != "cord_ring":
        return None
    (circle_a, tube_a), (circle_b, tube_b) = (_radii(recipe) for recipe in (case.a, case.b))
    relative = case.pose_a.inverse() @ case.pose_b

    def off(t: float) -> float:
        return _from_circle(relative.apply((circle_b * math.cos(t), circle_b * math.sin(t), 0.0)), circle_a)

    step = 2 * math.pi / _SAMPLES
    at = min(range(_SAMPLES), key=lambda i: off(i * step)) * step
    least = min(off(at), minimize_scalar(off, bounds=(at - step, at + step), method="bounded",
                                         options={"xatol": 1e-12}).fun)
    apart = least - tube_a - tube_b
    if apart < -min(tube_a, tube_b) / 2:
        return None  # the common body is no thin lens any more
    return Truth(-apart, max(apart, 0.0))


def _radii(recipe: Recipe) -> tuple[float, float]:
    inner, cord = recipe.numbers
    return (inner + cord) / 2, cord / 2


def _from_circle(p: Vec, radius: float) -> float:
    """mm from a point to the circle about z in z = 0."""
    x, y, z = p
    return math.hypot(math.hypot(x, y) - radius, z)
