"""Parts of two desks: which is which, what was changed of each, where it stands, what that means for a piece already
made.

A part is the same where its name is; one that has another name and is equal in everything else was renamed. Hardware is
not told piece by piece: it follows from the joints.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any

from deskmodel.component import Component
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.frames import Vec, sub
from deskmodel.model import DeskModel, encode
from deskmodel.part import CustomShape, Member, Part, Plate
from deskmodel.plans.compare_cuts import CutChange, compare_cuts, near, outline_from
from deskmodel.plans.compare_recut import Recut, recut

__all__ = ["Changed", "Move", "PartChange", "PartsCompared", "Serves", "compare_parts", "renamed_to"]


@dataclass(frozen=True, slots=True)
class Changed:
    """A property and its values, old and new."""

    what: str
    old: Any
    new: Any


@dataclass(frozen=True, slots=True)
class Move:
    """``shift`` of the part's datum corner in the desk frame, mm (of a part that was ``turned``: of the lowest corner of
    the box about it)."""

    shift: Vec
    turned: bool


@dataclass(frozen=True, slots=True)
class PartChange:
    """One part that is in both desks, under its new name. ``properties`` and ``cuts`` are its shape and what it is made of,
    ``moved`` only where it stands. ``recut``: what becomes of a piece already made; None where it is right as it is."""

    name: str
    role: str
    properties: tuple[Changed, ...]
    cuts: tuple[CutChange, ...]
    moved: Move | None
    recut: Recut | None

    @property
    def shape_changed(self) -> bool:
        return bool(self.properties or self.cuts)


@dataclass(frozen=True, slots=True)
class Serves:
    """A piece of the old desk that is no longer wanted serves for a new part."""

    part: str
    piece: str
    recut: Recut


@dataclass(frozen=True, slots=True)
class PartsCompared:
    """``added``, ``removed``: (name, role); ``renamed``: (old, new). ``changed``: in shape, in properties or in place."""

    added: tuple[tuple[str, str], ...]
    removed: tuple[tuple[str, str], ...]
    renamed: tuple[tuple[str, str], ...]
    changed: tuple[PartChange, ...]
    serves: tuple[Serves, ...]
    unresolved: tuple[str, ...]


def compare_parts(old: DeskModel, new: DeskModel) -> PartsCompared:
    """All but hardware."""
    was = {placed.name: placed for placed in old.parts if placed.role != "hardware"}
    now = {placed.name: placed for placed in new.parts if placed.role != "hardware"}
    renamed = renamed_to(old, new)
    back = {after: before for before, after in renamed.items()}
    removed = tuple(placed for name, placed in was.items() if name not in now and name not in renamed)
    added = tuple(placed for name, placed in now.items() if name not in was and name not in back)
    changed = []
    for name, placed in now.items():
        if name in back or name not in was:
            continue
        change = _change(was[name], placed, renamed)
        if change is not None:
            changed.append(change)
    unresolved = tuple(name for name, placed in now.items() if name in was and _unresolved(was[name].part, placed.part))
    return PartsCompared(tuple((each.name, each.role) for each in added), tuple((each.name, each.role) for each in removed),
                         tuple(sorted(renamed.items())), tuple(changed), tuple(_served(removed, added)), unresolved)


def renamed_to(old: DeskModel, new: DeskModel) -> dict[str, str]:
    """Old name -> new name of parts that are equal in everything else, where they stand included."""
    was = {placed.name: placed for placed in old.parts if placed.role != "hardware"}
    now = {placed.name: placed for placed in new.parts if placed.role != "hardware"}
    free: dict[str, list[str]] = {}
    for name, placed in now.items():
        if name not in was:
            free.setdefault(_likeness(placed), []).append(name)
    renamed = {}
    for name, placed in was.items():
        if name not in now and free.get(_likeness(placed)):
            renamed[name] = free[_likeness(placed)].pop(0)
    return renamed


def _likeness(placed: PlacedPart) -> str:
    """Equal for parts that differ in nothing but names."""
    part = encode(placed.part)
    part.pop("name")
    for feature in part.get("features", ()):
        feature.pop("name")
    features = sorted(map(repr, part.pop("features", ())))
    return repr((_rounded(part), features, placed.role, _rounded(encode(placed.pose))))


def _rounded(value: Any) -> Any:
    if isinstance(value, float):
        return round(value, 6) + 0.0
    if isinstance(value, dict):
        return {key: _rounded(each) for key, each in sorted(value.items())}
    return [_rounded(each) for each in value] if isinstance(value, list) else value


def _change(was: PlacedPart, now: PlacedPart, renamed: Mapping[str, str]) -> PartChange | None:
    properties = tuple(_properties(was, now, renamed))
    cuts = compare_cuts(was.part, now.part) if type(was.part) is type(now.part) else ()
    moved = _moved(was, now)
    if not properties and not cuts and moved is None:
        return None
    verdict = None
    if any(change.what != "relabelled" for change in cuts) or any(each.what in _SHAPE for each in properties):
        verdict = _verdict(was.part, now.part)
    return PartChange(now.name, now.role, properties, cuts, moved, verdict)


_SHAPE = ("kind", "section", "length", "outline", "size", "thickness", "material", "flanges", "printed", "shape")


def _verdict(was: Part, now: Part) -> Recut | None:
    """None of equipment: it is bought, not made."""
    if isinstance(was, Member | Plate):
        return recut(was, now)
    if isinstance(was, CustomShape):
        return Recut("print again") if was.printed else Recut("not known", reason="a custom shape")
    return None


def _properties(was: PlacedPart, now: PlacedPart, renamed: Mapping[str, str]) -> Iterator[Changed]:
    if was.role != now.role:
        yield Changed("role", was.role, now.role)
    group = renamed.get(was.group, was.group) if was.group is not None else None
    if group != now.group:
        yield Changed("belongs to", was.group, now.group)
    old, new = was.part, now.part
    if type(old) is not type(new):
        yield Changed("kind", type(old).__name__.lower(), type(new).__name__.lower())
        return
    for field in fields(old):
        if field.name in ("name", "features"):
            continue
        before, after = getattr(old, field.name), getattr(new, field.name)
        if field.name == "outline" and isinstance(old, Plate) and isinstance(new, Plate):
            yield from _outlines(old, new)
        elif field.name == "blank" and isinstance(old, CustomShape) and isinstance(new, CustomShape):
            yield from _customs(old, new)
        elif not _same(before, after):
            yield Changed(field.name.replace("_", " "), before, after)


def _outlines(old: Plate, new: Plate) -> Iterator[Changed]:
    (a0, b0, a1, b1), (c0, d0, c1, d1) = old.outline.bounds, new.outline.bounds
    if not near((a1 - a0, b1 - b0), (c1 - c0, d1 - d0)):
        yield Changed("size", (a1 - a0, b1 - b0), (c1 - c0, d1 - d0))
    elif not near(outline_from(old.outline, a0, b0), outline_from(new.outline, c0, d0)):
        yield Changed("outline", outline_from(old.outline, a0, b0), outline_from(new.outline, c0, d0))


def _customs(old: CustomShape, new: CustomShape) -> Iterator[Changed]:
    """Of shapes that were not made nothing is known but the code that makes them."""
    for name in ("script", "function", "parameters"):
        if getattr(old.blank, name) != getattr(new.blank, name):
            yield Changed(name, getattr(old.blank, name), getattr(new.blank, name))
    if not _unresolved(old, new) and old.blank.digest != new.blank.digest:
        yield Changed("shape", old.blank.digest[:12], new.blank.digest[:12])


def _unresolved(old: Part, new: Part) -> bool:
    return isinstance(old, CustomShape) and isinstance(new, CustomShape) and not (old.blank.digest and new.blank.digest)


def _same(a: Any, b: Any) -> bool:
    return _rounded(encode(a)) == _rounded(encode(b)) or near(a, b)


def _moved(was: PlacedPart, now: PlacedPart) -> Move | None:
    turned = not near(was.pose.rotation, now.pose.rotation)
    shift = sub(placed_box(now)[0], placed_box(was)[0]) if turned else sub(_datum_corner(now), _datum_corner(was))
    x, y, z = (round(c, 9) + 0.0 for c in shift)
    return Move((x, y, z), turned) if turned or not near((x, y, z), (0.0, 0.0, 0.0)) else None


def _datum_corner(placed: PlacedPart) -> Vec:
    """Where the part's datums meet, in the desk: its own origin may lie anywhere."""
    corner = placed.part.blank.bounds[0] if isinstance(placed.part, Member | Plate) else (0.0, 0.0, 0.0)
    return placed.pose.apply(corner)


def _served(removed: tuple[PlacedPart, ...], added: tuple[PlacedPart, ...]) -> Iterator[Serves]:
    """The first removed piece, each once, that serves for an added part: as it is, else cut once more."""
    left = list(removed)
    for placed in added:
        if isinstance(placed.part, Component):
            continue
        found = [(each, verdict) for each in left if type(each.part) is type(placed.part)
                 for verdict in (recut(each.part, placed.part),) if verdict.outcome in ("good", "recut")]
        if found:
            piece, verdict = min(found, key=lambda each: (each[1].outcome != "good", len(each[1].cuts), each[0].name))
            left.remove(piece)
            yield Serves(placed.name, piece.name, verdict)
