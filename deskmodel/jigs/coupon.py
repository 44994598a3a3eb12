"""The print-calibration coupon: what a printer makes of seats, gaps, walls and lengths, before it prints a jig.

    seen from above                        seen from the front, cut through the wall
    +---------------------------------+    +--------------------------------+  numbers 1 to 5 on top
    |  wall with lying seats          |    |   ^      ^      ^      ^     ^ |  lying seats, opened like drops
    +---------------------------------+    |  ( )    ( )    ( )    ( )   ( )|
    |  ( )    ( )    ( )    ( )   ( ) |    +--------------------------------+
    |  standing seats                 |    | | | | |            I  I  I     |
    +-|-|-|-|-|--------I--I--I--------+    +--------------------------------+
       slits            fins
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from deskmodel.drawing.dimensions import figure
from deskmodel.features import Prism
from deskmodel.frames import IDENTITY, Pose, Vec, pose_from_axes
from deskmodel.jigs._stencil import Line, height_for, line_width, stencil
from deskmodel.jigs._tools import seat_diameter
from deskmodel.jigs._types import JigBody, JigPlan
from deskmodel.profiles import Profile, circle, rectangle
from deskmodel.workshop import Bush, Printer

__all__ = ["Coupon", "Seat", "calibration_coupon", "calibration_coupons", "teardrop"]

STEP = 0.05
"""mm from one seat's allowance to the next (common practice: a press fit wants 0.05 to 0.15 on each side)."""

_STEPS = 5
_SLITS = (0.1, 0.2, 0.3, 0.4, 0.5)
_DEEP = 10.0  # of a seat, or the bush's length where that is less
_STRIP = 12.0  # for slits and fins
_FIN, _SLIT = 8.0, 8.0  # length of a fin and how far a slit runs in
_APART = 6.0
_ENGRAVED = 0.8


@dataclass(frozen=True, slots=True)
class Seat:
    """``allowance`` on each side of the bush, ``diameter`` as designed; ``x``: where it lies, standing and lying alike."""

    number: int
    allowance: float
    diameter: float
    x: float


@dataclass(frozen=True)
class Coupon:
    """For ``bush``. ``slits``: (width, x of the middle); ``fins``: (thickness, x of the middle); ``standing``: y of the
    standing seats' axes, ``lying``: z of the lying ones'; ``body`` in the frame of the print. mm."""

    bush: Bush
    seats: tuple[Seat, ...]
    slits: tuple[tuple[float, float], ...]
    fins: tuple[tuple[float, float], ...]
    standing: float
    lying: float
    deep: float
    body: JigBody

    @property
    def title(self) -> str:
        return f"print-calibration coupon, bush {self.bush.outside:g}"


def calibration_coupons(plan: JigPlan, printer: Printer) -> dict[str, Coupon]:
    """By the start of their files' names: one for each outside diameter and kind of seat of the bushes in the jigs."""
    bushes: dict[tuple[float, str], Bush] = {}
    for jig in plan.jigs:
        bushes.setdefault((jig.bush.outside, jig.bush.seat), jig.bush)
    return {f"coupon-{figure(outside).replace('.', '-')}-{seat}": calibration_coupon(bush, printer)
            for (outside, seat), bush in sorted(bushes.items())}


def calibration_coupon(bush: Bush, printer: Printer) -> Coupon:
    """Seats at ``STEP`` mm about the printer's stated allowance, that in the middle unless it is too small for that."""
    first = max(0.0, printer.seat - STEP * (_STEPS // 2))
    allowances = [round(first + STEP * i, 6) for i in range(_STEPS)]
    widest = seat_diameter(bush, allowances[-1]) / 2
    wall = max(printer.wall, 2.0)
    deep = min(bush.length, _DEEP)
    pitch = 2 * widest + wall
    long = _up(max(_STEPS * pitch + wall, 2 * _APART * (len(_SLITS) + 1)), 10.0)
    wide = _up(_STRIP + 2 * widest + 2 * wall + deep, 10.0)
    standing = wide - deep - wall - widest
    lying = deep + wall + widest
    high = _up(lying + math.sqrt(2) * widest + wall, 5.0)
    seats = tuple(Seat(i + 1, a, seat_diameter(bush, a), long / 2 + (i - _STEPS // 2) * pitch)
                  for i, a in enumerate(allowances))
    slits = tuple((width, _APART * (i + 1)) for i, width in enumerate(_SLITS))
    walls = sorted({round(2 * printer.nozzle, 3), round(3 * printer.nozzle, 3), round(printer.wall, 3)})
    fins = tuple((thick, long - _APART * (len(walls) - i)) for i, thick in enumerate(walls))
    base = Prism(rectangle(long, wide), IDENTITY, deep)
    back = Prism(rectangle(long, deep, (0.0, wide - deep)), IDENTITY, high)
    standing_fins = [Prism(rectangle(thick, _FIN, (x - thick / 2, 2.0)), _raised(deep - 1.0), _FIN + 1.0)
                     for thick, x in fins]
    removed = [*_seats(seats, standing, lying, wide, deep), *_slits(slits, deep),
               *_numbers(seats, wide - deep, deep, high, printer.nozzle)]
    body = JigBody((base, back, *standing_fins), tuple(removed), IDENTITY, (long, wide, high),
                   tuple(str(seat.number) for seat in seats))
    return Coupon(bush, seats, slits, fins, standing, lying, deep, body)


def teardrop(radius: float) -> Profile:
    """A circle about (0, 0) with a roof of 45° upwards (+y), which prints without support."""
    half = radius / math.sqrt(2)
    three_quarters = math.tan(math.radians(270) / 4)
    return Profile(((-half, half, three_quarters), (half, half, 0.0), (0.0, 2 * half, 0.0)))


def _seats(seats: tuple[Seat, ...], standing: float, lying: float, wide: float, deep: float) -> Iterator[Prism]:
    for seat in seats:
        yield Prism(circle(seat.diameter, (seat.x, standing)), _raised(-1.0), deep + 2.0)
        at: Vec = (seat.x, wide - deep - 1.0, lying)
        yield Prism(teardrop(seat.diameter / 2), pose_from_axes(at, (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0)), deep + 2.0)


def _slits(slits: tuple[tuple[float, float], ...], deep: float) -> Iterator[Prism]:
    for width, x in slits:
        yield Prism(rectangle(width, _SLIT + 1.0, (x - width / 2, -1.0)), _raised(-1.0), deep + 2.0)


def _numbers(seats: tuple[Seat, ...], y: float, deep: float, high: float, nozzle: float) -> Iterator[Prism]:
    """Engraved in the top of the wall, above each pair of seats."""
    height = min(height_for(nozzle), deep - 2.0)
    for seat in seats:
        text = str(seat.number)
        line = Line(text, height, (seat.x - line_width(text, height) / 2, y + (deep - height) / 2))
        for outline in stencil(line, nozzle):
            yield Prism(outline, _raised(high - _ENGRAVED), _ENGRAVED + 1.0)


def _raised(z: float) -> Pose:
    return Pose(IDENTITY.rotation, (0.0, 0.0, z))


def _up(value: float, step: float) -> float:
    return math.ceil(value / step - 1e-9) * step
