"""What must be found of an edited desk without any kernel: bays, holes, loose parts, the desk's outline, stand-offs.

Each is worked out here from the placed blanks by a second, plain way; nothing of the tool's faces, bay table or checks is
used.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from scipy.optimize import linprog

from deskmodel.component import Component
from deskmodel.faces import PlacedPart
from deskmodel.features import Box3, Hole
from deskmodel.frames import Vec
from deskmodel.hardware import Hardware
from deskmodel.model import DeskModel
from deskmodel.part import BoxBlank, SheetBlank, TurnedBlank
from tests.planted.expected import Expected
from tests.planted.local import box_about, share

__all__ = ["bays", "envelope", "holes", "loose_parts", "placed_boxes", "stand_off_seat", "tipping_covers"]

OUTLINE = {"member", "plate", "cover", "backing", "veneer"}
PARTNERS = {"dowel": {"dowel"}, "insert": {"insert"}, "screw": {"screw", "wood screw"}}
COAXIAL = 0.1  # mm: by jig holes are good to about that (common practice)
ENTERS = 0.5  # mm
BY_FACES = {"bond", "laminate", "rest"}
"""Joints that hold without pieces; all others hold by theirs."""


def placed_boxes(model: DeskModel) -> dict[str, Box3]:
    """The box about each placed blank, desk frame: exact at right angles, and for equipment at any turn."""
    return {part.name: _about_bodies(part) if isinstance(part.part, Component)
            else box_about(part.part.blank.bounds, part.pose) for part in model.parts}


def _about_bodies(part: PlacedPart) -> Box3:
    assert isinstance(part.part, Component)
    points = []
    for body in part.part.bodies:
        there, disc = part.pose @ body.pose, body.profile.as_circle
        # a disc of radius r and normal n reaches r sqrt(1 - n_i²) along axis i
        reach = np.zeros(3) if disc is None else disc[1] * np.sqrt(np.maximum(0.0, 1 - np.square(there.axis(2))))
        corners = [(x, y) for x, y, _ in body.profile.vertices] if disc is None else [disc[0]]
        middles = np.array([there.apply((x, y, z)) for x, y in corners for z in (0.0, body.depth)])
        points += [middles - reach, middles + reach]
    every = np.vstack(points)
    return _vec(list(every.min(axis=0))), _vec(list(every.max(axis=0)))


def envelope(expected: Expected, model: DeskModel, boxes: Mapping[str, Box3]) -> None:
    """Out of the stated box nothing may stand; without one, equipment not out of the box about the rest."""
    if model.envelope is not None:
        low, high = (0.0, 0.0, 0.0), model.envelope
        inside = [part.name for part in model.parts]
    else:
        frame = [boxes[part.name] for part in model.parts if part.role in OUTLINE]
        low, high = tuple(np.min([b[0] for b in frame], axis=0)), tuple(np.max([b[1] for b in frame], axis=0))
        inside = [part.name for part in model.parts if part.role in ("component", "custom")]
    for name in inside:
        out = max(max(low[i] - boxes[name][0][i], boxes[name][1][i] - high[i]) for i in range(3))
        expected.add("outside-envelope", frozenset((name,)), out)


def loose_parts(model: DeskModel) -> set[str]:
    """Parts that no chain of joints ties to the front member; a joint by hardware that lost it all is none."""
    held, parts = {"front"}, {part.name for part in model.parts if part.role != "hardware"}
    joints = [joint for joint in model.joints if joint.hardware or joint.kind in BY_FACES]
    while True:
        more = {name for joint in joints for name in (joint.a, joint.b) if {joint.a, joint.b} & held} - held
        if not more:
            return parts - held
        held |= more


def stand_off_seat(component: PlacedPart, plate: PlacedPart) -> float:
    """mm from the plate's upper face to the lowest body over the component's mounting holes; both stand level."""
    assert isinstance(component.part, Component)
    places = [hole.at for hole in component.part.features if isinstance(hole, Hole)]
    lowest = min(body.bounds[0][2] for body in component.part.bodies for x, y in places
                 if body.bounds[0][0] <= x <= body.bounds[1][0] and body.bounds[0][1] <= y <= body.bounds[1][1])
    return float(component.pose.origin[2] + lowest - box_about(plate.part.blank.bounds, plate.pose)[1][2])


# ---- holes


def holes(expected: Expected, model: DeskModel) -> None:
    """A hole for hardware has its piece in line, a dowel and a wood screw through a part a second hole as well."""
    pieces = [part for part in model.parts if isinstance(part.part, Hardware) and isinstance(part.part.blank, TurnedBlank)]
    if not pieces:
        return
    kinds = np.array([part.part.kind for part in pieces])  # type: ignore[union-attr]
    origins = np.array([part.pose.origin for part in pieces])
    axes = np.array([part.pose.axis(2) for part in pieces])
    heights = np.array([(min(z for _, z in part.part.blank.half), max(z for _, z in part.part.blank.half))  # type: ignore[union-attr]
                        for part in pieces])
    found: list[tuple[str, bool, list[int]]] = []
    users: dict[int, set[str]] = {}
    for part in model.parts:
        for hole, mouth, inwards, depth in _holes_of(part):
            off = origins - mouth
            along = off @ inwards
            aside = np.linalg.norm(off - along[:, None] * inwards, axis=1)
            sense = axes @ inwards
            ends = np.sort(along[:, None] + heights * sense[:, None], axis=1)
            ok = (aside <= COAXIAL + 1e-6) & (np.abs(sense) > 0.999) & np.isin(kinds, list(PARTNERS[hole.purpose]))
            ok &= (ends[:, 1] > ENTERS) & (ends[:, 0] < depth - ENTERS)
            mine = [int(i) for i in np.flatnonzero(ok)]
            found.append((part.name, hole.depth is None, mine))
            for i in mine:
                users.setdefault(i, set()).add(part.name)
    for name, through, mine in found:
        alone = [i for i in mine if len(users[i]) < 2 and (kinds[i] == "dowel" or (kinds[i] == "wood screw" and through))]
        if len(alone) == len(mine):
            expected.must.add(("hole-without-partner", frozenset((name,))))


def _holes_of(part: PlacedPart) -> Any:
    """(hole, mouth, direction inwards, depth) in the desk frame, of members and flat plates."""
    blank = part.part.blank
    if isinstance(part.part, Component) or not isinstance(blank, BoxBlank | SheetBlank):
        return
    (x0, y0, z0), (x1, y1, z1) = blank.bounds
    faces = {"datum end": (0, x0), "far end": (0, x1), "face side": (1, y0), "back side": (1, y1), "under edge": (2, z0),
             "face edge": (2, z1), "bottom": (2, z0), "top": (2, z1)}
    for hole in part.part.features:
        if isinstance(hole, Hole) and hole.purpose in PARTNERS:
            axis, at = faces[hole.face]
            mouth = list(hole.at)
            mouth.insert(axis, at)
            inwards = [0.0, 0.0, 0.0]
            inwards[axis] = 1.0 if at == (x0, y0, z0)[axis] else -1.0
            thick = (x1 - x0, y1 - y0, z1 - z0)[axis]
            yield (hole, np.array(part.pose.apply(_vec(mouth))), np.array(part.pose.turn(_vec(inwards))),
                   thick if hole.depth is None else hole.depth)


def _vec(values: list[float]) -> Vec:
    return values[0], values[1], values[2]


# ---- bays

WALL = 10.0  # mm: faces of members nearer than that to a stated side are meant to be its wall; so much of it may be open


def bays(expected: Expected, model: DeskModel, boxes: Mapping[str, Box3]) -> None:
    """Each stated side against the faces of the members that run along it."""
    members = {part.name: boxes[part.name] for part in model.parts if part.role == "member"}
    for bay in model.bays:
        room = (bay.x, bay.y)
        heights = [box for box in members.values() if _shared((box[0][0], box[1][0]), bay.x) > -WALL
                   and _shared((box[0][1], box[1][1]), bay.y) > -WALL]
        for axis in (0, 1):
            along, length = room[1 - axis], room[1 - axis][1] - room[1 - axis][0]
            for end in (0, 1):
                stated = room[axis][end]
                near = [(box[1 - end][axis], (box[0][1 - axis], box[1][1 - axis]), name) for name, box in members.items()
                        if box in heights and abs(box[1 - end][axis] - stated) < WALL
                        and _shared((box[0][1 - axis], box[1][1 - axis]), along) > 0.01]
                walls = [each for each in near if _shared(each[1], along) > length / 2] or near
                if not walls:
                    expected.must.add(("bay-walls-apart", frozenset((bay.name,))))
                    continue
                at = (min if end else max)(each[0] for each in walls)
                flush = [each for each in walls if abs(each[0] - at) < 0.01]
                told = frozenset((bay.name, *(each[2] for each in flush)))
                covered = sum(max(0.0, _shared(each[1], along)) for each in flush)
                if abs(at - stated) >= 0.01 - 1e-6 or covered < length - WALL - 1e-6:
                    expected.must.add(("bay-walls-apart", told))
        # what stands far in a bay may be told as its wall or as what is in it: both are right
        for name, box in members.items():
            if min(share(box, ((bay.x[0], bay.y[0], -1e9), (bay.x[1], bay.y[1], 1e9)))) > 0.01:
                expected.about.add(("bay-walls-apart", frozenset((bay.name, name))))


def _shared(a: tuple[float, float], b: tuple[float, float]) -> float:
    return min(a[1], b[1]) - max(a[0], b[0])


def tipping_covers(model: DeskModel) -> list[str]:
    """Covers that only rests and hinges hold, and whose middle lies outside the hull of what they lie on: they tip.
    A point is in the hull of others where it is a weighted mean of them, asked as a linear programme."""
    tip, boxes = [], placed_boxes(model)
    for cover in model.parts:
        held = [joint for joint in model.joints if cover.role == "cover" and joint.a == cover.name]
        held = [joint for joint in held if joint.kind != "bond"]
        if not held or any(joint.kind not in ("rest", "hinge") for joint in held):
            continue
        low, high = boxes[cover.name]
        corners = np.array([(x, y) for joint in held for x in (joint.region[0][0], joint.region[1][0])
                            for y in (joint.region[0][1], joint.region[1][1])])
        weights = np.vstack([corners.T, np.ones(len(corners))])
        middle = np.array([(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, 1.0])
        if not linprog(np.zeros(len(corners)), A_eq=weights, b_eq=middle, method="highs").success:
            tip.append(cover.name)
    return tip
