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

__all__ = ["Mount", "mounts_of"]

_STEP = 0.25  # mm at which a body that lies across the hole is looked for


@dataclass(frozen=True, slots=True)
class Mount:
    """A mounting hole: ``foot``, where its axis meets the base plane (desk frame), ``seat`` how far from there the
    component's material begins, ``thickness`` how far it goes on without a break; mm."""

    name: str
    foot: Vec
    diameter: float
    seat: float
    thickness: float


def mounts_of(placed: PlacedPart, base: Face) -> tuple[Mount, ...]:
    """The component's mounting holes, those of purpose "screw". ``base``: the face (desk frame, its normal towards the
    component) of what it stands on. InputFault where there is none, one is blind, or they are not square to the base."""
    assert isinstance(placed.part, Component)
    z = placed.pose.axis(2)
    sense = dot(z, base.normal)
    found = []
    for hole in placed.part.features:
        if isinstance(hole, Hole) and hole.purpose == "screw":
            if abs(sense) < 1 - ANGLE:
                raise InputFault(f"the mounting holes of {placed.name!r} are not square to the {base.name} it stands on",
                                 allowed="equipment turned so that they are")
            if hole.depth is not None:
                raise InputFault(f"{hole.name} of {placed.name!r}, threaded and {hole.depth:g} mm deep",
                                 allowed="mounting holes right through: a screw in this one comes from below")
            own = placed.part.blank.face(hole.face).point(*hole.at)
            foot = placed.pose.apply(own)
            height = dot(sub(foot, base.origin), base.normal)
            foot = sub(foot, scale(base.normal, height))
            spans = _spans(placed, own, hole)
            above = [tuple(sorted(height + sense * (w - own[2]) for w in span)) for span in spans]
            seat, top = _first_run(sorted((low, high) for low, high in above))
            found.append(Mount(hole.name, foot, hole.diameter, seat, top - seat))
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
