"""The stretch of a body that one pair is about, in a form that is the same wherever in the desk the pair stands.

Seventy dowels stand in seventy equal holes of members that are all different. Cut down to the room about the pair, and told
in the frame of one of the two, they are one question to the kernel. So are a joint and the same joint 3 mm further on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.TopoDS import TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from deskmodel.features import Box3, Prism, Removal, Revolve
from deskmodel.frames import Pose, Vec
from deskmodel.part import Bodies, BoxBlank, SheetBlank, TurnedBlank
from deskmodel.profiles import Profile, rectangle
from deskmodel.solids._primitives import prism_solid, revolve_solid
from deskmodel.solids.build import build_solid
from deskmodel.solids.part_shape import PartShape
from tests.oracle.occ import box, compound, moved, revolved, solids

__all__ = ["Local", "Ring", "apart", "box_about", "grown", "local", "meet", "share"]

Ring = tuple[Pose, float, float, float, float]
"""Axis (in the frame of its body), inner and outer radius, from and to along the axis."""
_NOTHING = 1e-9  # mm: what is thinner is not there
_BORDER = 1.0  # mm by which a cut may reach beyond what it cuts


@dataclass(frozen=True)
class Local:
    """``key``: equal for equal geometry in the frame of the pair. ``plain``: its box in that frame where it is just that."""

    key: str
    plain: Box3 | None
    there: Pose
    bodies: tuple[Any, ...]  # boxes, prisms, a turned blank, or one whole shape; own frame
    cuts: tuple[Removal, ...]
    rings: tuple[Ring, ...]

    def build(self) -> TopoDS_Shape:
        """The solids, in the frame of the pair; a compound without any where the cuts leave nothing."""
        shape = _fused([_solid(body) for body in self.bodies])
        tools = [prism_solid(cut) if isinstance(cut, Prism) else revolve_solid(cut) for cut in self.cuts]
        # as the engine's promise has it, the male of a designed contact is judged without its ring
        tools += [moved(revolved(((inner, start), (outer + 1, start), (outer + 1, end), (inner, end))), axis)
                  for axis, inner, outer, start, end in self.rings]
        if tools:
            shape = _cut(shape, tools)
        return moved(compound(solids(shape)), self.there)


def local(shape: PartShape, pose: Pose, region: Box3, anchor: Pose, rings: tuple[Ring, ...] = ()) -> Local | None:
    """The body in ``region`` (desk frame), told in the frame ``anchor``; None where its blank does not reach there."""
    there, window = anchor.inverse() @ pose, box_about(region, pose.inverse())
    blank, plain = shape.blank, None
    bodies: tuple[Any, ...]
    own = _as_box(blank)
    if own is not None:
        clipped = meet(own, window)
        if clipped is None:
            return None
        bodies, window = (clipped,), clipped
    elif isinstance(blank, Bodies):
        bodies = tuple(body for body in blank.bodies if meet(body.bounds, window))
        if not bodies:
            return None
    elif isinstance(blank, TurnedBlank):
        bodies = (blank,)
    else:
        bodies = (shape,)
    cuts = () if bodies[0] is shape else tuple(_shortened(each, window) for each in _near(shape, window))
    straight = all(abs(abs(v) - 1) < 1e-12 or abs(v) < 1e-12 for row in there.rotation for v in row)
    if not cuts and not rings and straight and len(bodies) == 1:
        only = bodies[0] if isinstance(bodies[0], tuple) else _box_of_prism(bodies[0])
        plain = None if only is None else box_about(only, there)
    told = plain if plain is not None else (
        sorted(_told(each, there) for each in bodies), sorted(_told(each, there) for each in cuts),
        [(_pose(there @ axis), *map(_number, rest)) for axis, *rest in rings])
    return Local(repr(_rounded(told) if plain is not None else told), plain, there, bodies, cuts, rings)


def box_about(given: Box3, pose: Pose) -> Box3:
    """The box, in the outer frame, about a box of the inner one."""
    corners = [pose.apply((x, y, z)) for x in (given[0][0], given[1][0]) for y in (given[0][1], given[1][1])
               for z in (given[0][2], given[1][2])]
    return _corner(min, corners), _corner(max, corners)


def _corner(pick: Any, points: list[Vec]) -> Vec:
    return pick(p[0] for p in points), pick(p[1] for p in points), pick(p[2] for p in points)


def grown(given: Box3, by: float) -> Box3:
    (x0, y0, z0), (x1, y1, z1) = given
    return (x0 - by, y0 - by, z0 - by), (x1 + by, y1 + by, z1 + by)


def share(a: Box3, b: Box3) -> Vec:
    """mm that two boxes share along x, y, z; below 0 how far they are apart."""
    return (min(a[1][0], b[1][0]) - max(a[0][0], b[0][0]), min(a[1][1], b[1][1]) - max(a[0][1], b[0][1]),
            min(a[1][2], b[1][2]) - max(a[0][2], b[0][2]))


def meet(a: Box3, b: Box3) -> Box3 | None:
    """What two boxes share; None where that is nothing."""
    if min(share(a, b)) <= _NOTHING:
        return None
    return _corner(max, [a[0], b[0]]), _corner(min, [a[1], b[1]])


_BOXES: dict[str, NDArray[np.float64]] = {}


def _bounds(shape: PartShape) -> NDArray[np.float64]:
    """(n, 2, 3): the boxes about what is cut from it; kept by its key, for its own hash is long in coming."""
    if shape.key not in _BOXES:
        if len(_BOXES) > 5000:
            _BOXES.clear()
        _BOXES[shape.key] = np.array([each.bounds for each in shape.removals], dtype=np.float64).reshape(-1, 2, 3)
    return _BOXES[shape.key]


def _near(shape: PartShape, window: Box3) -> list[Removal]:
    """Cuts that reach into the window; a plate has hundreds of vents."""
    boxes, (low, high) = _bounds(shape), np.array(window)
    inside = (np.minimum(boxes[:, 1], high) - np.maximum(boxes[:, 0], low)).min(axis=1) > _NOTHING
    return [shape.removals[int(i)] for i in np.flatnonzero(inside)]


def _as_box(blank: Any) -> Box3 | None:
    if isinstance(blank, BoxBlank):
        return blank.bounds
    return blank.bounds if isinstance(blank, SheetBlank) and _rectangular(blank.outline) else None


def _rectangular(profile: Profile) -> bool:
    x0, y0, x1, y1 = profile.bounds
    return (len(profile.vertices) == 4 and not any(bulge for _, _, bulge in profile.vertices)
            and all(min(abs(x - x0), abs(x - x1)) < 1e-12 and min(abs(y - y0), abs(y - y1)) < 1e-12
                    for x, y, _ in profile.vertices))


def _box_of_prism(prism: Any) -> Box3 | None:
    """The box that a prism is, in the frame it is told in; None where it is none."""
    if not isinstance(prism, Prism) or not _rectangular(prism.profile):
        return None
    if not all(abs(abs(v) - 1) < 1e-12 or abs(v) < 1e-12 for row in prism.pose.rotation for v in row):
        return None
    x0, y0, x1, y1 = prism.profile.bounds
    return box_about(((x0, y0, 0.0), (x1, y1, prism.depth)), prism.pose)


def _shortened(cut: Removal, window: Box3) -> Removal:
    """A straight cut only as long as it matters: a groove runs on for half a metre."""
    own = _box_of_prism(cut)
    kept = None if own is None else meet(own, grown(window, _BORDER))
    if kept is None or kept == own:
        return cut
    size = tuple(high - low for low, high in zip(*kept, strict=True))
    return Prism(rectangle(size[0], size[1]), Pose(origin=kept[0]), size[2])


def _told(body: Any, there: Pose) -> Any:
    if isinstance(body, Prism):
        box_ = _box_of_prism(body)
        if box_ is not None:
            return "box", _pose(Pose(there.rotation)), _rounded((there.apply(box_[0]), there.apply(box_[1])))
        x, y = body.profile.bounds[:2]
        at = there @ body.pose @ Pose(origin=(x, y, 0.0))
        return ("prism", _pose(at), tuple((_number(u - x), _number(v - y), _number(b)) for u, v, b in body.profile.vertices),
                _number(body.depth))
    if isinstance(body, Revolve):
        return "revolve", _pose(there @ body.pose), _rounded(body.half)
    if isinstance(body, TurnedBlank):
        return "turned", _pose(there), _rounded(body.half)
    if isinstance(body, tuple):
        return "box", _pose(Pose(there.rotation)), _rounded((there.apply(body[0]), there.apply(body[1])))
    return "whole", _pose(there), body.key


def _pose(pose: Pose) -> Any:
    return _rounded((*pose.rotation, pose.origin))


def _rounded(value: Any) -> Any:
    return tuple(_rounded(v) for v in value) if isinstance(value, tuple | list) else _number(value)


def _number(value: float) -> float:
    return round(value, 6) + 0.0


def _solid(body: Any) -> TopoDS_Shape:
    if isinstance(body, Prism):
        return prism_solid(body)
    if isinstance(body, TurnedBlank):
        return revolve_solid(body.solid)
    if isinstance(body, PartShape):
        return build_solid(body.blank, body.removals, body.label)
    low, high = body
    return box(low, (high[0] - low[0], high[1] - low[1], high[2] - low[2]))


def _fused(shapes: list[TopoDS_Shape]) -> TopoDS_Shape:
    return shapes[0] if len(shapes) == 1 else _done(BRepAlgoAPI_Fuse(), shapes[:1], shapes[1:])


def _cut(shape: TopoDS_Shape, tools: list[TopoDS_Shape]) -> TopoDS_Shape:
    return _done(BRepAlgoAPI_Cut(), [shape], tools)


def _done(operation: Any, first: list[TopoDS_Shape], second: list[TopoDS_Shape]) -> TopoDS_Shape:
    for shapes, put in ((first, operation.SetArguments), (second, operation.SetTools)):
        given = TopTools_ListOfShape()
        for shape in shapes:
            given.Append(shape)
        put(given)
    operation.Build()
    assert operation.IsDone(), "the kernel could not cut or join"
    return operation.Shape()


def apart(a: Box3, b: Box3) -> float:
    """mm between two boxes; 0 where they touch or overlap."""
    return math.hypot(*(max(0.0, -shared) for shared in share(a, b)))
