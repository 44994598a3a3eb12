"""Materials by name, each with density, kind and source, from ``catalogue/materials.toml``."""

from __future__ import annotations

import tomllib
from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal, get_args

from deskmodel._numbers import told
from deskmodel.errors import InputFault

__all__ = ["Material", "MaterialKind", "material", "material_names"]

MaterialKind = Literal["timber", "metal", "ply", "glass", "plastic", "equipment", "veneer"]


@dataclass(frozen=True, slots=True)
class Material:
    """``density`` in kg/m³ (None: the part states its own mass); ``colour`` red, green, blue 0 to 1."""

    name: str
    kind: MaterialKind
    density: float | None
    colour: tuple[float, float, float]
    source: str

    @property
    def metal(self) -> bool:
        return self.kind == "metal"


@cache
def _table() -> dict[str, Material]:
    text = (files("deskmodel") / "catalogue" / "materials.toml").read_text(encoding="utf-8")
    table = {}
    for name, entry in tomllib.loads(text).items():
        if entry["kind"] not in get_args(MaterialKind):
            raise InputFault(f"kind {entry['kind']!r}", allowed=", ".join(get_args(MaterialKind)), key=name)
        red, green, blue = entry["colour"]
        table[name] = Material(name, entry["kind"], entry.get("density"), (red, green, blue), entry["source"])
    return table


def material_names(kinds: Collection[str] | None = None) -> tuple[str, ...]:
    """The names there are, of these kinds only."""
    return tuple(name for name, each in _table().items() if kinds is None or each.kind in kinds)


def material(name: str) -> Material:
    """The material of that name. InputFault lists the names there are."""
    found = _table().get(name) if isinstance(name, str) else None
    if found is None:
        raise InputFault(f"material {told(name)}", allowed=", ".join(_table()))
    return found
