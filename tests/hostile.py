"""Values that a script may hand over by mistake. Whatever takes them answers, or raises InputFault; nothing else."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

import numpy as np

from deskmodel.errors import InputFault

__all__ = ["HOSTILE", "refused"]


class Unprintable:
    def __repr__(self) -> str:
        raise RuntimeError("no")


HOSTILE: tuple[object, ...] = (
    None, True, False, 0, -1, -0.0, 1e-9, 1e9, 1e300, 10**400, math.nan, math.inf, -math.inf, "", "x", "12", b"12", (), [],
    {}, (1,), (1, 2), (1, 2, 3), (math.nan, 1), (1, math.inf, 2), ("a", "b"), ((1, 2), (3, 4)), [None], {"x": 1}, {1, 2},
    object(), int, np.array([1.0, 2.0]), np.float64(3.5), np.int64(3), np.float32(2.5), np.bool_(True), Fraction(7, 2),
    3 + 4j,
    Unprintable(), range(3), lambda: 1, "a" * 1000)


def refused(make: Callable[[], object]) -> bool:
    """Whether it was refused, by InputFault. Any other exception is the caller's to see."""
    try:
        make()
    except InputFault as fault:
        return bool(str(fault))
    return False
