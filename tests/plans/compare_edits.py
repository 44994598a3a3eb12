"""Edits of a model.json made on its text alone, and what a comparison has to say of each: the edit is known, because it is
made here. Nothing of ``deskmodel`` but the datums that DEVELOPERS.md states."""

from __future__ import annotations

import copy
from dataclasses import dataclass, field
from random import Random
from typing import Any

__all__ = ["Expected", "planted"]

Body = dict[str, Any]
STEPS = (0.1, -0.5, 3.0, -7.25)


@dataclass
class Expected:
    """What is to be told, each as a set of plain values. ``holes``: (part, face, what, shifts by datum)."""

    properties: set[tuple[Any, ...]] = field(default_factory=set)
    holes: set[tuple[Any, ...]] = field(default_factory=set)
    moved: set[tuple[Any, ...]] = field(default_factory=set)
    renamed: set[tuple[str, str]] = field(default_factory=set)
    added: set[str] = field(default_factory=set)
    removed: set[str] = field(default_factory=set)
    joints: set[tuple[str, str]] = field(default_factory=set)
    demands: set[tuple[str, str, str]] = field(default_factory=set)


def planted(body: Body, rng: Random, kind: str) -> tuple[Body, Body, Expected, Expected]:
    """(before, after, told of before -> after, told of after -> before)."""
    before, after = copy.deepcopy(body), copy.deepcopy(body)
    there, back = Expected(), Expected()
    _KINDS[kind](rng, after, there, back)
    return before, after, there, back


def _parts(body: Body, kinds: tuple[str, ...]) -> list[Body]:
    return [placed for placed in body["parts"] if placed["part"]["is"] in kinds]


def _vertical(part: Body, face: str) -> tuple[tuple[str, int], tuple[str, int]]:
    """(datum, sense) of u and of v."""
    if part["is"] == "Plate":
        return ("left edge", 1), ("front edge", 1)
    if face in ("datum end", "far end"):
        return ("face side", 1), ("face edge", -1)
    return ("datum end", 1), (("face edge", -1) if face in ("face side", "back side") else ("face side", 1))


def _with_holes(body: Body, rng: Random) -> tuple[Body, Body]:
    bored = [p for p in _parts(body, ("Member", "Plate")) if any(f["is"] == "Hole" for f in p["part"]["features"])]
    part = rng.choice(bored)
    return part, rng.choice([f for f in part["part"]["features"] if f["is"] == "Hole"])


def _move_hole(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    part, hole = _with_holes(body, rng)
    axis = rng.randrange(2)
    by = _room(part["part"], hole, axis, rng)
    hole["at"][axis] = round(hole["at"][axis] + by, 6)
    datum, sense = _vertical(part["part"], hole["face"])[axis]
    name = part["part"]["name"]
    there.holes.add((name, hole["face"], "moved", ((datum, round(sense * by, 6)),)))
    back.holes.add((name, hole["face"], "moved", ((datum, round(-sense * by, 6)),)))


def _room(part: Body, hole: Body, axis: int, rng: Random) -> float:
    """A shift by which it stays on its face: small, in or out."""
    if part["is"] == "Plate":
        xs = [v[axis] for v in part["outline"]["vertices"]]
        low, high = min(xs), max(xs)
    else:
        size = {"datum end": 0, "face side": 1, "face edge": 2}
        sizes = (part["length"], *part["section"])
        left = [i for i in range(3) if i != size[{"far end": "datum end", "back side": "face side",
                                                  "under edge": "face edge"}.get(hole["face"], hole["face"])]]
        low, high = 0.0, sizes[left[axis]]
    by = rng.choice((0.1, 0.25, 0.5))
    return by if hole["at"][axis] < (low + high) / 2 else -by


def _widen_hole(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    part, hole = _with_holes(body, rng)
    hole["diameter"] = round(hole["diameter"] - 0.2, 6)
    for told in (there, back):
        told.holes.add((part["part"]["name"], hole["face"], "altered", ()))


def _drop_hole(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    part, hole = _with_holes(body, rng)
    part["part"]["features"].remove(hole)
    there.holes.add((part["part"]["name"], hole["face"], "removed", ()))
    back.holes.add((part["part"]["name"], hole["face"], "added", ()))


def _length(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    part = rng.choice(_parts(body, ("Member",)))["part"]
    part["length"] = round(part["length"] + rng.choice((0.5, 3, 12.25)), 6)
    for told in (there, back):
        told.properties.add((part["name"], "length"))


def _material(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    part = rng.choice(_parts(body, ("Member",)))["part"]
    others = [m["name"] for m in body["materials"] if m["kind"] == "timber" and m["name"] != part["material"]]
    part["material"] = rng.choice(others or ["beech"])
    for told in (there, back):
        told.properties.add((part["name"], "material"))


def _place(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    placed = rng.choice(_parts(body, ("Member", "Plate", "Component")))
    axis, by = rng.randrange(3), rng.choice(STEPS)
    placed["pose"]["origin"][axis] = round(placed["pose"]["origin"][axis] + by, 6)
    shift = [0.0, 0.0, 0.0]
    shift[axis] = by
    there.moved.add((placed["part"]["name"], tuple(shift)))
    back.moved.add((placed["part"]["name"], tuple(-s + 0.0 for s in shift)))


def _rename(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    old = rng.choice(_parts(body, ("Member", "Component")))["part"]["name"]
    new = f"{old} renamed <b>'\"=1+1"
    _renamed(body, old, new)
    there.renamed.add((old, new))
    back.renamed.add((new, old))


def _renamed(value: Any, old: str, new: str) -> None:
    """Everywhere where the part's whole name stands."""
    if isinstance(value, dict):
        for key, each in value.items():
            if each == old:
                value[key] = new
            else:
                _renamed(each, old, new)
    elif isinstance(value, list):
        for i, each in enumerate(value):
            if each == old:
                value[i] = new
            else:
                _renamed(each, old, new)


def _drop_part(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    told_of = {each[side] for each in body["joints"] + body["gaps"] for side in ("a", "b")}
    told_of |= {each[side] for each in body["contacts"] for side in ("male", "female")}
    told_of |= {name for way in body["lifts"] + body["swings"] for name in (way["cover"], *way["parts"])}
    told_of |= {room["owner"] for room in body["keep_outs"]}
    told_of |= {placed["group"] for placed in body["parts"]}
    free = [p for p in _parts(body, ("Member", "Plate", "Component")) if p["part"]["name"] not in told_of]
    if not free:  # everything is held by something: a new part instead
        _add_part(rng, body, there, back)
        return
    placed = rng.choice(free)
    body["parts"].remove(placed)
    there.removed.add(placed["part"]["name"])
    back.added.add(placed["part"]["name"])


def _add_part(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    placed = copy.deepcopy(rng.choice(_parts(body, ("Member",))))
    placed["part"]["name"] = name = f"spare rail {rng.randrange(1000)}"
    placed["part"]["length"] = round(placed["part"]["length"] + rng.uniform(1, 9), 3)  # like no other part
    body["parts"].append(placed)
    there.added.add(name)
    back.removed.add(name)


def _gap(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    rule = rng.choice(body["gaps"])
    rule["minimum"] = round(rule["minimum"] + 0.5, 6)
    for told in (there, back):
        told.demands.add(("gap", f"{rule['a']} and {rule['b']}", "changed"))


def _parameter(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    name = f"zone {rng.randrange(1000)}"
    body["parameters"].append([name, rng.randrange(100)])
    there.demands.add(("parameter", name, "added"))
    back.demands.add(("parameter", name, "removed"))


def _joint(rng: Random, body: Body, there: Expected, back: Expected) -> None:
    joint = rng.choice(body["joints"])
    joint["text"] += ", glued twice"
    for told in (there, back):
        told.joints.add((joint["name"], "changed"))


_KINDS = {"hole moved": _move_hole, "hole altered": _widen_hole, "hole left out": _drop_hole, "length": _length,
          "material": _material, "place": _place, "renamed": _rename, "part left out": _drop_part, "part added": _add_part,
          "gap": _gap, "parameter": _parameter, "joint": _joint}
KINDS = tuple(_KINDS)
