"""An insert stands too near an edge, a glue line or a dowelled end.

Finds: inserts nearer than their outside diameter to an edge of the face they are in (notches, grooves and bores that open
    in it included), nearer than 20 mm to where another part's end is dowelled on, nearer than 40 mm to an end of their own
    member that carries dowels.
Why it matters: the insert's thread wedges the wood apart and splits it, and an end glued on comes loose.
How measured: from the insert's axis to the outline of the face, to the boxes of cuts, and to the boxes of the glued faces in
    the desk. Inserts of one row are told once, the one that lacks most first.
Limits: side grain glued to side grain (laminates, bonds) is one piece of wood and asks no distance. The boxes of cuts are
    larger than slanting cuts. Nothing here is calculated: less wood can hold where the insert is bedded in epoxy.
Sources: 1 × outside diameter, 20 and 40 mm: common practice.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._fixings import Fixing, fixings, grouped
from deskmodel.features import Box3, Hole
from deskmodel.features._base import span
from deskmodel.findings import Finding
from deskmodel.frames import Vec
from deskmodel.joints import JointRecord
from deskmodel.joints.face_dowels import ENDS
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]

DIAMETERS = 1.0
FROM_GLUE_LINE = 20.0
FROM_DOWELLED_END = 40.0
"""mm, the same as rows of screws keep when a joint lays them out (common practice)."""

_DOWELLED = ("dowel joint", "through dowels")


@dataclass(frozen=True)
class _Near:
    distance: float
    wanted: float
    what: str
    point: Vec


def run(facts: Facts) -> list[Finding]:
    dowelled: dict[str, list[JointRecord]] = {}
    for record in sorted(facts.model.joints, key=lambda each: each.name):
        if record.kind in _DOWELLED:
            for name in {record.a, record.b}:
                dowelled.setdefault(name, []).append(record)
    found = []
    for parts, inserts in grouped(_near(facts, dowelled)):
        worst = min(inserts, key=lambda each: (round(each.distance - each.wanted, 6), each.what))
        others = f"; {len(inserts) - 1} more of its row stand too near as well" if len(inserts) > 1 else ""
        found.append(Finding(
            "insert-near-edge", "warn", parts, f"{worst.what}, at {at(worst.point)}{others}",
            "move the screw, take a smaller insert, or bed it in epoxy and accept this", point=worst.point,
            measured=worst.distance, required=worst.wanted, unit="mm", source="common practice",
            lines=lines_of(facts, parts)))
    return found


def _near(facts: Facts, dowelled: dict[str, list[JointRecord]]) -> Iterator[tuple[tuple[str, ...], _Near]]:
    for fixing in fixings(facts.model):
        if fixing.insert_size is None or fixing.pilot is None or fixing.pilot.part.name != fixing.into:
            continue
        for near in (_to_edge(fixing), *(_to_glue(fixing, record) for record in dowelled.get(fixing.into, ()))):
            if near is not None and near.distance < near.wanted - LENGTH:
                yield (fixing.over, fixing.into), near


def _to_edge(fixing: Fixing) -> _Near:
    pilot, goods, piece = fixing.pilot, fixing.insert_size, fixing.insert
    assert pilot is not None
    assert goods is not None
    assert piece is not None
    placed = pilot.part
    distance = pilot.face.outline.distance(pilot.hole.at)
    own = placed.part.blank.face(pilot.face.name) if pilot.face.name in placed.part.blank.face_names else None
    if own is not None:
        u, v = pilot.hole.at
        for feature in placed.part.features:
            if isinstance(feature, Hole) and feature.purpose in ("dowel", "insert", "screw"):
                continue
            for removal in feature.removals(placed.part.blank):
                if span(removal.bounds, own.normal, own.origin)[1] > -LENGTH:  # it opens in this face
                    (u0, u1), (v0, v1) = (span(removal.bounds, axis, own.origin) for axis in (own.u, own.v))
                    distance = min(distance, math.hypot(max(u0 - u, u - u1, 0.0), max(v0 - v, v - v1, 0.0)))
    return _Near(distance, DIAMETERS * goods.outside, f"{piece.name} stands {distance:.1f} mm from an edge of {fixing.into}"
                 f", it is Ø {goods.outside:g}", pilot.mouth)


def _to_glue(fixing: Fixing, record: JointRecord) -> _Near:
    assert fixing.nut is not None
    assert fixing.pilot is not None
    assert fixing.insert is not None
    a, b = fixing.at(fixing.nut[0]), fixing.at(fixing.nut[1])
    box: Box3 = (_pick(min, a, b), _pick(max, a, b))
    distance = math.hypot(*(max(record.region[0][i] - box[1][i], box[0][i] - record.region[1][i], 0.0) for i in range(3)))
    own_face = record.faces[0] if record.a == fixing.into else record.faces[1]
    other = record.b if record.a == fixing.into else record.a
    at_end = own_face in ENDS
    where = f"the end dowelled to {other}" if at_end else f"the glue line of {other}"
    return _Near(distance, FROM_DOWELLED_END if at_end else FROM_GLUE_LINE,
                 f"{fixing.insert.name} stands {distance:.1f} mm from {where} in {fixing.into}", fixing.pilot.mouth)


def _pick(which, a: Vec, b: Vec) -> Vec:  # type: ignore[no-untyped-def]  # min or max
    return which(a[0], b[0]), which(a[1], b[1]), which(a[2], b[2])


CHECK = Check("insert-near-edge", "model", __doc__, run)
