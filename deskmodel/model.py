"""The frozen desk: what every check and document is made from, written down as model.json.

The revision is the hash of model.json, which holds the profiles and the catalogue values used.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
import numbers
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Any, get_args

from deskmodel._model_text import dump, laid_out, lines_of
from deskmodel._numbers import told
from deskmodel._opening import opened
from deskmodel._remembered import Kept
from deskmodel._typed import check_fields
from deskmodel._veneering import veneered, veneers_named
from deskmodel._where import Where
from deskmodel._witness import put_witnesses
from deskmodel.bay import Bay
from deskmodel.bends import Flange
from deskmodel.component import Component, KeepOut, Port
from deskmodel.desk import Desk, GapRule, LiftOff, PlacedKeepOut, Swing
from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart
from deskmodel.features import FEATURES, Box3, Feature, Prism, Revolve, Stage
from deskmodel.findings import Acceptance
from deskmodel.finish import Finish
from deskmodel.frames import IDENTITY, Pose, Vec, cross, dot, sub
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
from deskmodel.service import Laser, Limits, Service, ServiceBend, Sheet
from deskmodel.veneer import Veneer
from deskmodel.workshop import Allowance, Bit, Bush, Countersink, HandDrill, Planer, Printer, PrintScale, Saw, Workshop

__all__ = ["SCHEMA", "DeskModel", "Parameter", "encode", "freeze", "read_json", "resolve_customs", "revision", "write_json"]

SCHEMA = 1

Parameter = int | float | str | bool

_STAGES = get_args(Stage)


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
    swings: tuple[Swing, ...]
    bays: tuple[Bay, ...]
    acceptances: tuple[Acceptance, ...]
    materials: tuple[Material, ...]
    workshop: Workshop
    service: Service

    def part(self, name: str) -> PlacedPart:
        """KeyError where there is no part of that name."""
        return self._by_name[name]

    @cached_property
    def _by_name(self) -> dict[str, PlacedPart]:
        return {part.name: part for part in self.parts}

    @cached_property
    def _text(self) -> str:
        return _written(self)


def freeze(desk: Desk, parameters: dict[str, Parameter] | None = None) -> tuple[DeskModel, dict[str, str]]:
    """The model, and where in the script each part, joint and keep-out was made, and each finding accepted
    ("desk.py:41").

    Joints are laid out by rank and then by name, so the order of the script changes nothing. InputFault, with the
    line of the joint, where one cannot be laid out."""
    parts = dict(desk.parts)
    lines = {name: str(where) for name, where in desk.lines.items()}
    done = Layout()
    opened_at: list[Where] = []
    taken: set[str] = set()
    carriers = veneers_named(tuple(parts.values()))
    bare: dict[str, list[Feature]] = {}
    for joint, where in sorted(desk.joints, key=lambda each: (each[0].rank, each[0].title, repr(each[0]))):
        name = _free_name(joint.title, taken)
        try:
            layout = joint.lay_out(Site(parts, tuple(done.records)), name)
            for part_name in sorted({name for name, _ in layout.features}):
                added = [feature for name, feature in layout.features if name == part_name]
                if part_name in carriers:
                    bare.setdefault(part_name, []).extend(added)
                    continue
                parts[part_name] = replace(parts[part_name], part=with_features(parts[part_name].part, added))
            for piece in layout.hardware:
                if piece.name in parts:
                    raise InputFault(f"a second part named {piece.name!r}", allowed="a name of its own for each part")
                parts[piece.name] = piece
                lines[piece.name] = str(where)
        except InputFault as fault:
            raise fault.about(name, parts).located(file=where.file, line=where.line) from None
        lines |= {name: str(where) for name in [*(r.name for r in layout.records), *(r.name for r in layout.rooms)]}
        done.openings += layout.openings
        opened_at += [where] * len(layout.openings)
        done.rooms += layout.rooms
        done.contacts += layout.contacts
        done.records += layout.records
    for leaf, plate in sorted(carriers.items()):
        where = desk.lines[plate]
        try:
            if leaf in parts:
                raise InputFault(f"a part named {leaf!r} like the veneer on {plate!r}", allowed="a name of its own for each")
            parts[leaf], bond = veneered(parts[plate], bare.get(leaf, ()))
        except InputFault as fault:
            raise fault.located(file=where.file, line=where.line) from None
        lines |= {leaf: str(where), bond.name: str(where)}
        done.records.append(bond)
    put_witnesses(parts, desk.lines, desk.service)
    placed = tuple(_ordered(parts[name]) for name in sorted(parts))
    keep_outs = [*desk.keep_outs, *(PlacedKeepOut(None, room, IDENTITY) for room in done.rooms)]
    for acceptance, where in zip(desk.acceptances, desk.accepted_at, strict=True):
        lines.setdefault(acceptance.title, str(where))
    lifts, swings = opened(desk.lifts, done.openings, opened_at)
    _check_acceptances(desk, {*parts, *(each.name for each in keep_outs), *(bay.name for bay in desk.bays)})
    used = sorted({part.part.material for part in placed})
    model = DeskModel(
        desk.name, tuple(sorted((parameters or {}).items())), desk.envelope, placed,
        tuple(sorted(done.records, key=lambda r: r.name)),
        tuple(sorted(done.contacts, key=lambda c: (c.male, c.female, _canonical(c)))),
        tuple(sorted(desk.gaps, key=lambda g: (g.a, g.b, g.minimum, g.reason))),
        tuple(sorted(keep_outs, key=lambda k: (k.name, _canonical(k)))),
        lifts, swings,
        tuple(sorted(desk.bays, key=lambda b: b.name)),
        tuple(sorted(set(desk.acceptances), key=lambda a: (a.id, a.parts, a.reason))),
        tuple(material_named(name) for name in used), desk.workshop, desk.service)
    # one form for equal values, however the script wrote them: lists become tuples, 22.0 becomes 22
    normal: DeskModel = _normal(model)
    return normal, lines


def _ordered(placed: PlacedPart) -> PlacedPart:
    """The part with its features by stage, then by content: the order in which a script cut them shapes nothing."""
    features = tuple(sorted(placed.part.features, key=lambda f: (_STAGES.index(f.stage), _canonical(f))))
    if features == tuple(placed.part.features):
        return placed
    return replace(placed, part=replace(placed.part, features=features))


def _check_acceptances(desk: Desk, known: set[str]) -> None:
    """InputFault for an acceptance that names what is not there: it would accept nothing, and nobody would notice."""
    for acceptance, where in zip(desk.acceptances, desk.accepted_at, strict=True):
        for name in acceptance.parts:
            if name not in known:
                raise InputFault(f"a finding accepted about {name!r}, which is no part of the desk", file=where.file,
                                 line=where.line, allowed="the names that the finding tells")


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
    *FEATURES, Acceptance, Allowance, Bay, Bit, Bodies, BoxBlank, Bush, Component, Contact, Countersink, CustomBlank,
    CustomShape, DeskModel, Finish, Flange, GapRule, HandDrill, Hardware, JointRecord, KeepOut, Laser, LiftOff, Limits,
    Material, Member, PlacedKeepOut, PlacedPart, Planer, Plate, Port, Pose, Printer, PrintScale, Prism, Profile, Revolve,
    Saw, Service, ServiceBend, Sheet, SheetBlank, Swing, TurnedBlank, Veneer, Workshop)}


def encode(value: Any) -> Any:
    """A model value as JSON values: dataclasses say what they are, tuples become lists, whole numbers lose the .0."""
    kind: Any = type(value)
    if kind is str or value is None:
        return value
    names = _names(kind)
    if names is not None:
        return {"is": kind.__name__, **{name: encode(getattr(value, name)) for name in names}}
    if kind is tuple or isinstance(value, tuple | list):
        return [encode(v) for v in value]
    if isinstance(value, float):
        value = float(value)  # numpy's own kind of float is one, too
        return int(value) if value.is_integer() else value  # also -0.0 becomes 0
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, numbers.Real):
        return encode(float(value))
    raise TypeError(f"{type(value).__name__} has no place in a model")


def _normal(value: Any) -> Any:
    """What ``_decode(encode(value))`` makes of it, without asking every constructor again whether it is allowed."""
    if isinstance(value, Profile):
        return value  # normal from the start
    kind: Any = type(value)
    names = _names(kind)
    if names is not None:
        made = object.__new__(type(value))
        for name in names:
            object.__setattr__(made, name, _normal(getattr(value, name)))
        return made
    if isinstance(value, tuple | list):
        return tuple([_normal(v) for v in value])
    return encode(value)


@lru_cache(maxsize=1000)
def _names(kind: Any) -> tuple[str, ...] | None:
    """The fields of a dataclass; None of any other type. A class itself is of type ``type``, and no value."""
    return tuple(field.name for field in dataclasses.fields(kind)) if dataclasses.is_dataclass(kind) else None


def write_json(model: DeskModel) -> str:
    """model.json: canonical (keys sorted, one line for each part), equal for equal models."""
    return model._text  # asked for by every file that is stamped with the revision


def _written(model: DeskModel) -> str:
    body = {**encode(model), "schema": SCHEMA}
    return laid_out({key: [dump(v) for v in value] if isinstance(value, list) and value else dump(value)
                     for key, value in body.items()})


@lru_cache(maxsize=2)
def read_json(text: str) -> DeskModel:
    """The model of a model.json. InputFault where the file is not one. The same text is read once: a model is a value; of a
    text that resembles one read before, the lines that differ."""
    model = _read_by_lines(text) or _read_whole(text)
    _check_references(model)
    return model


def _read_by_lines(text: str) -> DeskModel | None:
    """None where the text is not laid out as ours is, or anything in it is not as it should be."""
    lines = lines_of(text)
    if lines is None or lines.get("schema") != str(SCHEMA) or lines.get("is") != dump(DeskModel.__name__):
        return None
    as_written = "unreleased" not in lines
    inner: dict[str, Any] = {}
    try:
        for key, value in lines.items():
            if key not in ("schema", "is", "unreleased"):
                read = [_line(item) for item in (value if isinstance(value, list) else [value])]
                inner[key] = tuple([each for each, _ in read]) if isinstance(value, list) else read[0][0]
                as_written = as_written and all(same for _, same in read)
        model = _made(DeskModel, inner, _check_value)
    except (InputFault, TypeError, ValueError, AttributeError, ArithmeticError, RecursionError):
        return None  # read as a whole it is told where
    if as_written:
        model.__dict__["_text"] = text
    return model if isinstance(model, DeskModel) else None


_LINES = Kept()


def _line(text: str) -> tuple[Any, bool]:
    """The value of a line, which is a value for good: from one save of a script to the next hardly any of them change. And
    whether the line is how that value is written."""
    known = _LINES.get(text)
    if known is None:
        value = _decode(json.loads(text, parse_constant=_no_number), _check_value)
        known = None, (value, dump(encode(value)) == text)
        _LINES.put(text, *known)
    return known[1][0], known[1][1]


def _read_whole(text: str) -> DeskModel:
    try:
        body = json.loads(text, parse_constant=_no_number)
    except json.JSONDecodeError as fault:
        raise InputFault(f"not JSON: {fault.msg}", allowed="a model.json", line=fault.lineno) from None
    except (ValueError, RecursionError) as fault:  # a whole number of thousands of digits; brackets without end
        raise InputFault(f"not JSON: {told(str(fault))}", allowed="a model.json") from None
    if not isinstance(body, dict) or body.pop("schema", None) != SCHEMA:
        raise InputFault("not a model.json of this schema", allowed=f"schema {SCHEMA}")
    body.pop("unreleased", None)  # a remark of whoever wrote the file, no part of the desk
    try:
        model = _decode(body, _check_value)
    except InputFault:
        raise
    except (TypeError, ValueError, AttributeError, ArithmeticError, RecursionError) as fault:
        # a constructor met a value that its annotation forbids before the fields could be looked at
        raise InputFault(f"a value of the wrong kind: {told(str(fault))}", allowed="a model.json") from None
    if not isinstance(model, DeskModel):
        raise InputFault(f"a {type(model).__name__} instead of a desk", allowed="a model.json")
    return model


def revision(model: DeskModel) -> str:
    """First 12 hex digits of the SHA-256 of model.json."""
    return hashlib.sha256(write_json(model).encode()).hexdigest()[:12]


def _decode(value: Any, check: Callable[[Any], None] = lambda made: None) -> Any:
    """The value that ``encode`` wrote; ``check`` is shown every dataclass that is made."""
    if isinstance(value, list):
        return tuple([_decode(v, check) for v in value])
    if isinstance(value, dict):
        fields = dict(value)
        name = fields.pop("is", None)
        kind = _KINDS.get(name) if isinstance(name, str) else None
        if kind is None:
            raise InputFault(f"a value that is {told(name)}", allowed=", ".join(_KINDS))
        return _made(kind, {name: _decode(v, check) for name, v in fields.items()}, check)
    return value


def _made(kind: Any, inner: dict[str, Any], check: Callable[[Any], None]) -> Any:
    names = _names(kind) or ()
    if set(inner) != set(names):
        raise InputFault(f"a {kind.__name__} of {', '.join(sorted(inner))}", allowed=", ".join(names))
    made = kind(**inner)
    check(made)
    return made


def _check_value(made: Any) -> None:
    check_fields(made)
    if isinstance(made, Pose):
        x, y, z = (made.axis(i) for i in range(3))
        if max(abs(dot(x, x) - 1), abs(dot(y, y) - 1), *(abs(v) for v in sub(cross(x, y), z))) > 1e-6:
            raise InputFault(f"{told(made.rotation)} is no rotation", allowed="a right-handed frame of unit axes")


def _no_number(text: str) -> float:
    raise ValueError(f"{text} is no number")


def _check_references(model: DeskModel) -> None:
    """InputFault where the model names a part that it has not, or has one twice."""
    names = [part.name for part in model.parts]
    if len(set(names)) != len(names):
        raise InputFault("two parts of one name", allowed="a name of its own for each part")
    bays = [bay.name for bay in model.bays]
    if len(set(bays)) != len(bays):
        raise InputFault("two bays of one name", allowed="a name of its own for each bay")
    told_of = [(joint.a, joint.b, *joint.hardware) for joint in model.joints]
    told_of += [(rule.a, rule.b) for rule in (*model.gaps,)] + [(c.male, c.female) for c in model.contacts]
    told_of += [(lift.cover, *lift.parts) for lift in model.lifts]
    told_of += [(swing.cover, *swing.parts) for swing in model.swings]
    told_of += [(room.owner,) for room in model.keep_outs if room.owner is not None]
    for name in sorted({name for group in told_of for name in group} - set(names)):  # the same one on every run
        raise InputFault(f"a joint, gap, lift or keep-out of {name!r}, which is no part", allowed="names of parts")


def _canonical(value: Any) -> str:
    return dump(encode(value))
