"""The frozen desk: what every check and document is made from, written down as model.json.

The revision is the hash of model.json, which holds the profiles and the catalogue values used.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from deskmodel.component import Component, KeepOut, Port
from deskmodel.desk import Desk, GapRule, LiftOff, PlacedKeepOut
from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart
from deskmodel.features import FEATURES, Box3, Prism, Revolve
from deskmodel.findings import Acceptance
from deskmodel.frames import Pose, Vec
from deskmodel.hardware import Hardware
from deskmodel.joints import Contact, JointRecord, Layout, Site
from deskmodel.materials import Material
from deskmodel.materials import material as material_named
from deskmodel.part import (
    Bodies,
    BoxBlank,
    CustomBlank,
    CustomShape,
    Member,
    Plate,
    SheetBlank,
    TurnedBlank,
    with_features,
)
from deskmodel.profiles import Profile

__all__ = ["SCHEMA", "DeskModel", "Parameter", "encode", "freeze", "read_json", "resolve_customs", "revision", "write_json"]

SCHEMA = 1

Parameter = int | float | str | bool


@dataclass(frozen=True)
class DeskModel:
    """Everything that shapes the desk. Parts in the order of their names, hardware of the joints included."""

    name: str
    parameters: tuple[tuple[str, Parameter], ...]
    envelope: Vec | None
    parts: tuple[PlacedPart, ...]
    joints: tuple[JointRecord, ...]
    contacts: tuple[Contact, ...]
    gaps: tuple[GapRule, ...]
    keep_outs: tuple[PlacedKeepOut, ...]
    lifts: tuple[LiftOff, ...]
    acceptances: tuple[Acceptance, ...]
    materials: tuple[Material, ...]

    def part(self, name: str) -> PlacedPart:
        for part in self.parts:
            if part.name == name:
                return part
        raise KeyError(name)


def freeze(desk: Desk, parameters: dict[str, Parameter] | None = None) -> tuple[DeskModel, dict[str, str]]:
    """The model, and where in the script each part, joint and keep-out was made ("desk.py:41").

    Joints are laid out by rank and then by name, so the order of the script changes nothing. InputFault, with the
    line of the joint, where one cannot be laid out."""
    parts = dict(desk.parts)
    lines = {name: str(where) for name, where in desk.lines.items()}
    done = Layout()
    taken: set[str] = set()
    for joint, where in sorted(desk.joints, key=lambda each: (each[0].rank, each[0].title, repr(each[0]))):
        name = _free_name(joint.title, taken)
        try:
            layout = joint.lay_out(Site(parts, tuple(done.records)), name)
            for part_name in sorted({name for name, _ in layout.features}):
                added = [feature for name, feature in layout.features if name == part_name]
                parts[part_name] = replace(parts[part_name], part=with_features(parts[part_name].part, added))
            for piece in layout.hardware:
                if piece.name in parts:
                    raise InputFault(f"a second part named {piece.name!r}", allowed="a name of its own for each part")
                parts[piece.name] = piece
                lines[piece.name] = str(where)
        except InputFault as fault:
            raise fault.located(file=where.file, line=where.line) from None
        lines |= {record.name: str(where) for record in layout.records}
        done.contacts += layout.contacts
        done.records += layout.records
    placed = tuple(parts[name] for name in sorted(parts))
    used = sorted({part.part.material for part in placed})
    model = DeskModel(
        desk.name, tuple(sorted((parameters or {}).items())), desk.envelope, placed,
        tuple(sorted(done.records, key=lambda r: r.name)), tuple(sorted(done.contacts, key=lambda c: (c.male, c.female))),
        tuple(sorted(desk.gaps, key=lambda g: (g.a, g.b, g.minimum, g.reason))),
        tuple(sorted(desk.keep_outs, key=lambda k: k.name)), tuple(sorted(desk.lifts, key=lambda m: m.cover)),
        tuple(desk.acceptances), tuple(material_named(name) for name in used))
    # one form for equal values, however the script wrote them: lists become tuples, 22.0 becomes 22
    normal: DeskModel = _decode(encode(model))
    return normal, lines


def _free_name(title: str, taken: set[str]) -> str:
    name, n = title, 1
    while name in taken:
        n += 1
        name = f"{title} {n}"
    taken.add(name)
    return name


def resolve_customs(model: DeskModel, make: Callable[[CustomBlank], tuple[str, Box3]]) -> DeskModel:
    """The model with the digest and box of each custom shape, which ``make`` finds out."""
    def resolved(placed: PlacedPart) -> PlacedPart:
        part = placed.part
        if not isinstance(part, CustomShape):
            return placed
        digest, box = make(part.blank)
        return replace(placed, part=replace(part, blank=replace(part.blank, digest=digest, box=box)))

    return replace(model, parts=tuple(resolved(part) for part in model.parts))


# ---- model.json

_KINDS: dict[str, type] = {kind.__name__: kind for kind in (
    *FEATURES, Acceptance, Bodies, BoxBlank, Component, Contact, CustomBlank, CustomShape, DeskModel, GapRule, Hardware,
    JointRecord, KeepOut, LiftOff, Material, Member, PlacedKeepOut, PlacedPart, Plate, Port, Pose, Prism, Profile, Revolve,
    SheetBlank, TurnedBlank)}


def encode(value: Any) -> Any:
    """A model value as JSON values: dataclasses say what they are, tuples become lists, whole numbers lose the .0."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = {f.name: encode(getattr(value, f.name)) for f in dataclasses.fields(value)}
        return {"is": type(value).__name__, **fields}
    if isinstance(value, tuple | list):
        return [encode(v) for v in value]
    if isinstance(value, float):
        return int(value) if value.is_integer() else value  # also -0.0 becomes 0
    if value is None or isinstance(value, str | bool | int):
        return value
    raise TypeError(f"{type(value).__name__} has no place in a model")


def write_json(model: DeskModel) -> str:
    """model.json: canonical (keys sorted, one line for each part), equal for equal models."""
    body = encode(model)
    body["schema"] = SCHEMA
    lines = []
    for key in sorted(body):
        value = body[key]
        if isinstance(value, list) and value:
            items = ",\n".join("  " + _dump(v) for v in value)
            lines.append(f" {_dump(key)}: [\n{items}\n ]")
        else:
            lines.append(f" {_dump(key)}: {_dump(value)}")
    return "{\n" + ",\n".join(lines) + "\n}\n"


def read_json(text: str) -> DeskModel:
    """The model of a model.json. InputFault where the file is not one."""
    try:
        body = json.loads(text)
    except json.JSONDecodeError as fault:
        raise InputFault(f"not JSON: {fault.msg}", allowed="a model.json", line=fault.lineno) from None
    if not isinstance(body, dict) or body.pop("schema", None) != SCHEMA:
        raise InputFault("not a model.json of this schema", allowed=f"schema {SCHEMA}")
    body.pop("unreleased", None)  # a remark of whoever wrote the file, no part of the desk
    model = _decode(body)
    if not isinstance(model, DeskModel):
        raise InputFault(f"a {type(model).__name__} instead of a desk", allowed="a model.json")
    return model


def revision(model: DeskModel) -> str:
    """First 12 hex digits of the SHA-256 of model.json."""
    return hashlib.sha256(write_json(model).encode()).hexdigest()[:12]


def _decode(value: Any) -> Any:
    if isinstance(value, list):
        return tuple(_decode(v) for v in value)
    if isinstance(value, dict):
        fields = dict(value)
        kind = _KINDS.get(fields.pop("is", None))
        if kind is None:
            raise InputFault(f"a value that is {value.get('is')!r}", allowed=", ".join(_KINDS))
        try:
            return kind(**{name: _decode(v) for name, v in fields.items()})
        except TypeError as fault:
            raise InputFault(f"{kind.__name__}: {fault}", allowed="the fields of this schema") from None
    return value


def _dump(value: Any) -> str:
    return json.dumps(value, sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(", ", ": "))


