"""A part's shape as the fit engine asks for it: a key now, the solid only when it is needed. Loads no kernel."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field, replace
from typing import Any

from deskmodel._remembered import remembered
from deskmodel.features import Prism, Removal
from deskmodel.part import Blank, Bodies, CustomBlank, FoldedBlank, Part, removals_of

__all__ = ["PartShape", "prism_shape", "removed_shape", "shape_of"]


@dataclass(frozen=True)
class PartShape:
    """A part's shape for the fit engine. ``key`` is a hash of blank and removals, so names and materials do not
    count: forty equal screws are one shape."""

    blank: Blank
    removals: tuple[Removal, ...]
    key: str = field(compare=True)
    label: str = field(compare=False, default="")

    def build(self) -> object:
        """One solid. BuildFault where the kernel fails or its volume is not the closed form's."""
        from deskmodel.solids.build import build_solid  # a run that finds all shapes in the cache loads no kernel

        return build_solid(self.blank, self.removals, self.label)


@remembered
def shape_of(part: Part) -> PartShape:
    """The shape of a part (custom shapes come from their own process: ``solids.custom``)."""
    return _shape(part.blank, removals_of(part), part.name)


def removed_shape(blank: Blank, removals: tuple[Removal, ...], label: str) -> PartShape:
    """The shape of a blank less removals that is no part of a desk."""
    return _shape(blank, removals, label)


def prism_shape(room: Prism, label: str) -> PartShape:
    """The shape of a keep-out's room, in the frame that carries it."""
    return replace(_room_shape(room), label=label)


@remembered
def _room_shape(room: Prism) -> PartShape:
    return _shape(Bodies((room,)), (), "")


def _shape(blank: Blank, removals: tuple[Removal, ...], label: str) -> PartShape:
    # a custom shape is known by what its code made, not by the code
    what: Any
    if isinstance(blank, CustomBlank):
        what = ["custom", blank.digest]
    elif isinstance(blank, FoldedBlank):  # neither names nor K shape the folded sheet
        what = ["folded", blank.thickness, [_plain((p.region, p.origin, p.u, p.w)) for p in blank.folding.panels],
                [_plain((b.start, b.stop, b.angle, b.radius, b.up, b.centre)) for b in blank.folding.bends]]
    else:
        what = _plain(blank)
    text = json.dumps([what, [_plain(r) for r in removals]], separators=(",", ":"))
    return PartShape(blank, removals, hashlib.sha256(text.encode()).hexdigest(), label)


def _plain(value: Any) -> Any:
    """Nested lists of numbers and type names: equal for equal geometry."""
    if hasattr(value, "__dataclass_fields__"):
        return [type(value).__name__, *(_plain(getattr(value, name)) for name in value.__dataclass_fields__)]
    if isinstance(value, tuple):
        return [_plain(v) for v in value]
    return value + 0.0 if isinstance(value, int | float) and not isinstance(value, bool) else value
