"""Seating a jig on stock by three-two-one contact. mm, rad, member frame.

The jig is pushed home against three sides of the stock, one after the other, free to turn and to slide on those before
it. Nothing is taken from a pose that somebody wrote down: in each step a linear program moves the jig (three shifts, three
turns) as far as it goes without any facet entering the stock, in the middle of what is in contact; the pose is then
updated exactly and contact is looked for again, until nothing moves.

The push is the wedge of a hand: where the seat rocks, the program finds the three points that carry.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import linprog
from scipy.spatial import ConvexHull, QhullError
from scipy.spatial.transform import Rotation

from tests.proof.facets import Floats, Ints, Mesh

FACING = np.cos(np.radians(25))
"""A facet may come to lie on a side when it faces it to within this."""
ARM = 30.0
"""mm: lever that turns of a jig are weighed with, so that shifts and turns are of one size in the program."""
REACH = 10.0
"""mm: facets farther than this from a side, as the jig about lies, do not take part in seating on it."""
EASED = 0.2
"""mm: arrises are eased; what only touches the very edge of a side does not carry."""
MOST_ROUNDS = 40
STILL = 1e-6
"""mm: a jig that moves by less from one push to the next is at rest."""


@dataclass(frozen=True, eq=False)
class Pose:
    """x in the member frame = ``turn`` · p + ``shift``."""

    turn: Floats
    shift: Floats

    def of(self, points: Floats) -> Floats:
        return points @ self.turn.T + self.shift

    def moved(self, shift: Floats, turn: Floats, about: Floats) -> Pose:
        """Turned by the vector ``turn`` about the point ``about``, then shifted."""
        r = Rotation.from_rotvec(turn).as_matrix()
        return Pose(r @ self.turn, r @ (self.shift - about) + about + shift)


@dataclass(frozen=True, eq=False)
class Side:
    """A side of the stock: rectangle ``low`` to ``high``, flat in ``axis``; ``sense`` of its outward normal."""

    axis: int
    sense: int
    low: Floats
    high: Floats

    @property
    def normal(self) -> Floats:
        return self.sense * np.eye(3)[self.axis]


@dataclass(frozen=True, eq=False)
class Stop:
    """A side, or a line on it, that a jig is pushed against, and the points of the jig that may touch it.

    ``press``: where the hand pushes, print frame. ``facets``: of the jig. ``points``: of the jig, print frame, instead of
    facets: a sight edge over a pencil line."""

    side: Side
    press: Floats
    facets: Ints | None = None
    points: Floats | None = None

    def touching(self, mesh: Mesh, pose: Pose) -> Floats:
        """(n, 3): points of the jig over this side, which may not pass it."""
        if self.points is not None:
            return pose.of(self.points)
        corners = pose.of(mesh.corners[self.facets].reshape(-1, 3)).reshape(-1, 3, 3)
        return over(corners, self.side)


def stock(low: Floats, high: Floats) -> dict[tuple[int, int], Side]:
    """The six sides of a box by axis and sense."""
    sides = {}
    for axis in range(3):
        for sense in (-1, 1):
            a, b = low.copy(), high.copy()
            a[axis] = b[axis] = low[axis] if sense < 0 else high[axis]
            sides[axis, sense] = Side(axis, sense, a, b)
    return sides


def stop_on(mesh: Mesh, pose: Pose, side: Side) -> Stop:
    """All facets that face ``side``, near it, while the jig lies about as in ``pose``; the hand presses in the middle
    of those that come to lie on it. ValueError where there are none."""
    corners = pose.of(mesh.corners.reshape(-1, 3)).reshape(-1, 3, 3)
    near = (np.abs((corners - side.low) @ side.normal) < REACH).all(axis=1)
    facets = np.flatnonzero(near & (mesh.normals @ pose.turn.T @ side.normal < -FACING))
    points = over(corners[facets], side)
    if not len(points):
        raise ValueError("no facet of the jig lies over a side that it is pushed against")
    gaps = (points - side.low) @ side.normal
    return Stop(side, (points[gaps <= gaps.min() + 0.5].mean(axis=0) - pose.shift) @ pose.turn, facets=facets)


def over(corners: Floats, side: Side) -> Floats:
    """Corners of the parts of facets (m, 3, 3) that lie over the rectangle of ``side`` less its eased arrises."""
    others = [axis for axis in range(3) if axis != side.axis]
    low, high = side.low[others] + EASED, side.high[others] - EASED
    flat = corners[:, :, others]
    near = ((flat.min(axis=1) < high) & (flat.max(axis=1) > low)).all(axis=1)
    whole = ((flat >= low) & (flat <= high)).all(axis=(1, 2))
    kept = [tuple(corner) for facet in corners[whole].tolist() for corner in facet]
    for part in corners[near & ~whole].tolist():
        for axis, a, b in zip(others, low.tolist(), high.tolist(), strict=True):
            part = trim(trim(part, axis, b, 1), axis, a, -1)
        kept += part
    return np.array(kept).reshape(-1, 3)


def trim(polygon: list[list[float]], axis: int, limit: float, sense: int) -> list[list[float]]:
    """The part of a convex polygon below (``sense`` 1) or above (-1) ``limit`` in ``axis``: plain numbers, as there are few
    corners and hundreds of polygons."""
    kept = []
    for i, corner in enumerate(polygon):
        before = polygon[i - 1]
        here, there = sense * (corner[axis] - limit), sense * (before[axis] - limit)
        if here * there < 0:
            t = there / (there - here)
            kept.append([p + (q - p) * t for p, q in zip(before, corner, strict=True)])
        if here <= 0:
            kept.append(corner)
    return kept


def seat(mesh: Mesh, start: Pose, stops: list[Stop]) -> Pose:
    """Push the jig home on the first stop, then also on the second, then on the third. ValueError where it has no facet
    over one of them or comes to no rest."""
    pose = start
    box = np.array([mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)])
    ends = np.array(np.meshgrid(*box.T)).reshape(3, 8).T
    for held in range(1, len(stops) + 1):
        still = STILL if held == len(stops) else 0.5  # what was pushed before is pushed again
        for _ in range(MOST_ROUNDS):
            new = _push(mesh, pose, stops, held)
            moved = np.abs(new.of(ends) - pose.of(ends)).max()
            pose = new
            if moved < still:
                break
        else:
            raise ValueError("the jig comes to no rest")
    return pose


def _push(mesh: Mesh, pose: Pose, stops: list[Stop], held: int) -> Pose:
    """One step: as far as the jig goes on each of the first ``held`` stops, the earlier ones first. The stock is solid on
    the sides of the others, too; only a line is passed until it is looked at."""
    about = pose.of(stops[0].press[None])[0]
    rows, gaps, pushes = [], [], []
    for number, stop in enumerate(stops):
        pushed = number < held
        if stop.facets is None and not pushed:
            continue
        points = outermost(stop.touching(mesh, pose))
        if pushed and not len(points):
            raise ValueError("no facet of the jig lies over a side that it is pushed against")
        normal = stop.side.normal
        rows.append(np.hstack([np.tile(normal, (len(points), 1)), np.cross((points - about) / ARM, normal)]))
        gaps.append((points - stop.side.low) @ normal)
        if pushed:
            pushes.append(np.append(normal, np.cross((pose.of(stop.press[None])[0] - about) / ARM, normal)))
    # In the program a move is the difference of two that are not negative, so that its size costs something, too: what no
    # push decides is not moved. Each push is ten times stronger than the next: none lifts the jig off what came before.
    free, room = np.vstack(rows), np.concatenate(gaps)
    push = np.array([10.0 ** -i for i in range(len(pushes))]) @ np.array(pushes)
    most = np.tile([30.0] * 3 + [0.1 * ARM] * 3, 2)
    solved = linprog(np.append(push, -push) + 1e-5, A_ub=np.hstack([-free, free]), b_ub=room,
                     bounds=np.column_stack([np.zeros(12), most]), method="highs-ds")
    if solved.status != 0:
        raise ValueError(f"the jig cannot be pushed home: {solved.message}")
    step = solved.x[:6] - solved.x[6:]
    return pose.moved(step[:3], step[3:] / ARM, about)


def outermost(points: Floats) -> Floats:
    """The corners of the convex hull: what they do not hold off, no point between them does, as gaps of a rigid body
    change evenly over it. All points where they are nearly in one plane or few."""
    if len(points) < 12:
        return points
    try:
        return points[ConvexHull(points, qhull_options="Qt").vertices]
    except QhullError:
        pass
    centre = points.mean(axis=0)
    plane = np.linalg.svd(points - centre, full_matrices=False)[2][:2]
    try:
        return points[ConvexHull((points - centre) @ plane.T).vertices]
    except QhullError:
        return points
