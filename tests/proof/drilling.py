"""What a drill makes through a seated jig: axis and depth of every hole, and what the bit passes on its way. mm.

The bush is metal, coaxial with its printed seat and pressed home in it, so its axis is that of the seat's cylinder. The stop
on the bit bears on the highest of jig and bush round the hole.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.proof.contract import Use
from tests.proof.cylinders import Cylinder
from tests.proof.facets import Floats, Mesh, clip
from tests.proof.laid import Body
from tests.proof.seating import Pose, Side
from tests.proof.tools import nearest_behind

COLLAR = 1.5
"""Outside diameter of a narrow stop collar, in diameters of the drill (common practice: 1.5 to 2)."""


@dataclass(frozen=True, eq=False)
class Drilled:
    """A hole as it comes out. ``entry``: where its axis meets the side drilled; ``way`` into the wood; ``bound``: by how
    much the mesh may be off its cylinder. ``foot``, ``top``: of the seat over the side; ``bearing``: of the stop over it."""

    seat: Cylinder
    entry: Floats
    way: Floats
    depth: float
    bound: float
    foot: float
    top: float
    bearing: float


def drill(body: Body, use: Use, pose: Pose, side: Side) -> list[Drilled]:
    """Through every seat that stands over ``side`` and looks at it (within 10°) and would hold the jig's bush."""
    corners = pose.of(body.mesh.corners.reshape(-1, 3)).reshape(-1, 3, 3)
    made = []
    for seat in body.seats:
        axis = pose.turn @ seat.axis
        if abs(axis @ side.normal) < np.cos(np.radians(10)) or abs(2 * seat.radius - use.jig.bush.outside) > 1.5:
            continue
        way = -axis * np.sign(axis @ side.normal)
        ends = pose.of(np.array(seat.ends))
        heights = (ends - side.low) @ side.normal
        entry = ends[0] + way * heights[0] / -(way @ side.normal)
        bearing = highest(corners, entry, -way, COLLAR * use.jig.drill / 2)
        bearing = max(bearing, heights.min() + use.jig.bush.length)
        made.append(Drilled(seat, entry, way, use.stop - bearing, seat.bound, float(heights.min()), float(heights.max()),
                            float(bearing)))
    return made


def highest(corners: Floats, at: Floats, along: Floats, radius: float) -> float:
    """How far from ``at`` along ``along`` the facets (m, 3, 3) reach within ``radius`` of that line; 0 at least."""
    across = np.cross(along, np.eye(3)[np.argmin(np.abs(along))])
    across /= np.linalg.norm(across)
    up = np.cross(along, across)
    flat = np.stack([(corners - at) @ across, (corners - at) @ up], axis=2)
    near = (flat.min(axis=1) < radius).all(axis=1) & (flat.max(axis=1) > -radius).all(axis=1)
    tallest = 0.0
    order = np.argsort(-((corners - at) @ along).max(axis=1))
    for facet in corners[order][near[order]]:
        if ((facet - at) @ along).max() <= tallest:
            break
        part = facet
        for turn in np.arange(24) * np.pi / 12:
            outward = np.cos(turn) * across + np.sin(turn) * up
            part = clip(part, outward, float(at @ outward) + radius)
            if not len(part):
                break
        if len(part):
            tallest = max(tallest, float(((part - at) @ along).max()))
    return tallest


def room_behind(mesh: Mesh, pose: Pose, drilled: Drilled, height: float) -> float:
    """How near the jig comes to the bit's axis above ``height`` over the side: mm, infinite where nothing stands there."""
    corners = pose.of(mesh.corners.reshape(-1, 3)).reshape(-1, 3, 3)
    return nearest_behind(corners, drilled.entry - drilled.way * height, -drilled.way)
