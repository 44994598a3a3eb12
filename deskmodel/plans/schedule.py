"""The drilling schedule: every hole that the workshop drills, measured as it is marked out.

    on a side          face edge                   x from the datum end, y from the face edge
                  +---------------------+
     datum end    |   |y                |          on an edge: x from the datum end, y from the face side
                  |-x-o                 |          on an end:  x from the face side, y from the face edge
                  +---------------------+          never from the far end, the back side or the under edge

A plate is measured from the left and the front edge of the box about its outline, in its own x and y, seen on its top.

What is listed: holes of members, and of plates of ply or plastic that are neither printed nor cut by the service; of a flat
plate that it cuts what it does not offer: countersinks, counterbores, blind holes. The rest of the holes comes with the
part: ``elsewhere`` says which and from whom. Slots, pockets and openings are no holes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from deskmodel.component import Component
from deskmodel.faces import PlacedPart
from deskmodel.features import Feature, Hole, Purpose, Stage, VentField
from deskmodel.frames import Pose, Vec
from deskmodel.hardware import Hardware
from deskmodel.materials import material
from deskmodel.model import DeskModel
from deskmodel.part import CustomShape, Member, Plate
from deskmodel.plans._datums import ENDS, datums_of, from_datums
from deskmodel.plans._likeness import likeness, shape_of_feature
from deskmodel.plans._tools import Step, bore_step, recess_step, sink_step
from deskmodel.service import Operation, Service
from deskmodel.workshop import Bit

__all__ = ["DrillRow", "Elsewhere", "Schedule", "Step", "drilling_schedule", "marks_of"]

_STAGES: tuple[str, ...] = get_args(Stage)
_SPOTTED = "spot inserts"


@dataclass(frozen=True, slots=True)
class DrillRow:
    """One hole, the same in each of ``parts``. mm.

    ``x`` from the datum ``x_from``, ``y`` from ``y_from``; ``at``: the place as the feature has it. ``shoulder``: depth of
    the full diameter; ``tip``: to the drill's point as designed; ``through``: right through, both are then the thickness.
    ``cut``: the hole itself comes with the plate, only its recess or countersink is made. ``joints``: of each part the joint
    that the hole belongs to, "" without one. ``steps`` in the order in which they are made."""

    parts: tuple[str, ...]
    joints: tuple[str, ...]
    stock: str
    stage: Stage
    purpose: Purpose
    face: str
    x: float
    x_from: str
    y: float
    y_from: str
    at: tuple[float, float]
    diameter: float
    shoulder: float
    tip: float
    through: bool
    cut: bool
    counterbore: tuple[float, float] | None
    countersink: tuple[float, float] | None
    steps: tuple[Step, ...]

    @property
    def spotted(self) -> bool:
        """Whether its place is taken from the part above, and the figures only tell where that should be."""
        return self.stage == _SPOTTED

    def step(self, kind: str) -> Step | None:
        return next((step for step in self.steps if step.kind == kind), None)


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """``count`` holes of a part, those of vent fields included, that the workshop does not drill, and why."""

    part: str
    count: int
    why: str


@dataclass(frozen=True, slots=True)
class Schedule:
    """``rows`` by stage, then bit, then fence (``y``, the distance from the datum that lies against it). ``marks``: by
    member, where its marked faces look in the desk."""

    rows: tuple[DrillRow, ...]
    marks: Mapping[str, str]
    elsewhere: tuple[Elsewhere, ...]

    def of(self, part: str) -> tuple[DrillRow, ...]:
        """The rows of one part, in the same order."""
        return tuple(row for row in self.rows if part in row.parts)


def drilling_schedule(model: DeskModel) -> Schedule:
    """The schedule of a desk, with the tools of its workshop."""
    joints = {placed.group for placed in model.parts if placed.group} | {joint.name for joint in model.joints}
    alike: dict[Any, list[PlacedPart]] = {}
    elsewhere: list[Elsewhere] = []
    for placed in model.parts:  # by name
        if isinstance(placed.part, Component | Hardware):
            continue
        why = _left_out(placed, model.service)
        mine, others = [], 0
        for feature in placed.part.features:
            if isinstance(feature, Hole) and (why is None or _needs_more(feature, placed, model.service)):
                mine.append(feature)
            others += _count(feature) if why is not None and feature not in mine else 0
        if why is not None and others:
            elsewhere.append(Elsewhere(placed.name, others, why))
        if mine:
            alike.setdefault(likeness(placed), []).append(placed)
    rows = [row for group in alike.values() for row in _rows(model, group, joints)]
    rows.sort(key=_order)
    listed = {name for row in rows for name in row.parts}
    marks = {p.name: marks_of(p.pose) for p in model.parts if p.name in listed and isinstance(p.part, Member)}
    return Schedule(tuple(rows), marks, tuple(elsewhere))


def _left_out(placed: PlacedPart, service: Service) -> str | None:
    """Who makes the plain round holes of a part; None: the workshop."""
    part = placed.part
    if isinstance(part, CustomShape):
        return "made with its custom shape"
    if isinstance(part, Plate):
        kind = material(part.material).kind
        if part.printed:
            return "printed with the part"
        if kind == "metal" or kind in service.laser.cuts:
            return "cut by the laser, before it is bent" if part.flanges else "cut by the laser"
        if kind == "glass":
            return "cut by the glazier"
        if kind == "veneer":
            return "trimmed after veneering"
    return None


def _needs_more(hole: Hole, placed: PlacedPart, service: Service) -> bool:
    """Whether the workshop has something left to do at a hole that comes with its plate: what its service does not offer."""
    part = placed.part
    if not isinstance(part, Plate) or part.printed or part.flanges:
        return False
    kind = material(part.material).kind
    if kind != "metal" and kind not in service.laser.cuts:
        return False
    left: tuple[tuple[Operation, object], ...] = (("blind hole", hole.depth), ("counterbore", hole.counterbore),
                                                  ("countersink", hole.countersink))
    return any(asked is not None and work not in service.laser.offers for work, asked in left)


def _count(feature: Feature) -> int:
    if isinstance(feature, VentField):
        return len(feature.centres())
    return 1 if isinstance(feature, Hole) else 0


def _rows(model: DeskModel, group: list[PlacedPart], joints: set[str]) -> Iterator[DrillRow]:
    """The rows of parts that are alike: the holes of each in one order, by their figures."""
    first = group[0]
    bare = _left_out(first, model.service) is not None
    sets = [sorted((f for f in p.part.features if isinstance(f, Hole) and (not bare or _needs_more(f, p, model.service))),
                   key=lambda hole: repr(shape_of_feature(hole))) for p in group]
    for holes in zip(*sets, strict=True):
        yield _row(model, first, tuple(p.name for p in group), holes, joints, bare)


def _row(model: DeskModel, placed: PlacedPart, names: tuple[str, ...], holes: tuple[Hole, ...], joints: set[str],
         bare: bool) -> DrillRow:
    hole = holes[0]
    part = placed.part
    assert isinstance(part, Member | Plate)
    face = part.blank.face(hole.face)
    cut = bare and hole.depth is None
    (x, y), (x_from, y_from) = from_datums(part, face, hole.at), datums_of(part, hole.face)
    made = [recess_step(hole, model.workshop), None if cut else bore_step(hole, face.behind, model.workshop, metal=bare),
            sink_step(hole, model.workshop)]
    shoulder = face.behind if hole.depth is None else hole.depth
    point = 0.0 if hole.point is None else hole.diameter / 2 / math.tan(math.radians(hole.point / 2))
    return DrillRow(names, tuple(_joint(each, joints) for each in holes), _stock(part), hole.stage, hole.purpose, hole.face,
                    x, x_from, y, y_from, hole.at, hole.diameter, shoulder, shoulder + point, hole.depth is None, cut,
                    hole.counterbore, hole.countersink, tuple(step for step in made if step is not None))


def _joint(hole: Hole, joints: set[str]) -> str:
    """The joint that named the hole: "rail to front, dowel hole 2"."""
    name = hole.name.rpartition(", ")[0]
    return name if name in joints else ""


def _stock(part: Member | Plate) -> str:
    if isinstance(part, Member):
        return f"{part.material} {part.section[0]:g} × {part.section[1]:g} × {part.length:g}"
    x0, y0, x1, y1 = part.outline.bounds
    return f"{part.material} {x1 - x0:g} × {y1 - y0:g} × {part.thickness:g}"


def _order(row: DrillRow) -> tuple[Any, ...]:
    """Bit and fence change least: stage, what is chucked first, sides and edges (a fence) before ends (a jig, by hand), the
    datum against the fence and its distance; then part by part."""
    first = row.steps[0]
    tool = (first.diameter, "", 0.0) if first.tool is None else (
        first.tool.diameter, first.tool.text, first.tool.length if isinstance(first.tool, Bit) else 0.0)
    return (_STAGES.index(row.stage), row.cut, *tool, row.face in ENDS, row.y_from, round(row.y, 6), row.parts, row.face,
            round(row.x, 6), row.diameter, row.shoulder)


def marks_of(pose: Pose) -> str:
    """Where the marks of a member look in the desk: "face side front, face edge up, datum end left"."""
    return _looks(pose, ("face side", "face edge", "datum end"))


def plate_marks_of(pose: Pose) -> str:
    """The same of a plate: "front edge front, top up, left edge left"."""
    return _looks(pose, ("front edge", "top", "left edge"))


def _looks(pose: Pose, names: tuple[str, str, str]) -> str:
    ways: tuple[Vec, ...] = ((0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0))
    return ", ".join(f"{name} {_towards(pose.turn(way))}" for name, way in zip(names, ways, strict=True))


def _towards(normal: Vec) -> str:
    words = (("left", "right"), ("front", "back"), ("down", "up"))
    told = [words[i][normal[i] > 0] for i in sorted(range(3), key=lambda i: (-round(abs(normal[i]), 6), i))
            if abs(normal[i]) > 0.01]
    return " and ".join(told)
