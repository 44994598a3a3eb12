"""Solids from points, with cadquery alone. mm."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import cadquery as cq

__all__ = ["Outline", "box", "cone", "cylinder", "drawn", "less", "parsed", "prism", "turned"]

Point = tuple[float, float, float]
Outline = Sequence[tuple[float, float, float]]
"""(x, y, bulge) in turn; a bulge bends the side that follows outwards, the tangent of a quarter of its angle."""


def box(low: Point, high: Point) -> cq.Solid:
    size = [b - a for a, b in zip(low, high, strict=True)]
    return cq.Solid.makeBox(*size, pnt=cq.Vector(*low))


def cylinder(at: Point, towards: Point, diameter: float, depth: float) -> cq.Solid:
    return cq.Solid.makeCylinder(diameter / 2, depth, cq.Vector(*at), cq.Vector(*towards))


def cone(at: Point, towards: Point, diameter: float, end: float, depth: float) -> cq.Solid:
    """From ``diameter`` at ``at`` to ``end`` after ``depth``."""
    return cq.Solid.makeCone(diameter / 2, end / 2, depth, cq.Vector(*at), cq.Vector(*towards))


def parsed(text: str) -> Outline:
    """"circle 20 about 5 7", or "0 0, 50 0 bulge 0.4142, …"."""
    if text.startswith("circle "):
        _, diameter, _, x, y = text.split()
        r = float(diameter) / 2
        return [(float(x) + r, float(y), 1.0), (float(x) - r, float(y), 1.0)]
    corners = []
    for corner in text.split(", "):
        x, y, *bulge = corner.split()
        corners.append((float(x), float(y), float(bulge[1]) if bulge else 0.0))
    return corners


def drawn(outline: Outline, lift: Callable[[float, float], Point]) -> cq.Face:
    """The flat face within an outline whose (x, y) ``lift`` puts into space."""
    if len(outline) == 2 and outline[0][2] == outline[1][2] == 1.0:  # one edge, not two halves
        (x0, y0, _), (x1, y1, _) = outline
        o, u, v = (cq.Vector(*lift(x, y)) for x, y in ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)))
        centre = cq.Vector(*lift((x0 + x1) / 2, (y0 + y1) / 2))
        circle = cq.Wire.makeCircle(math.hypot(x1 - x0, y1 - y0) / 2, centre, (u - o).cross(v - o))
        return cq.Face.makeFromWires(circle)
    edges = []
    for (x0, y0, bulge), (x1, y1, _) in zip(outline, [*outline[1:], outline[0]], strict=True):
        start, end = cq.Vector(*lift(x0, y0)), cq.Vector(*lift(x1, y1))
        if bulge == 0:
            edges.append(cq.Edge.makeLine(start, end))
            continue
        out = bulge / 2  # sagitta by half the chord; to the right of the way is outwards
        middle = ((x0 + x1) / 2 + out * (y1 - y0), (y0 + y1) / 2 - out * (x1 - x0))
        edges.append(cq.Edge.makeThreePointArc(start, cq.Vector(*lift(*middle)), end))
    return cq.Face.makeFromWires(cq.Wire.assembleEdges(edges))


def prism(face: cq.Face, way: Point) -> cq.Solid:
    return cq.Solid.extrudeLinear(face.outerWire(), [], cq.Vector(*way))


def less(blank: cq.Shape, tools: Sequence[cq.Shape]) -> cq.Shape:
    return blank.cut(*tools) if tools else blank


def turned(shape: cq.Shape, x: Point, y: Point, z: Point) -> cq.Shape:
    """The shape with its axes laid along x, y, z (right-handed)."""
    handed = cq.Vector(*x).cross(cq.Vector(*y)).dot(cq.Vector(*z))
    assert math.isclose(handed, 1.0), "a mirror image is no way of laying a piece"
    plane = cq.Plane(origin=(0, 0, 0), xDir=x, normal=z)
    return shape.moved(cq.Location(plane))
