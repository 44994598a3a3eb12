"""A jig laid on stock: which sides it is pushed against, from which rough pose, and what it is seen to rest at.

The rough pose is the contract's; the seat is what contact gives, from twenty random poses about it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np

from tests.proof.contract import Use
from tests.proof.cylinders import Cylinder, seats
from tests.proof.facets import Floats, Mesh, clip, read_mesh
from tests.proof.members import SIDES
from tests.proof.seating import Pose, Side, Stop, over, seat, stock, stop_on

STARTS = 20
SHIFTED, TURNED = 4.0, np.radians(4)
"""How far off a start is: mm each way, rad about each axis."""
ABOUT = 2.0
"""mm: how far a sight edge may be from where the contract has it and still be it."""
SEEN = 3.0
"""mm of a sight edge that can be laid on a line."""
SAME_SEAT = 2e-3
"""mm: the seats from all starts agree to this anywhere on the jig."""


@dataclass(frozen=True, eq=False)
class Body:
    """A jig as its STL file has it, print frame."""

    mesh: Mesh
    seats: tuple[Cylinder, ...]

    @cached_property
    def middle(self) -> Floats:
        return np.asarray(self.mesh.vertices.mean(axis=0))


def read_body(stl: Path) -> Body:
    mesh = read_mesh(stl)
    return Body(mesh, tuple(seats(mesh)))


@dataclass(frozen=True, eq=False)
class Stock:
    """The timber at the drilling stage: a box whose face side, face edge and datum end stay where the drawing has them.
    ``height``: of the drawing. ``thick``, ``high``, ``long``: of this piece."""

    height: float
    long: float
    thick: float
    high: float

    @property
    def low(self) -> Floats:
        return np.array([0, 0, self.height - self.high])

    @property
    def top(self) -> Floats:
        return np.array([self.long, self.thick, self.height])

    def side(self, name: str) -> Side:
        return stock(self.low, self.top)[SIDES[name]]


def rough_pose(body: Body, use: Use, timber: Stock) -> Pose:
    """The pose by the contract, good to a few millimetres at least."""
    axes = use.seat_axes()
    turn = axes @ use.jig.turn
    face = timber.side(use.place)
    origin = timber.top * [0, 0, 1]  # on face side and face edge
    if use.place in ("face edge", "under edge"):
        origin = np.zeros(3)
    origin[face.axis] = face.low[face.axis]
    if use.jig.kind == "face":
        assert use.mark is not None
        reach = sight_line(body, use, use.along)[:, 0].mean()
        origin[0] = use.mark - axes[0, 0] * reach
    pose = Pose(turn, axes @ use.jig.shift + origin)
    # On the far end the other side of the web of an end jig lies on the wood.
    return lay_web(body, pose, face) if use.turned_over and use.jig.kind == "end" else pose


def lay_web(body: Body, pose: Pose, side: Side) -> Pose:
    """Moved along the normal of ``side`` until what faces it over its rectangle touches it: on the far end the web lies
    with its other side on the wood. ValueError where nothing is over it."""
    facing = body.mesh.corners[body.mesh.normals @ pose.turn.T @ side.normal < -0.999]
    points = over(pose.of(facing.reshape(-1, 3)).reshape(-1, 3, 3), side)
    if not len(points):
        raise ValueError("no facet of the jig lies over the end")
    return Pose(pose.turn, pose.shift - ((points - side.low) @ side.normal).min() * side.normal)


def sight_lines(body: Body, use: Use) -> dict[int, Floats]:
    """By the sense in which the jig lies from its line (along the member): the two ends of its sight edge, seat frame.

    A sight edge is where an upright face of the jig meets the wood, looking at the line. The contract says about where: of
    the faces that are there the nearest is taken, at the place that its corners have."""
    assert use.jig.far_sight is not None
    points = body.mesh.vertices @ use.jig.turn.T + use.jig.shift
    lines = {}
    for outward, about in ((-1, 0.0), (1, use.jig.far_sight)):
        best = None
        for patch in body.mesh.patches:
            if (use.jig.turn @ patch.normal)[0] * outward < 0.999:
                continue
            own = points[np.unique(body.mesh.faces[patch.facets])]
            low = own[(np.abs(own[:, 2]) < 0.5) & (np.abs(own[:, 0] - about) < ABOUT)]
            if len(low) < 2 or np.ptp(low[:, 1]) < SEEN:
                continue
            if best is None or off(low, about) < off(best, about):
                best = low[[low[:, 1].argmin(), low[:, 1].argmax()]]
        if best is not None:
            lines[round(-outward * use.seat_axes()[0, 0])] = best
    return lines


def off(line: Floats, about: float) -> float:
    return abs(float(line[:, 0].mean()) - about)


def sight_line(body: Body, use: Use, along: int) -> Floats:
    """ValueError where the jig has no such edge."""
    lines = sight_lines(body, use)
    if along not in lines:
        raise ValueError(f"{use.jig.number} has no sight edge on that side")
    return lines[along]


def stops_of(body: Body, use: Use, pose: Pose, timber: Stock) -> list[Stop]:
    """What the jig is pushed against, in the order of the bench: the fence on the face side first, as the hole is to be
    parallel to it, then the face edge, then the end; a face jig on the face, then the face edge, then its line."""
    if use.jig.kind == "end":
        names = ["face side", "face edge", use.place]
        return [stop_on(body.mesh, pose, timber.side(name)) for name in names]
    fence = "face side" if use.place in ("face edge", "under edge") else "face edge"
    stops = [stop_on(body.mesh, pose, timber.side(name)) for name in (use.place, fence)]
    assert use.mark is not None
    at = np.array([use.mark, 0, 0])
    line = Side(0, use.along, at, at)
    ends = (sight_line(body, use, use.along) - use.jig.shift) @ use.jig.turn
    return [*stops, Stop(line, ends.mean(axis=0), points=ends)]


def seat_from(body: Body, rough: Pose, stops: list[Stop], rng: np.random.Generator) -> Pose:
    """The seat from one random start about ``rough``."""
    about = rough.of(body.middle[None])[0]
    start = rough.moved(rng.uniform(-SHIFTED, SHIFTED, 3), rng.uniform(-TURNED, TURNED, 3), about)
    return seat(body.mesh, start, stops)


def spread(body: Body, poses: list[Pose]) -> float:
    """mm: how far the seats differ, anywhere on the jig."""
    placed = np.array([pose.of(body.mesh.vertices) for pose in poses])
    return float(np.ptp(placed, axis=0).max())


def cut_into(body: Body, pose: Pose, timber: Stock, skin: float = 1e-3) -> float:
    """How deep the seated jig enters the stock anywhere: mm, 0 where it does not by more than ``skin``."""
    low, high = timber.low + skin, timber.top - skin
    corners = pose.of(body.mesh.corners.reshape(-1, 3)).reshape(-1, 3, 3)
    within = ((corners.min(axis=1) < high) & (corners.max(axis=1) > low)).all(axis=1)
    deepest = 0.0
    for facet in corners[within]:
        part = facet
        for axis in range(3):
            unit = np.eye(3)[axis]
            part = clip(clip(part, unit, high[axis]), -unit, -low[axis])
        if len(part):
            deepest = max(deepest, float(np.minimum(part - low, high - part).min(axis=1).max()) + skin)
    return deepest
