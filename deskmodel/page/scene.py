"""What the page shows, as data: a record that can be written as JSON, and the shapes that it names.

``Scene.record``; lengths in mm, desk frame unless something else is said, kg, degrees; indices count from 0:

    schema, name, revision, unreleased (why nobody should build from this, or null), unit "mm", parameters
    error         {"chord", "rounding"}: how far a drawn surface lies off the true one at most, and its coordinates besides
    materials     name -> {"kind", "colour": sRGB 0 to 1}
    parts         [{"name", "kind" (the part's role), "text" (what the shop reads, or null), "group", "bays": [names],
                  "material", "size" (along its own x, y, z), "mass", "shape": key, null where there is none, and then "why",
                  "pose": 12 numbers, rows of the rotation with the origin at each row's end, "box": [low, high], "rise": by
                  how much it is lifted when the desk is drawn apart (1 is all), "line" of the script, "exact": see
                  ``_exact``}]
    joints        [{"name", "kind", "a", "b", "text", "hardware": [names], "apart", "layer", "faces", "point"}]
    bays          [{"name", "x", "y"}]
    openings      [{"cover", "parts": [names], "tool", and "lift": {"direction", "travel"} or "turn": {"point", "axis",
                  "angle"}}]
    checks        [{"id", "title", "outcome", "reason"}]
    findings      [{as in findings.json, and "title", "evidence"}]; evidence: null, or any of {"span": [from, to], "bodies":
                  [{"shape", "pose"}] the room that two bodies share, "room": {"shape", "pose"} the keep-out it is about}
    changes       null, or part names against the scene before: {"new", "moved", "cut", "gone"}
    figures       {"mass", "unweighed": [names], "centre", "box"}

``Scene.shapes``: key -> bytes as of ``shape_blob``; the key is their hash.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from deskmodel.bay import Bay
from deskmodel.checks import check_named
from deskmodel.desk import LiftOff, Swing
from deskmodel.drawing.layers import rises
from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import Box3
from deskmodel.findings import CheckOutcome, Finding
from deskmodel.frames import Pose
from deskmodel.hardware import Hardware
from deskmodel.model import DeskModel, revision
from deskmodel.page._exact import exact_record, rounded
from deskmodel.page.shape_blob import ROUNDING
from deskmodel.plans import DeskMass, desk_box

__all__ = ["SCHEMA", "PageBody", "PageShape", "Scene", "part_changes", "scene_of"]

SCHEMA = 1
_LAP = 15.0  # mm by which a cover may lie over the sides of its bay


@dataclass(frozen=True)
class PageShape:
    """``data`` as of ``shape_blob``; ``chord`` of its mesh, mm."""

    data: bytes = field(repr=False)
    chord: float

    @cached_property
    def key(self) -> str:
        return hashlib.sha256(self.data).hexdigest()[:24]


@dataclass(frozen=True, slots=True)
class PageBody:
    """A shape where it stands: what two parts share, or a keep-out."""

    shape: PageShape
    pose: Pose


@dataclass(frozen=True, slots=True)
class Scene:
    record: Mapping[str, Any]
    shapes: Mapping[str, bytes]


def scene_of(model: DeskModel, outcomes: Sequence[CheckOutcome], shapes: Mapping[str, PageShape | str], *,
             mass: DeskMass | None = None, shared: Mapping[frozenset[str], PageBody] | None = None,
             rooms: Mapping[str, PageBody] | None = None, lines: Mapping[str, str] | None = None,
             unreleased: str | None = None, before: Scene | None = None) -> Scene:
    """``shapes``: of each part by name, or why there is none; ``shared``: what two bodies of a finding share; ``rooms``: the
    keep-outs that findings name, by the engine's name of their body; ``lines``: see ``freeze``; ``before``: the last good
    scene, against which changes are told."""
    known: dict[str, bytes] = {}
    parts = _parts(model, shapes, mass, lines or {}, known)
    findings = [_finding(finding, shared or {}, rooms or {}, known) for outcome in outcomes for finding in outcome.findings]
    chords = [shape.chord for shape in shapes.values() if isinstance(shape, PageShape)]
    record: dict[str, Any] = {
        "schema": SCHEMA, "name": model.name, "revision": revision(model), "unreleased": unreleased, "unit": "mm",
        "parameters": dict(model.parameters),
        "error": {"chord": round(max(chords, default=0.0), 4), "rounding": ROUNDING},
        "materials": {each.name: {"kind": each.kind, "colour": list(each.colour)} for each in model.materials},
        "parts": parts,
        "joints": [{"name": each.name, "kind": each.kind, "a": each.a, "b": each.b, "text": each.text,
                    "hardware": list(each.hardware), "apart": round(each.apart, 6), "layer": each.layer,
                    "faces": list(each.faces), "point": rounded(each.point)} for each in model.joints],
        "bays": [{"name": bay.name, "x": rounded(bay.x), "y": rounded(bay.y)} for bay in model.bays],
        "openings": [*map(_opening, model.lifts), *map(_opening, model.swings)],
        "checks": [{"id": each.id, "title": _title(each.id), "outcome": each.outcome,
                    "reason": "left out" if each.deselected else each.reason} for each in outcomes],
        "findings": findings,
        "figures": _figures(model, mass),
    }
    record["changes"] = None if before is None else part_changes(before.record, record)
    return Scene(record, known)


def part_changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, list[str]]:
    """Part names of two records: those that are new, stand elsewhere, have another shape or material, are gone."""
    old = {part["name"]: part for part in before["parts"]}
    now = {part["name"]: part for part in after["parts"]}
    both = [name for name in now if name in old]

    def other(name: str, *keys: str) -> bool:
        return any(old[name][key] != now[name][key] for key in keys)

    cut = [name for name in both if other(name, "shape", "material")]
    return {"new": [name for name in now if name not in old], "cut": cut,
            "moved": [name for name in both if name not in cut and other(name, "pose")],
            "gone": [name for name in old if name not in now]}


def _parts(model: DeskModel, shapes: Mapping[str, PageShape | str], mass: DeskMass | None, lines: Mapping[str, str],
           known: dict[str, bytes]) -> list[dict[str, Any]]:
    masses = {each.name: each.kg for each in mass.parts} if mass else {}
    lifted = rises(model)
    found = []
    for placed in model.parts:
        shape = shapes.get(placed.name, "it was not built")
        key = None
        if isinstance(shape, PageShape):
            key = shape.key
            known[key] = shape.data
        box = placed_box(placed)
        exact = exact_record(placed.part)
        record = {
            "name": placed.name, "kind": placed.role, "text": _text(placed), "group": placed.group,
            "bays": [bay.name for bay in model.bays if _within(placed, box, bay)], "material": placed.part.material,
            "size": exact["size"], "mass": _kg(masses.get(placed.name)),
            "shape": key, "pose": _pose(placed.pose), "box": [rounded(box[0]), rounded(box[1])],
            "rise": round(lifted[placed.name], 3), "line": lines.get(placed.name), "exact": exact}
        if not isinstance(shape, PageShape):
            record["why"] = shape
        found.append(record)
    return found


def _text(placed: PlacedPart) -> str | None:
    part = placed.part
    if isinstance(part, Hardware):
        return part.designation
    sheet, source = getattr(part, "sheet", None), getattr(part, "source", None)
    return f"data sheet {sheet} ({source})" if sheet and source else None


def _within(placed: PlacedPart, box: Box3, bay: Bay) -> bool:
    """By its middle; what is larger than the bay is in none, but a cover may lap over the sides."""
    lap = 0.0 if placed.role in ("member", "plate") else 2 * _LAP
    return all(side[0] <= (low + high) / 2 <= side[1] and high - low <= side[1] - side[0] + lap
               for side, low, high in zip((bay.x, bay.y), box[0], box[1], strict=False))


def _opening(each: LiftOff | Swing) -> dict[str, Any]:
    record: dict[str, Any] = {"cover": each.cover, "parts": list(each.parts), "tool": each.tool}
    if isinstance(each, LiftOff):
        record["lift"] = {"direction": rounded(each.direction, 9), "travel": each.travel}
    else:
        record["turn"] = {"point": rounded(each.point), "axis": rounded(each.axis, 9), "angle": each.angle}
    return record


def _finding(finding: Finding, shared: Mapping[frozenset[str], PageBody], rooms: Mapping[str, PageBody],
             known: dict[str, bytes]) -> dict[str, Any]:
    evidence: dict[str, Any] = {}
    if finding.span is not None:
        evidence["span"] = [rounded(end) for end in finding.span]
    if finding.shared is not None:
        body = shared.get(frozenset(finding.shared))
        evidence["bodies"] = [_body(body, known)] if body else []
        room = next((rooms[name] for name in finding.shared if name in rooms), None)
        if room:
            evidence["room"] = _body(room, known)
    return {"id": finding.id, "title": _title(finding.id), "severity": finding.severity, "parts": list(finding.parts),
            "point": None if finding.point is None else rounded(finding.point), "measured": _figure(finding.measured),
            "required": _figure(finding.required), "unit": finding.unit, "message": finding.message,
            "remedy": finding.remedy, "source": finding.source, "accepted": finding.accepted,
            "lines": list(finding.lines), "evidence": evidence or None}


def _body(body: PageBody, known: dict[str, bytes]) -> dict[str, Any]:
    key = body.shape.key
    known[key] = body.shape.data
    return {"shape": key, "pose": _pose(body.pose)}


def _title(check: str) -> str:
    try:
        return check_named(check).summary
    except InputFault:  # a check of somebody's own
        return check


def _figures(model: DeskModel, mass: DeskMass | None) -> dict[str, Any]:
    box = desk_box(model)
    return {"mass": None if mass is None else round(mass.kg, 4), "unweighed": sorted(mass.unknown) if mass else [],
            "centre": None if mass is None or mass.centre is None else rounded(mass.centre, 3),
            "box": None if box is None else [rounded(box[0]), rounded(box[1])]}


def _pose(pose: Pose) -> list[float]:
    return [value for row, at in zip(pose.rotation, pose.origin, strict=True)
            for value in (*rounded(row, 12), round(at, 6) + 0.0)]


def _figure(value: float | None) -> float | None:
    return None if value is None else round(value, 9) + 0.0


def _kg(value: float | None) -> float | None:
    return None if value is None else round(value, 6) + 0.0
