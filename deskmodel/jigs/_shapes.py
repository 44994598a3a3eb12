"""Prisms in a seat frame, and what is printed from them in the frame of the print."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TypeVar

from deskmodel._edges import Point
from deskmodel.features import Prism, Removal, Revolve
from deskmodel.frames import Pose, Vec, pose_from_axes
from deskmodel.jigs._stencil import Line, stencil
from deskmodel.jigs._types import JigBody
from deskmodel.profiles import Profile, polygon, rectangle

__all__ = ["along_u", "along_v", "along_w", "box", "engraved", "groove", "printed", "teardrop", "trough"]

_R = TypeVar("_R", Prism, Prism | Revolve)


def box(u: tuple[float, float], v: tuple[float, float], w: tuple[float, float]) -> Prism:
    return along_w(rectangle(u[1] - u[0], v[1] - v[0], (u[0], v[0])), w)


def along_w(profile: Profile, w: tuple[float, float]) -> Prism:
    """A profile in (u, v), from w to w."""
    return Prism(profile, Pose(origin=(0.0, 0.0, w[0])), w[1] - w[0])


def along_u(profile: Profile, u: tuple[float, float]) -> Prism:
    """A profile in (v, w), from u to u."""
    return Prism(profile, pose_from_axes((u[0], 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)), u[1] - u[0])


def along_v(profile: Profile, v: tuple[float, float]) -> Prism:
    """A profile in (w, u), from v to v."""
    return Prism(profile, pose_from_axes((0.0, v[0], 0.0), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0)), v[1] - v[0])


def groove(at: Point, deep: float) -> Profile:
    """A square on its corner, ``deep`` from its middle to its corners: no side of it hangs over by more than 45°."""
    x, y = at
    return polygon([(x + deep, y), (x, y + deep), (x - deep, y), (x, y - deep)])


def teardrop(at: Point, radius: float) -> Profile:
    """A circle with a roof of 45° towards +x, for a hole that is printed lying."""
    x, y = at
    s = radius / math.sqrt(2)
    return Profile(((x + s, y + s, math.tan(math.radians(270) / 4)), (x + s, y - s, 0.0),
                    (x + radius * math.sqrt(2), y, 0.0)))


def trough(at: Point, radius: float, end: float) -> Profile:
    """Half a circle about ``at``, open towards +x up to ``end``."""
    x, y = at
    return Profile(((x, y + radius, 1.0), (x, y - radius, 0.0), (end, y - radius, 0.0), (end, y + radius, 0.0)))


def engraved(lines: Iterable[Line], origin: Vec, right: Vec, outwards: Vec, deep: float, nozzle: float) -> list[Prism]:
    """Letters cut ``deep`` into a plane: text runs along ``right`` from ``origin``, read from where ``outwards`` points."""
    pose = pose_from_axes(tuple(o - deep * n for o, n in zip(origin, outwards, strict=True)), right, outwards)  # type: ignore[arg-type]  # three numbers
    return [Prism(profile, pose, 2 * deep) for line in lines for profile in stencil(line, 2 * nozzle)]


def printed(added: Sequence[Prism], removed: Sequence[Removal], print_axes: tuple[Vec, Vec, Vec],
            lettered: Sequence[Line]) -> JigBody:
    """``print_axes``: x, y and z of the print in the seat frame (right-handed). The body is moved to the bed's origin."""
    turn = Pose(print_axes)  # rows: print = turn · seat
    boxes = [_moved(prism, turn).bounds for prism in added]
    low = [min(each[0][i] for each in boxes) for i in range(3)]
    high = [max(each[1][i] for each in boxes) for i in range(3)]
    print_from_seat = turn.moved((-low[0], -low[1], -low[2]))
    return JigBody(tuple(_moved(prism, print_from_seat) for prism in added),
                   tuple(_moved(removal, print_from_seat) for removal in removed), print_from_seat.inverse(),
                   (high[0] - low[0], high[1] - low[1], high[2] - low[2]), tuple(line.text for line in lettered))


def _moved(removal: _R, pose: Pose) -> _R:
    return replace(removal, pose=pose @ removal.pose)
