"""Distances of holes and other removals against the exact kernel, at random and by hand-worked closed forms."""

from __future__ import annotations

import math
from random import Random

import cadquery as cq
import pytest
from OCP.BRepExtrema import BRepExtrema_DistShapeShape

from deskmodel.checks._bodies import bodies_of, near_pairs, nearest
from deskmodel.features import Prism, Removal, Revolve
from deskmodel.frames import Pose, Vec, add, axis_angle, cross, dot, norm, pose_from_axes, scale, sub, unit
from deskmodel.profiles import Profile, circle, obround, polygon, rectangle

L_SHAPE = polygon([(0, 0), (40, 0), (40, 10), (12, 10), (12, 35), (0, 35)])
HOLLOW = Profile(((0, 0, 0), (30, 0, 0), (30, 20, -0.5), (0, 20, 0)))  # one side is a concave arc
PROFILES = [rectangle(20, 30), rectangle(25, 18, radius=4), obround(30, 8), circle(20), L_SHAPE, HOLLOW]


def hole(diameter: float, depth: float, pose: Pose, point: float | None = 118.0) -> Revolve:
    r = diameter / 2
    tip = r / math.tan(math.radians(point / 2)) if point else 0.0
    return Revolve(((0, 0), (r, 0), (r, depth), (0, depth + tip)), pose)


def solid(removal: Removal) -> cq.Shape:
    """The same body made by the kernel, from the numbers alone."""
    origin, x, z = removal.pose.origin, removal.pose.axis(0), removal.pose.axis(2)
    plane = cq.Plane(origin, x, z)
    if isinstance(removal, Prism):
        made = cq.Workplane(plane)
        vertices = removal.profile.vertices
        made = made.moveTo(*vertices[0][:2])
        for (x0, y0, bulge), (x1, y1, _) in zip(vertices, (*vertices[1:], vertices[0]), strict=True):
            if bulge:  # sagitta: bulge · chord / 2, to the right of the way for an outward arc
                mid = ((x0 + x1) / 2 + bulge * (y1 - y0) / 2, (y0 + y1) / 2 - bulge * (x1 - x0) / 2)
                made = made.threePointArc(mid, (x1, y1))
            else:
                made = made.lineTo(x1, y1)
        return made.close().extrude(removal.depth).val()
    # xz plane of the pose: r along x, z up
    y = cross(z, x)
    half = cq.Workplane(cq.Plane(origin, x, scale(y, -1.0))).polyline(list(removal.half)).close()
    return half.revolve(360, (0, 0, 0), (0, 1, 0)).val()


def kernel_distance(a: Removal, b: Removal) -> float:
    measured = BRepExtrema_DistShapeShape(solid(a).wrapped, solid(b).wrapped)
    assert measured.IsDone()
    return 0.0 if measured.InnerSolution() else measured.Value()


def some_pose(rng: Random, askew: bool) -> Pose:
    at = tuple(rng.uniform(-25, 25) for _ in range(3))
    if askew:
        turned = axis_angle(unit((rng.gauss(0, 1), rng.gauss(0, 1), rng.gauss(0, 1))), rng.uniform(0, 360))
        return Pose(turned.rotation, at)  # type: ignore[arg-type]
    z = rng.choice([(1, 0, 0), (0, 1, 0), (0, 0, 1), (-1, 0, 0), (0, -1, 0), (0, 0, -1)])
    return pose_from_axes(at, (z[1], z[2], z[0]), z)  # type: ignore[arg-type]


def some_removal(rng: Random, askew: bool) -> Removal:
    if rng.random() < 0.5:
        return hole(rng.choice([2.5, 5, 6, 8, 10]), rng.uniform(5, 30), some_pose(rng, askew), rng.choice([118, 135, None]))
    return Prism(rng.choice(PROFILES), some_pose(rng, askew), rng.uniform(2, 30))


@pytest.mark.parametrize("askew", [False, True])
def test_against_the_kernel(askew: bool) -> None:
    """Never farther than the kernel says, and between two points that the kernel finds in the two bodies: so it is the
    distance. (The kernel's own is too large now and then: it overlooks the nearest place of a cone or a torus.)"""
    rng = Random(20 + askew)
    apart = equal = 0
    for _ in range(120):
        a = hole(rng.choice([5, 8]), rng.uniform(8, 30), some_pose(rng, askew))
        b = some_removal(rng, askew)
        mine, p, q = nearest(bodies_of(a), bodies_of(b), a.pose.origin)
        exact = kernel_distance(a, b)
        apart += exact > 0.01
        # a concave arc of the profile is taken by its chords: up to r (1 - cos 1°) nearer
        equal += mine == pytest.approx(exact, abs=0.005)
        assert mine <= exact + 1e-4, (a, b)
        assert norm(sub(p, q)) == pytest.approx(mine, abs=1e-9)
        assert off(a, p) < 0.001
        assert off(b, q) < 0.005
    assert 20 < apart < 110, "both kinds must occur"
    assert equal >= 117


def off(removal: Removal, p: Vec) -> float:
    """mm from a point to a body by the kernel, 0 inside."""
    measured = BRepExtrema_DistShapeShape(solid(removal).wrapped, cq.Vertex.makeVertex(*p).wrapped)
    return 0.0 if measured.InnerSolution() else measured.Value()


def test_closed_forms() -> None:
    """Distances that can be worked out by hand."""
    a = hole(8, 20, Pose())
    across = hole(6, 30, pose_from_axes((9, -15, 10), (1, 0, 0), (0, 1, 0)))  # square to it, 9 from axis to axis
    assert nearest(bodies_of(a), bodies_of(across), (0, 0, 0))[0] == pytest.approx(9 - 4 - 3, abs=1e-6)
    beside = hole(8, 20, Pose(origin=(8, 6, 5)))
    assert nearest(bodies_of(a), bodies_of(beside), (0, 0, 0))[0] == pytest.approx(10 - 8, abs=1e-6)
    tip = 4 / math.tan(math.radians(59))
    facing = hole(8, 20, pose_from_axes((0, 0, 60), (1, 0, 0), (0, 0, -1)))
    assert nearest(bodies_of(a), bodies_of(facing), (0, 0, 0))[0] == pytest.approx(60 - 40 - 2 * tip, abs=1e-6)
    # a plane at 45° through (12, *, 0): the rim at r 4 is 8 / sqrt 2 from it at z 0, and 20 nearer along at the bottom
    wedge = Prism(polygon([(0, 0), (40, 0), (40, -40)]), pose_from_axes((12, -30, 40), (1, 0, 0), (0, 1, 0)), 60)
    p = nearest(bodies_of(a), bodies_of(wedge), (0, 0, 0))
    assert p[0] == pytest.approx(kernel_distance(a, wedge), abs=1e-5)
    countersunk = Revolve(((0, 0), (10, 0), (4, 6), (4, 20), (0, 20)), Pose())
    pin = hole(2, 30, Pose(origin=(12, 0, -5)), None)
    assert nearest(bodies_of(countersunk), bodies_of(pin), (0, 0, 0))[0] == pytest.approx(1, abs=1e-6)
    assert len(bodies_of(countersunk)) == 2
    assert len(bodies_of(a)) == 1


def test_pairs_by_their_boxes() -> None:
    rng = Random(3)
    boxes = [(p, add(p, (rng.uniform(1, 9), rng.uniform(1, 9), rng.uniform(1, 9)))) for p in
             ((rng.uniform(0, 60), rng.uniform(0, 60), rng.uniform(0, 60)) for _ in range(80))]

    def gap(a: tuple[Vec, Vec], b: tuple[Vec, Vec]) -> float:
        away = [max(b[0][i] - a[1][i], a[0][i] - b[1][i], 0.0) for i in range(3)]
        return math.sqrt(dot(away, away))  # type: ignore[arg-type]

    near = {(i, j) for i in range(80) for j in range(i) if gap(boxes[i], boxes[j]) <= 3}
    found = [tuple(sorted((boxes.index(a), boxes.index(b)), reverse=True)) for a, b in near_pairs(boxes, lambda b: b, 3)]
    assert len(found) == len(set(found))
    assert set(found) == near
    assert 20 < len(near) < 1500
