"""The part kinds of this trade as plain kernel shapes. mm; the frame of each is said in its docstring.

Built by the kernel's own primitives and nothing of deskmodel. Sizes are invented or common practice; screw heads follow
ISO 10642 (90° countersunk; theoretical sharp head diameter) and ISO 7380-1 (button head), values given by the caller.
"""

from __future__ import annotations

from collections.abc import Sequence

from OCP.TopoDS import TopoDS_Shape

from deskmodel.frames import Vec, pose_from_axes
from tests.oracle.occ import (
    box,
    compound,
    cone,
    cut,
    cylinder,
    fuse,
    moved,
    plate_with_holes,
    prism,
    revolved,
    sphere,
    spline_prism,
    torus,
)

__all__ = ["ball", "bevelled_rail", "block", "boss_plate", "button_screw", "component", "cord_ring",
           "countersunk_plate", "countersunk_screw", "cover", "dowel", "drilled", "fused_boxes", "hollow_box", "insert",
           "leaf", "notched_rail", "pins", "ring", "round_bar", "vent_plate", "wedge"]

Hole = tuple[Vec, Vec, float, float]  # mouth, direction into the wood, diameter, depth
Box6 = tuple[float, float, float, float, float, float]  # x0, y0, z0, x1, y1, z1


def block(length: float, width: float, height: float) -> TopoDS_Shape:
    """[0, length] x [0, width] x [0, height]."""
    return box((0, 0, 0), (length, width, height))


def drilled(length: float, width: float, height: float, holes: Sequence[Hole], point: float = 0.0) -> TopoDS_Shape:
    """A member along x with flat-bottomed holes, or with a drill point of that depth (0: flat)."""
    tools = []
    for mouth, d, diameter, depth in holes:
        r = diameter / 2
        # starts 1 mm outside, so that the mouth is clean
        half = [(0.0, -1.0), (r, -1.0), (r, depth), (0.0, depth + point)]
        side = (0.0, 0.0, 1.0) if abs(d[2]) < 0.5 else (1.0, 0.0, 0.0)
        tools.append(moved(revolved(half), pose_from_axes(mouth, side, d)))
    return cut(block(length, width, height), tools)


def vent_plate(length: float, width: float, thickness: float, holes: Sequence[tuple[float, float, float]],
               cut_outs: Sequence[tuple[float, float, float, float]] = ()) -> TopoDS_Shape:
    """[0, length] x [0, width] x [0, thickness], holes along z."""
    return plate_with_holes(length, width, thickness, holes, cut_outs)


def countersunk_plate(length: float, width: float, thickness: float, x: float, y: float, bore: float, mouth: float,
                      ) -> TopoDS_Shape:
    """A plate with one hole, countersunk 90° from the top face, where the cone is ``mouth`` wide."""
    r, top = bore / 2, mouth / 2
    hole = cylinder((x, y, -1), (0, 0, 1), r, thickness + 2)
    # the cone is cut as one revolved body that ends above the plate: no face of it lies in the plate's own
    sink = cone((x, y, thickness - (top - r)), (0, 0, 1), r, top + 1, top - r + 1)
    return cut(block(length, width, thickness), [fuse(hole, [sink])])


def round_bar(diameter: float, length: float) -> TopoDS_Shape:
    """A plain cylinder, z from 0 to length."""
    return cylinder((0, 0, 0), (0, 0, 1), diameter / 2, length)


def dowel(diameter: float, length: float, chamfer: float) -> TopoDS_Shape:
    """z from 0 to length, both ends chamfered 45°."""
    r = diameter / 2
    return revolved(((0, 0), (r - chamfer, 0), (r, chamfer), (r, length - chamfer), (r - chamfer, length), (0, length)))


def countersunk_screw(diameter: float, length: float, head: float) -> TopoDS_Shape:
    """Top of the head at z = 0, shank down to z = -length; 90° cone from ``head`` wide to the shank."""
    r, k = diameter / 2, head / 2
    return revolved(((0, 0), (k, 0), (r, r - k), (r, -length), (0, -length)))


def button_screw(diameter: float, length: float, head: float, height: float) -> TopoDS_Shape:
    """Underside of the head at z = 0, shank down to -length, dome (facets of revolution) up to ``height``."""
    r, k = diameter / 2, head / 2
    dome = ((k, 0), (k, 0.35 * height), (0.8 * k, 0.75 * height), (0.5 * k, height), (0, height))
    return revolved((*dome, (0, -length), (r, -length), (r, 0)))


def insert(outer: float, inner: float, length: float) -> TopoDS_Shape:
    """A threaded sleeve, modelled by two cylinders; z from 0 to length."""
    ro, ri = outer / 2, inner / 2
    return revolved(((ri, 0), (ro, 0), (ro, length), (ri, length)))


def ring(outer: float, inner: float, height: float) -> TopoDS_Shape:
    return insert(outer, inner, height)


def component(boxes: Sequence[Box6]) -> TopoDS_Shape:
    """Several boxes as a compound of solids (they may touch, they must not overlap)."""
    return compound(box(b[:3], (b[3] - b[0], b[4] - b[1], b[5] - b[2])) for b in boxes)


def fused_boxes(boxes: Sequence[Box6]) -> TopoDS_Shape:
    """Several boxes that share faces or overlap, as one solid."""
    first, *others = (box(b[:3], (b[3] - b[0], b[4] - b[1], b[5] - b[2])) for b in boxes)
    return fuse(first, others)


def cover(length: float, width: float, thickness: float, backing: float, inset: float) -> TopoDS_Shape:
    """The plate z in [0, thickness] with its backing below, set back all round: two solids that touch in a face."""
    return compound([box((0, 0, 0), (length, width, thickness)),
                     box((inset, inset, -backing), (length - 2 * inset, width - 2 * inset, backing))])


def bevelled_rail(length: float, width: float, height: float, setback: float, drop: float) -> TopoDS_Shape:
    """Along x; the upper edge at y = width is bevelled: ``setback`` along y, ``drop`` along z."""
    outline = ((0, 0, 0), (0, width, 0), (0, width, height - drop), (0, width - setback, height), (0, 0, height))
    return prism(outline, (length, 0, 0))


def notched_rail(length: float, width: float, height: float, start: float, wide: float, deep: float) -> TopoDS_Shape:
    """Along x; a notch across the top from x = start to start + wide, ``deep`` deep."""
    outline = ((0, 0, 0), (length, 0, 0), (length, 0, height), (start + wide, 0, height),
               (start + wide, 0, height - deep), (start, 0, height - deep), (start, 0, height), (0, 0, height))
    return prism(outline, (0, width, 0))


def hollow_box(length: float, width: float, height: float, wall: float) -> TopoDS_Shape:
    """Closed all round: a solid with an inner void."""
    room = (length - 2 * wall, width - 2 * wall, height - 2 * wall)
    return cut(block(length, width, height), [box((wall, wall, wall), room)])


def boss_plate(length: float, width: float, thickness: float, bosses: Sequence[tuple[float, float, float, float]],
               lands: Sequence[Box6] = ()) -> TopoDS_Shape:
    """A plate with round bosses (x, y, diameter, height) and square lands on its top face, one solid."""
    added: list[TopoDS_Shape] = [cylinder((x, y, thickness / 2), (0, 0, 1), d / 2, thickness / 2 + h)
                                 for x, y, d, h in bosses]
    added += [box(b[:3], (b[3] - b[0], b[4] - b[1], b[5] - b[2])) for b in lands]
    return fuse(block(length, width, thickness), added)


def pins(bars: Sequence[tuple[float, float, float, float, float]]) -> TopoDS_Shape:
    """Several upright pins as a compound: (x, y, diameter, z0, z1) each."""
    return compound(cylinder((x, y, z0), (0, 0, 1), d / 2, z1 - z0) for x, y, d, z0, z1 in bars)


def wedge(length: float, height: float, half_width: float) -> TopoDS_Shape:
    """A lath with a sharp edge: the edge lies on the x axis, [0, length]; the back at z = height is 2 x half_width."""
    return prism(((0, 0, 0), (0, half_width, height), (0, -half_width, height)), (length, 0, 0))


def ball(diameter: float) -> TopoDS_Shape:
    """A round foot, about the origin."""
    return sphere(diameter / 2)


def cord_ring(inner: float, cord: float) -> TopoDS_Shape:
    """A round-cord sealing ring about z, middle in z = 0: ``inner`` diameter, ``cord`` thick."""
    return torus((inner + cord) / 2, cord / 2)


def leaf(points: Sequence[tuple[float, float]], thickness: float) -> TopoDS_Shape:
    """A plate with a smooth outline (a free-form shape given as code): spline edges and a spline surface."""
    return spline_prism(points, thickness)
