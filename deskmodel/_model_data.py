"""The frozen desk as a value, and how it is written down."""

from __future__ import annotations

import dataclasses
import hashlib
import numbers
from dataclasses import dataclass
from functools import cached_property, lru_cache
from operator import is_
from typing import Any

from deskmodel._model_text import dump, laid_out
from deskmodel.bay import Bay
from deskmodel.bends import Flange
from deskmodel.component import Component, KeepOut, Port
from deskmodel.desk import GapRule, LiftOff, PlacedKeepOut, Swing
from deskmodel.faces import PlacedPart
from deskmodel.features import FEATURES, Prism, Revolve
from deskmodel.findings import Acceptance
from deskmodel.finish import Finish
from deskmodel.frames import Pose, Vec
from deskmodel.hardware import Hardware
from deskmodel.joints import Contact, JointRecord
from deskmodel.materials import Material
from deskmodel.part import (
    Bodies,
    BoxBlank,
    CustomBlank,
    CustomShape,
    Member,
    Plate,
    SheetBlank,
    TurnedBlank,
)
from deskmodel.profiles import Profile
from deskmodel.service import Laser, Limits, Service, ServiceBend, Sheet
from deskmodel.veneer import Veneer
from deskmodel.workshop import Allowance, Bit, Bush, Countersink, HandDrill, Planer, Printer, PrintScale, Saw, Workshop

__all__ = ["KINDS", "SCHEMA", "DeskModel", "Parameter", "canonical", "encode", "fields_of", "normal", "revision",
           "write_json"]

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


KINDS: dict[str, type] = {kind.__name__: kind for kind in (
    *FEATURES, Acceptance, Allowance, Bay, Bit, Bodies, BoxBlank, Bush, Component, Contact, Countersink, CustomBlank,
    CustomShape, DeskModel, Finish, Flange, GapRule, HandDrill, Hardware, JointRecord, KeepOut, Laser, LiftOff, Limits,
    Material, Member, PlacedKeepOut, PlacedPart, Planer, Plate, Port, Pose, Printer, PrintScale, Prism, Profile, Revolve,
    Saw, Service, ServiceBend, Sheet, SheetBlank, Swing, TurnedBlank, Veneer, Workshop)}


_NORMAL = frozenset({str, bool, int, type(None), Profile})
"""Types of values that are in normal form from the start."""


def encode(value: Any) -> Any:
    """A model value as JSON values: dataclasses say what they are, tuples become lists, whole numbers lose the .0."""
    kind: Any = type(value)
    if kind is str or value is None:
        return value
    names = fields_of(kind)
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


def normal(value: Any) -> Any:
    """What ``_decode(encode(value))`` makes of it, without asking every constructor again whether it is allowed; itself
    where it is that already."""
    kind: Any = type(value)
    if kind in _NORMAL:
        return value
    if kind is float:
        return int(value) if value.is_integer() else value
    if kind is tuple:
        made = [normal(v) for v in value]
        return value if all(map(is_, made, value)) else tuple(made)
    names = fields_of(kind)
    if names is not None:
        given = [getattr(value, name) for name in names]
        made = [normal(each) for each in given]
        if all(map(is_, made, given)):
            return value
        new = object.__new__(kind)
        for name, each in zip(names, made, strict=True):
            object.__setattr__(new, name, each)
        return new
    return tuple([normal(v) for v in value]) if isinstance(value, tuple | list) else encode(value)


@lru_cache(maxsize=1000)
def fields_of(kind: Any) -> tuple[str, ...] | None:
    """The fields of a dataclass; None of any other type. A class itself is of type ``type``, and no value."""
    return tuple(field.name for field in dataclasses.fields(kind)) if dataclasses.is_dataclass(kind) else None


def write_json(model: DeskModel) -> str:
    """model.json: canonical (keys sorted, one line for each part), equal for equal models."""
    return model._text  # asked for by every file that is stamped with the revision


def _written(model: DeskModel) -> str:
    body = {**encode(model), "schema": SCHEMA}
    return laid_out({key: [dump(v) for v in value] if isinstance(value, list) and value else dump(value)
                     for key, value in body.items()})


def revision(model: DeskModel) -> str:
    """First 12 hex digits of the SHA-256 of model.json."""
    return hashlib.sha256(write_json(model).encode()).hexdigest()[:12]


def canonical(value: Any) -> str:
    return dump(encode(value))
