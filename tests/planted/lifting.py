"""What a lifted cover must meet: the straight way of its flat parts is a prism, which the kernel is asked about."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from deskmodel.features import Box3, Prism, Removal
from deskmodel.fit.problem import Body
from deskmodel.frames import Pose, axis_angle, scale
from deskmodel.model import DeskModel
from deskmodel.part import SheetBlank
from deskmodel.solids.part_shape import PartShape
from tests.planted.answers import Answers
from tests.planted.expected import Expected
from tests.planted.local import Local, box_about, grown, local, meet

__all__ = ["strikes", "turns"]

SURE = 0.03  # mm that cover and obstacle share in plan: the engine lifts slightly shrunken bodies
TURNED = 0.1  # mm: and turns them in steps
ANGLES = (0.02, 0.08, 0.2, 0.4, 0.7, 1.0)
UP = (0.0, 0.0, 1.0)


def strikes(expected: Expected, model: DeskModel, bodies: Mapping[str, Body], answers: Answers) -> None:
    """(cover, obstacle) for all that lies in the way; what overlaps before the lift is another check's."""
    still = [body for body in bodies.values() if body.role == "part"]
    boxes = {body.name: box_about(_shape(body).blank.bounds, body.pose) for body in still}
    for lift in model.lifts:
        assert lift.direction == UP
        for name in lift.parts:
            body = bodies[name]
            (x0, y0, z0), (x1, y1, z1) = boxes[name]
            way = (x0, y0, z0), (x1, y1, z1 + lift.travel)
            for other in still:
                if other.name in lift.parts or meet(boxes[other.name], way) is None:
                    continue
                _meets(expected, lift.cover, lift.travel, body, other, (boxes[other.name], way), answers)


def turns(expected: Expected, model: DeskModel, bodies: Mapping[str, Body], answers: Answers) -> None:
    """A cover on hinges at some angles of its turn. Between them the tool may see what this does not."""
    parts = [body for body in bodies.values() if body.role == "part"]
    for swing in model.swings:
        pin, back = Pose(origin=swing.point), Pose(origin=scale(swing.point, -1.0))
        moving = [bodies[name] for name in swing.parts]
        reach = max(math.dist(corner, swing.point) for body in moving for corner in _box(body, body.pose))
        around = grown((swing.point, swing.point), reach)
        still = [(body, _box(body, body.pose)) for body in parts if body.name not in swing.parts]
        still = [(body, box) for body, box in still if meet(box, around) is not None]
        expected.may |= {("cover-strikes", frozenset((swing.cover, body.name))) for body, _ in still}
        for body in moving:
            start = {other.name for other, box in still if _depth(body, body.pose, other, box, answers) > 0}
            for part_of_turn in ANGLES:
                pose = pin @ axis_angle(swing.axis, swing.angle * part_of_turn) @ back @ body.pose
                expected.must |= {("cover-strikes", frozenset((swing.cover, other.name))) for other, box in still
                                  if other.name not in start and _depth(body, pose, other, box, answers) >= TURNED}


def _box(body: Body, pose: Pose) -> Box3:
    return box_about(_shape(body).blank.bounds, pose)


def _depth(body: Body, pose: Pose, other: Body, box: Box3, answers: Answers) -> float:
    key = (_shape(body).key, pose, _shape(other).key, other.pose)
    if answers.proving:
        answers.depths[key] = 0.0
    if key not in answers.depths:
        own = _box(body, pose)
        room = meet(grown(own, 1.0), grown(box, 1.0))
        answers.depths[key] = 0.0 if room is None or meet(own, box) is None else answers.pair(
            local(_shape(body), pose, room, other.pose), _local(other, room, other.pose)).depth
    return answers.depths[key]


def _meets(expected: Expected, cover: str, travel: float, body: Body, other: Body, boxes: tuple[Box3, Box3],
           answers: Answers) -> None:
    pair = frozenset((cover, other.name))
    shape = _shape(body)
    flat = isinstance(shape.blank, SheetBlank) and body.pose.axis(2) == UP
    room = meet(grown(boxes[0], 1.0), grown(boxes[1], 1.0))
    assert room is not None
    if not flat:
        expected.may.add(("cover-strikes", pair))  # a screw on its way out of its hole: not judged here
        return
    if _depth(body, body.pose, other, boxes[0], answers) > 0:
        expected.may.add(("cover-strikes", pair))
        return
    key = ("lifted", travel, shape.key, body.pose, _shape(other).key, other.pose)
    if answers.proving:
        answers.depths[key] = 0.0
    if key not in answers.depths:
        found = answers.pair(local(_swept(shape, travel), body.pose, room, body.pose), _local(other, room, body.pose))
        answers.depths[key] = found.depth
    if answers.depths[key] >= SURE:
        expected.must.add(("cover-strikes", pair))
    elif answers.depths[key] > 1e-6:
        expected.may.add(("cover-strikes", pair))


def _local(body: Body, room: Box3, anchor: Pose) -> Local | None:
    return local(_shape(body), body.pose, room, anchor)


def _swept(shape: PartShape, travel: float) -> PartShape:
    """The sheet as thick as its way; what is cut right through stays cut, what is sunk from above is filled."""
    blank = shape.blank
    assert isinstance(blank, SheetBlank)
    kept: list[Removal] = []
    for cut in shape.removals:
        (_, _, low), (_, _, high) = cut.bounds
        if low <= 1e-6 and high >= blank.thickness - 1e-6 and isinstance(cut, Prism):
            pose = cut.pose if cut.pose.axis(2)[2] > 0 else cut.pose @ Pose(origin=(0.0, 0.0, -travel))
            kept.append(replace(cut, depth=cut.depth + travel, pose=pose))
        elif low <= 1e-6:
            kept.append(cut)
    thick = replace(blank, thickness=blank.thickness + travel)
    return PartShape(thick, tuple(kept), f"{shape.key} + {travel:g}", shape.label)


def _shape(body: Body) -> PartShape:
    inner = getattr(body.shape, "shape", body.shape)
    assert isinstance(inner, PartShape)
    return inner
