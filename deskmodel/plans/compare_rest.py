"""What else differs between two desks: joints, hardware, bays, mass, and all that the script asks for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

from deskmodel.component import Component
from deskmodel.frames import IDENTITY, sub
from deskmodel.hardware import Hardware
from deskmodel.joints import JointRecord
from deskmodel.model import DeskModel, encode
from deskmodel.plans.bays import BayRow, bay_rows
from deskmodel.plans.compare_cuts import near
from deskmodel.plans.compare_parts import Changed
from deskmodel.plans.mass import DeskMass

__all__ = ["HardwareCount", "MassCompared", "Named", "compare_bays", "compare_demands", "compare_hardware", "compare_joints",
           "compare_mass"]


@dataclass(frozen=True, slots=True)
class Named:
    """A thing of ``kind`` ("joint", "bay", "gap", "keep-out" …): "added", "removed" or "changed", and then what of it."""

    kind: str
    name: str
    what: str
    changes: tuple[Changed, ...] = ()


@dataclass(frozen=True, slots=True)
class HardwareCount:
    """Pieces of one designation. ``altered``: the same designation has other sizes, materials or source now."""

    designation: str
    old: int
    new: int
    altered: bool


@dataclass(frozen=True, slots=True)
class MassCompared:
    """kg of all parts whose mass is known in both desks. ``unknown``: parts that are not equal in both and are left out,
    with the reason; ``unweighed``: how many equal parts are left out: they change nothing."""

    old: float
    new: float
    unknown: Mapping[str, str]
    unweighed: int


# ---- joints

def compare_joints(old: DeskModel, new: DeskModel, renamed: Mapping[str, str]) -> tuple[Named, ...]:
    """Joints by name, else by the parts they join. That one stands elsewhere because its parts do is no change of it."""
    was, now = {j.name: j for j in old.joints}, {j.name: j for j in new.joints}
    pairs = {name: name for name in was if name in now}
    free: dict[Any, list[str]] = {}
    for name, joint in now.items():
        if name not in was:
            free.setdefault((joint.kind, joint.a, joint.b), []).append(name)
    for name, joint in was.items():
        waiting = free.get((joint.kind, renamed.get(joint.a, joint.a), renamed.get(joint.b, joint.b)))
        if name not in pairs and waiting:
            pairs[name] = waiting.pop(0)
    taken = set(pairs.values())
    found = [Named("joint", name, "removed") for name in was if name not in pairs]
    found += [Named("joint", name, "added") for name in now if name not in taken]
    for before, after in pairs.items():
        changes = tuple(_joint_changes(was[before], now[after], renamed))
        if changes:
            found.append(Named("joint", after, "changed", changes))
    return tuple(sorted(found, key=lambda each: (each.name, each.what)))


def _joint_changes(was: JointRecord, now: JointRecord, renamed: Mapping[str, str]) -> Iterator[Changed]:
    for side in ("a", "b"):
        before = renamed.get(getattr(was, side), getattr(was, side))
        if before != getattr(now, side):
            yield Changed("part", getattr(was, side), getattr(now, side))
    for name in ("kind", "faces", "apart", "layer", "text", "pitch", "glue"):
        if not near(getattr(was, name), getattr(now, name)):
            yield Changed(name, getattr(was, name), getattr(now, name))
    if len(was.hardware) != len(now.hardware):
        yield Changed("pieces of hardware", len(was.hardware), len(now.hardware))


# ---- hardware

def compare_hardware(old: DeskModel, new: DeskModel) -> tuple[HardwareCount, ...]:
    """Designations of which there are more, fewer, or others."""
    was, now = _hardware(old), _hardware(new)
    rows = []
    for designation in sorted({*was, *now}):
        before, after = was.get(designation, []), now.get(designation, [])
        altered = bool(before and after) and set(before) != set(after)
        if len(before) != len(after) or altered:
            rows.append(HardwareCount(designation, len(before), len(after), altered))
    return tuple(rows)


def _hardware(model: DeskModel) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for placed in model.parts:
        if isinstance(placed.part, Hardware):
            made = encode(placed.part)
            made.pop("name")
            found.setdefault(placed.part.designation, []).append(repr(made))
    return found


# ---- bays

def compare_bays(old: DeskModel, new: DeskModel, renamed: Mapping[str, str]) -> tuple[Named, ...]:
    """Bays by name: their clear sizes, what is in them, and the room that leaves."""
    was, now = ({row.bay.name: row for row in bay_rows(model)} for model in (old, new))
    found = [Named("bay", name, "removed") for name in was if name not in now]
    found += [Named("bay", name, "added") for name in now if name not in was]
    for name, row in now.items():
        changes = tuple(_bay_changes(was[name], row, renamed)) if name in was else ()
        if changes:
            found.append(Named("bay", name, "changed", changes))
    return tuple(sorted(found, key=lambda each: each.name))


def _bay_changes(was: BayRow, now: BayRow, renamed: Mapping[str, str]) -> Iterator[Changed]:
    if not near(was.clear, now.clear):
        yield Changed("clear", was.clear, now.clear)
    before = tuple(renamed.get(name, name) for name in was.holds)
    if sorted(before) != sorted(now.holds):
        yield Changed("holds", was.holds, now.holds)
    for side in sorted({*was.room, *now.room}):
        if not near(was.room.get(side), now.room.get(side)):
            yield Changed(f"room {side}", was.room.get(side), now.room.get(side))


# ---- mass

def compare_mass(old: DeskModel, new: DeskModel, masses: tuple[DeskMass, DeskMass]) -> MassCompared:
    """``masses``: of either desk; what is unknown there may be measured on solids."""
    was, now = ({part.name: part.kg for part in mass.parts} for mass in masses)
    for model, known in ((old, was), (new, now)):  # the sheet of a component states it, whatever its solid looks like
        known |= {placed.name: placed.part.mass for placed in model.parts
                  if isinstance(placed.part, Component) and placed.name not in known}
    why = dict(masses[0].unknown) | dict(masses[1].unknown)
    parts = ({placed.name: placed.part for placed in model.parts} for model in (old, new))
    before, after = next(parts), next(parts)
    unknown, unweighed = {}, 0
    for name in sorted({*before, *after}):
        if (name in before) <= (name in was) and (name in after) <= (name in now):
            continue
        was.pop(name, None)
        now.pop(name, None)
        if before.get(name) == after.get(name):
            unweighed += 1
        else:
            unknown[name] = why.get(name, "its mass is not known")
    return MassCompared(sum(was.values()), sum(now.values()), unknown, unweighed)


# ---- what the script asks for

def compare_demands(old: DeskModel, new: DeskModel, renamed: Mapping[str, str]) -> tuple[Named, ...]:
    """Parameters, envelope, gaps, keep-outs, ways of covers, accepted findings, values of materials, profiles of workshop
    and cutting service."""
    def name(part: str | None) -> str | None:
        return renamed.get(part, part) if part is not None else None

    def pair(rule: Any) -> str:
        return f"{rule.a} and {rule.b}"

    found: list[Named] = []
    if old.name != new.name:
        found.append(Named("desk", new.name, "changed", (Changed("name", old.name, new.name),)))
    if not near(old.envelope, new.envelope):
        found.append(Named("desk", new.name, "changed", (Changed("envelope", old.envelope, new.envelope),)))
    found += _mapping("parameter", dict(old.parameters), dict(new.parameters))
    found += _listed("gap", old.gaps, new.gaps, lambda rule: (name(rule.a), name(rule.b), rule.reason),
                     lambda rule: {"minimum": rule.minimum}, pair)
    found += _listed("keep-out", old.keep_outs, new.keep_outs, lambda room: (name(room.owner), room.keep_out.name), _room,
                     lambda room: room.name)
    found += _listed("way of a cover", old.lifts, new.lifts, lambda lift: name(lift.cover),
                     lambda lift: {"parts": tuple(sorted(str(name(each)) for each in lift.parts)), "travel": lift.travel,
                                   "direction": lift.direction, "tool": lift.tool}, lambda lift: lift.cover)
    found += _listed("way of a cover", old.swings, new.swings, lambda swing: name(swing.cover),
                     lambda swing: {"angle": swing.angle, "axis": swing.axis, "tool": swing.tool}, lambda swing: swing.cover)
    found += _pins(old, new, renamed)
    found += _listed("accepted finding", old.acceptances, new.acceptances,
                     lambda a: (a.id, tuple(sorted(str(name(part)) for part in a.parts))), lambda a: {"reason": a.reason},
                     lambda a: f"{a.id} of {', '.join(a.parts)}")
    both = {each.name for each in old.materials} & {each.name for each in new.materials}
    found += _listed("material", [m for m in old.materials if m.name in both], [m for m in new.materials if m.name in both],
                     lambda m: m.name, lambda m: {"kind": m.kind, "density": m.density, "colour": m.colour,
                                                  "source": m.source}, lambda m: m.name)
    for profile in ("workshop", "service"):
        found += _mapping(f"{profile} profile", *({field.name.replace("_", " "): getattr(getattr(model, profile), field.name)
                                                   for field in fields(getattr(model, profile))} for model in (old, new)))
    return tuple(found)


def _room(room: Any) -> dict[str, Any]:
    """A keep-out by what it keeps free and where; one that a part carries does not change where the part moves."""
    pose = (room.pose if room.owner is None else IDENTITY) @ room.keep_out.room.pose
    return {"kind": room.keep_out.kind, "reason": room.keep_out.reason, "place": pose.origin, "turned": pose.rotation,
            "room": (encode(room.keep_out.room.profile), room.keep_out.room.depth)}


def _pins(old: DeskModel, new: DeskModel, renamed: Mapping[str, str]) -> Iterator[Named]:
    """Covers whose pin lies elsewhere on the cover."""
    before, after = ({each.name: each.pose.origin for each in model.parts} for model in (old, new))
    now = {swing.cover: swing for swing in new.swings}
    for swing in old.swings:
        other = now.get(renamed.get(swing.cover, swing.cover))
        if other is None or swing.cover not in before or other.cover not in after:
            continue
        was, at = sub(swing.point, before[swing.cover]), sub(other.point, after[other.cover])
        if not near(was, at):
            yield Named("way of a cover", other.cover, "changed", (Changed("pin, from the cover's origin", was, at),))


def _mapping(kind: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[Named]:
    for key in sorted({*old, *new}):
        if key not in new:
            yield Named(kind, key, "removed", (Changed("value", old[key], None),))
        elif key not in old:
            yield Named(kind, key, "added", (Changed("value", None, new[key]),))
        elif not near(old[key], new[key]) or (isinstance(old[key], bool) != isinstance(new[key], bool)):
            yield Named(kind, key, "changed", (Changed("value", old[key], new[key]),))


def _listed(kind: str, old: Iterable[Any], new: Iterable[Any], key: Callable[[Any], Any],
            values: Callable[[Any], dict[str, Any]], title: Callable[[Any], str]) -> Iterator[Named]:
    """Things with the same key, those that are equal set against each other first, the others in their order."""
    was, now = _by_key(old, key), _by_key(new, key)
    for each in sorted({*was, *now}, key=repr):
        before, after = _unequal(was.get(each, []), now.get(each, []), values)
        for left, right in zip(before, after, strict=False):
            a, b = values(left), values(right)
            yield Named(kind, title(right), "changed", tuple(Changed(what, a.get(what), b.get(what)) for what in {**a, **b}
                                                             if not _equal(a.get(what), b.get(what))))
        for left in before[len(after):]:
            yield Named(kind, title(left), "removed", tuple(Changed(what, v, None) for what, v in values(left).items()))
        for right in after[len(before):]:
            yield Named(kind, title(right), "added", tuple(Changed(what, None, v) for what, v in values(right).items()))


def _by_key(things: Iterable[Any], key: Callable[[Any], Any]) -> dict[Any, list[Any]]:
    found: dict[Any, list[Any]] = {}
    for each in things:
        found.setdefault(key(each), []).append(each)
    return found


def _unequal(old: Sequence[Any], new: Sequence[Any], values: Callable[[Any], dict[str, Any]]) -> tuple[list[Any], list[Any]]:
    left, right = list(old), list(new)
    for each in list(left):
        twin = next((other for other in right if _equal(values(each), values(other))), None)
        if twin is not None:
            left.remove(each)
            right.remove(twin)
    return left, right


def _equal(a: Any, b: Any) -> bool:
    return near(_tuples(a), _tuples(b))


def _tuples(value: Any) -> Any:
    if isinstance(value, dict):
        return tuple((key, _tuples(each)) for key, each in sorted(value.items()))
    return tuple(map(_tuples, value)) if isinstance(value, list | tuple) else value
