"""A bay 200 × 150 between four members: a cross member off its place, an open side, a block in the corner."""

from __future__ import annotations

from deskmodel import Desk
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found


def framed(right: float = 222.0, block: bool = False, back: float | None = 222.0, start: float = 22.0) -> Desk:
    """``right``: x of the right member's face, ``back``: length of the back rail (None: there is none), ``start``: the
    bay's own x0. The bay is stated as x 22 to 222, y 22 to 172; the members 0 to 60 high on a plate."""
    d = Desk("bay")
    plate(d, "under", 300, 250, (0, 0, -2), 2)
    rail(d, "front", 300, (0, 0, 0))
    rail(d, "left", 150, (0, 22, 0), "y")
    rail(d, "right", 150, (right, 22, 0), "y")
    if back is not None:
        rail(d, "back", back, (0, 172, 0))
    if block:
        rail(d, "block", 80, (22, 22, 0), section=(80, 60))
    d.bay("B", x=(start, 222), y=(22, 172))
    return d


def found(parts: tuple[str, ...], measured: float | None, near: tuple[float, float, float]) -> Found:
    return Found(parts, measured, near, within=1e-9, severity="warn")


# 0 is the floor; without a ceiling the place is said at floor height
FAILING = Case(lambda: framed(224.5), (found(("B", "right"), 2.5, (222, 97, 0)),))
PASSING = Case(framed)
AT_THRESHOLD = Case(lambda: framed(222.009))
JUST_OVER = Case(lambda: framed(222.01), (found(("B", "right"), 0.01, (222, 97, 0)),))
REACHING_IN = Case(lambda: framed(219), (found(("B", "right"), 3, (222, 97, 0)),))
OPEN_SIDE = Case(lambda: framed(back=None), (found(("B",), None, (122, 172, 0)),))
BLOCK_IN_THE_CORNER = Case(lambda: framed(block=True))
BLOCK_FOR_A_WALL = Case(lambda: framed(block=True, start=102), (found(("B", "block"), 80, (102, 97, 0)),))
WALL_TOO_SHORT = Case(lambda: framed(back=200), (found(("B", "back"), 178, (122, 172, 0)),))  # 200 - 22 of 200 mm
JUST_LONG_ENOUGH = Case(lambda: framed(back=212))
