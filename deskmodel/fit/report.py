"""From results in the frames of base bodies to a report in the desk's frame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deskmodel.fit.asked import Asked, Near
from deskmodel.fit.placed import pose_of, vec
from deskmodel.fit.problem import (
    ContactFault,
    DesignedContact,
    FitProblem,
    FitReport,
    GapFault,
    NotMeasured,
    Overlap,
    OverlapKind,
)
from deskmodel.fit.result import GapFacts, OverlapFacts, PairResult
from deskmodel.fit.shapes import ShapeTable
from deskmodel.fit.spin import Relative
from deskmodel.frames import Pose, Vec, scale
from deskmodel.tolerances import LENGTH

__all__ = ["Told", "contact_fault", "tell"]

_SAME = np.array([10**9, 0, 0, 0, 10**9, 0, 0, 0, 10**9, 0, 0, 0])  # key of the pose that changes nothing


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """The pairs of a run: ``base`` and ``other`` (m,) are numbers of bodies."""

    problem: FitProblem
    asked: Asked
    near: Near
    base: NDArray[np.int64]
    other: NDArray[np.int64]
    relative: Relative
    shapes: ShapeTable


def tell(told: Told, results: list[PairResult]) -> FitReport:
    overlaps: list[Overlap] = []
    gaps: list[GapFault] = []
    unknown: list[NotMeasured] = []
    for row, result in enumerate(results):
        if result.clear:
            continue
        if result.why is not None:
            names = told.problem.bodies
            unknown.append(NotMeasured(names[int(told.near.i[row])].name, names[int(told.near.j[row])].name,
                                       result.why))
        if result.overlap is not None:
            overlaps.append(_overlap(told, row, result.overlap))
        if result.gap is not None:
            gaps += _gaps(told, row, result.gap)
    return FitReport(tuple(overlaps), tuple(gaps), (), tuple(unknown))


def contact_fault(contact: DesignedContact, male: Pose, share: float, point: Vec) -> ContactFault:
    """``point`` in the male's frame; ``male``: its pose."""
    return ContactFault(contact.male, contact.female, male.apply(point), share, contact.reason)


def _outward(told: Told, row: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """From the frame of the result to the desk's."""
    base = int(told.base[row])
    rotation, origin = told.near.placed.rotation[base], told.near.placed.origin[base]
    back, shift = told.relative.back_rotation[row], told.relative.back_origin[row]
    return rotation @ back, rotation @ shift + origin


def _overlap(told: Told, row: int, facts: OverlapFacts) -> Overlap:
    rotation, origin = _outward(told, row)
    rim = facts.rim @ rotation.T + origin
    base, other = int(told.base[row]), int(told.other[row])
    kind: OverlapKind = facts.kind
    shape = told.shapes.of_body
    if shape[base] == shape[other] and np.abs(told.relative.keys[row] - _SAME).max() <= 1:
        kind = "duplicate"
    first, second = sorted((base, other))
    if kind == "swallowed":
        first, second = (base, other) if facts.outer == 0 else (other, base)
    bodies = told.problem.bodies
    return Overlap(bodies[first].name, bodies[second].name, kind, facts.volume, facts.penetration,
                   pose_of(rotation, origin).apply(facts.point),
                   (vec(rim.min(axis=0)), vec(rim.max(axis=0))), facts.pieces)


def _gaps(told: Told, row: int, facts: GapFacts) -> list[GapFault]:
    pose = pose_of(*_outward(told, row))
    base, other = pose.apply(facts.point_base), pose.apply(facts.point_other)
    way = pose.turn(facts.way)
    name = told.problem.bodies[int(told.base[row])].name
    found = []
    for gap in told.asked.gaps[(int(told.near.i[row]), int(told.near.j[row]))]:
        if facts.value >= gap.minimum - LENGTH:
            continue
        if gap.a == name:
            found.append(GapFault(gap.a, gap.b, facts.value, gap.minimum, base, other, way, gap.reason))
        else:
            found.append(GapFault(gap.a, gap.b, facts.value, gap.minimum, other, base, scale(way, -1.0), gap.reason))
    return found
