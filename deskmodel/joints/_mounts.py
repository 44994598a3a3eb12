"""The mounting holes of a component where it stands: what it sits on there, and how thick it is.

    body       |  |
    ___________|  |_____        the hole's axis is asked of each body: the rim of a housing is thinner than the housing,
    rim  |:|                    and under a board hang the pins of what is soldered to it
    ---- base ----------
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from deskmodel.component import Component
from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart
from deskmodel.features import Face, Hole, Prism
from deskmodel.frames import Vec, dot, scale, sub
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["NUT_SHARE", "THREADS", "Mount", "mounts_of", "thread_through"]

NUT_SHARE = 0.8
"""Diameters of thread that hold at the least: a standard nut, ISO 4032, is no higher (from memory)."""

THREADS = (("M3", 3.2, 4.0), ("M4", 4.3, 5.0))
"""Thread, and the mounting holes that it is meant for, mm: ISO 273 fine to coarse, and 3.96 of the usual boards."""

_STEP = 0.25  # mm at which a body that lies across the hole is looked for


@dataclass(frozen=True, slots=True)
class Mount:
    """A mounting hole: ``foot``, where its axis meets the base plane (desk frame), ``seat`` how far from there the
    component's material begins, ``thickness`` how far it goes on without a break; of a threaded hole ``thread_depth``: how
    far a screw may go into it; mm."""

    name: str
    foot: Vec
    diameter: float
    seat: float
    thickness: float
    thread_depth: float | None = None


def thread_through(mount: Mount) -> str | None:
    """The thread of the screws that a hole right through is meant for."""
    return next((thread for thread, low, high in THREADS if low - LENGTH <= mount.diameter <= high + LENGTH), None)


def mounts_of(placed: PlacedPart, base: Face, *, threaded: bool = False) -> tuple[Mount, ...]:
    """The component's mounting holes, those of purpose "screw". ``base``: the face (desk frame, its normal towards the
    component) of what it stands on. ``threaded``: also blind ones that open there. InputFault where there is none, one is
    blind otherwise, or they are not square to the base."""
    assert isinstance(placed.part, Component)
    z = placed.pose.axis(2)
    sense = dot(z, base.normal)
    found = []
    for hole in placed.part.features:
        if isinstance(hole, Hole) and hole.purpose == "screw":
            if abs(sense) < 1 - ANGLE:
                raise InputFault(f"the mounting holes of {placed.name!r} are not square to the {base.name} it stands on",
                                 allowed="equipment turned so that they are")
            if hole.depth is not None and not (threaded and sense > 0):  # they open below
                raise InputFault(f"{hole.name} of {placed.name!r}, threaded and {hole.depth:g} mm deep",
                                 allowed="mounting holes right through: a screw in this one comes from below"
                                 if not threaded else "equipment turned so that they open towards the plate")
            own = placed.part.blank.face(hole.face).point(*hole.at)
            foot = placed.pose.apply(own)
            height = dot(sub(foot, base.origin), base.normal)
            foot = sub(foot, scale(base.normal, height))
            spans = _spans(placed, own, hole)
            above = [tuple(sorted(height + sense * (w - own[2]) for w in span)) for span in spans]
            seat, top = _first_run(sorted((low, high) for low, high in above))
            deep = None if hole.depth is None else hole.depth - (seat - height)  # it is measured from the lowest body
            found.append(Mount(hole.name, foot, hole.diameter, seat, top - seat, deep))
    if not found:
        raise InputFault(f"{placed.name!r} has no mounting holes", allowed="equipment whose data sheet has [[hole]] entries")
    return tuple(found)


def _spans(placed: PlacedPart, own: Vec, hole: Hole) -> list[tuple[float, float]]:
    """Where the hole's axis passes through bodies, from z to z of the component."""
    assert isinstance(placed.part, Component)
    spans = []
    for body in placed.part.bodies:
        axis = body.pose.axis(2)[2]
        x, y, z = body.pose.inverse().apply((own[0], own[1], 0.0))
        if abs(axis) > 1 - ANGLE:
            if body.profile.contains((x, y)):
                ends = (-z * axis, (body.depth - z) * axis)
                spans.append((min(ends), max(ends)))
        elif _crosses(body, own):
            raise InputFault(f"{hole.name} of {placed.name!r} passes a body that lies across it",
                             allowed="mounting holes through bodies that stand upright")
    if not spans:
        raise InputFault(f"{hole.name} of {placed.name!r} passes no body", allowed="mounting holes within a body")
    return spans


def _crosses(body: Prism, own: Vec) -> bool:
    (x0, y0, z0), (x1, y1, z1) = body.bounds
    if not (x0 <= own[0] <= x1 and y0 <= own[1] <= y1):
        return False
    count = math.ceil((z1 - z0) / _STEP)
    return any(body.contains((own[0], own[1], z0 + (z1 - z0) * (i + 0.5) / count)) for i in range(count))


def _first_run(spans: list[tuple[float, float]]) -> tuple[float, float]:
    """The first stretch of material without a break."""
    low, high = spans[0]
    for start, end in spans[1:]:
        if start <= high + LENGTH:
            high = max(high, end)
    return low, high
