"""A jig laid on the wrong way: which wrong ways there are, and what comes of each.

A jig may be turned by half a turn about each axis of the stock; then its fences lie on other sides. Each must either find no
seat or drill where stock off in size shows it: off by more than the limit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from scipy.spatial.transform import Rotation

from tests.proof.contract import Use
from tests.proof.drilling import drill
from tests.proof.facets import Floats
from tests.proof.judging import Seated
from tests.proof.laid import Body, Stock, lay_web, rough_pose, seat_from, sight_line, stops_of
from tests.proof.members import SIDES
from tests.proof.seating import Pose, Side, Stop, stop_on


def wrong_hands(body: Body, use: Use, timber: Stock) -> Iterator[tuple[str, Seated | None]]:
    """Every wrong way, and the jig seated so; None where it finds no seat."""
    for axis, name in enumerate("xyz"):
        if use.jig.kind == "end" or axis == SIDES[use.place][0]:
            yield f"half a turn about {name}", _seated(body, use, timber, axis)
    if use.jig.kind == "face" and use.towards is not None:
        other = replace(use, towards="far end" if use.towards == "datum end" else "datum end")
        yield "on the other side of its line", _seated(body, other, timber, None)


def _seated(body: Body, use: Use, timber: Stock, axis: int | None) -> Seated | None:
    rng = np.random.default_rng(3)
    try:
        rough = rough_pose(body, use, timber)
        stops = stops_of(body, use, rough, timber)
        if axis is not None:
            turn = Rotation.from_rotvec(np.pi * np.eye(3)[axis]).as_matrix()
            rough, stops = _turned(body, use, timber, turn, rough, stops)
        pose = seat_from(body, rough, stops, rng)
    except ValueError:
        return None
    return Seated(use, timber, pose, tuple(drill(body, use, pose, timber.side(use.place))))


def _turned(body: Body, use: Use, timber: Stock, turn: Floats, rough: Pose,
            stops: list[Stop]) -> tuple[Pose, list[Stop]]:
    """The jig turned about the middle of the section (and of the jig, along the member), pushed against the sides that its
    fences then lie on."""
    about = (timber.low + timber.top) / 2
    about[0] = rough.of(body.mesh.vertices)[:, 0].mean()
    pose = Pose(turn @ rough.turn, turn @ (rough.shift - about) + about)
    if use.jig.kind == "end":
        pose = lay_web(body, pose, timber.side(use.place))
    placed = []
    for stop in stops:
        if stop.points is None:
            sense = round(float((turn @ stop.side.normal)[stop.side.axis]))
            drilled = stop.side.axis == SIDES[use.place][0]
            placed.append(stop_on(body.mesh, pose, stop.side if drilled else side_of(timber, stop.side.axis, sense)))
        else:
            # a line stays where it is; the jig comes to it with its other edge
            ends = (sight_line(body, use, -use.along) - use.jig.shift) @ use.jig.turn
            placed.append(Stop(stop.side, ends.mean(axis=0), points=ends))
    return pose, placed


def side_of(timber: Stock, axis: int, sense: int) -> Side:
    return timber.side(next(name for name, of in SIDES.items() if of == (axis, sense)))
