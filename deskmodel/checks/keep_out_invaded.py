"""Something stands where room must stay free.

Finds: parts in a plug's room, in the air before a vent, in room for service, in a cable's way; plugs in each other; metal in
    room without metal, as induction chargers and aerials need it.
Why it matters: the plug does not go in, the supply runs hot, the lid does not open, the cable does not pass; metal stops a
    charger and an aerial, and gets warm over the one.
How measured: the room is a solid and is tested for overlap with every part but its own component. In a no-metal room only
    parts of metal count, plates, covers and hardware alike; equipment counts as metal, whatever its housing is made of,
    but for the component whose room it is. Timber, ply, glass and plastic may stand there.
Limits: two air or service rooms may share space; rooms of one component are not tested against each other; a plug's
    room is a box with the bend in it, not the cable's shape. How far metal must stay from a coil or an aerial is said by
    the data sheet alone; a cable in a no-metal room is not found, nor is metal within a part of timber or plastic.
Sources: the data sheet or the script line that keeps the room free.
"""

from __future__ import annotations

from dataclasses import replace

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._fit import keep_out_of, report
from deskmodel.checks._moves import move_clear
from deskmodel.desk import PlacedKeepOut
from deskmodel.features import Box3
from deskmodel.findings import Finding

__all__ = ["CHECK"]

_METAL = ("metal", "equipment")  # kinds of material; equipment has a circuit board in it at least


def run(facts: Facts) -> list[Finding]:
    findings = []
    for overlap in report(facts).overlaps:
        rooms = [(name, room) for name in (overlap.a, overlap.b) if (room := keep_out_of(facts, name))]
        if not rooms or not _matters(facts, overlap.a, overlap.b):
            continue
        body, room = rooms[0]
        other = overlap.b if body == overlap.a else overlap.a
        other_room = rooms[1][1] if len(rooms) > 1 else None
        intruder = other_room.owner or other_room.name if other_room else other
        what = f"the {other_room.keep_out.name} of {intruder}" if other_room and other_room.owner else intruder
        parts = (room.owner, intruder) if room.owner else (intruder,)
        deep = f"by {overlap.penetration:.2f} mm" if overlap.kind == "overlap" else "wholly"
        free, remedy = _told(facts, room, intruder, None if other_room else overlap.box)
        findings.append(Finding(
            "keep-out-invaded", "stop", parts, f"{what} stands {deep} in room kept free {free} ({room.name}) at "
            f"{at(overlap.point)}", remedy, point=overlap.point, measured=overlap.penetration, required=0.0, unit="mm",
            source=_source(facts, room.owner), lines=lines_of(facts, (*parts, room.name)),
            shared=(overlap.a, overlap.b)))
    return findings


def unmeasured(facts: Facts) -> list[str]:
    return [f"{m.a} and {m.b}: {m.why}" for m in report(facts).not_measured
            if (m.a in facts.keep_outs or m.b in facts.keep_outs) and _matters(facts, m.a, m.b)]


def _matters(facts: Facts, *bodies: str) -> bool:
    """Whether the two may not share room: a part that is no metal may stand in a no-metal room."""
    rooms = [keep_out_of(facts, body) for body in bodies]
    if not any(room and room.keep_out.kind == "no-metal" for room in rooms):
        return True
    return all(_is_metal(facts, body) for body, room in zip(bodies, rooms, strict=True) if room is None)


def _is_metal(facts: Facts, part: str) -> bool:
    material = facts.model.part(part).part.material
    kinds = {each.name: each.kind for each in facts.model.materials}
    return kinds.get(material, "metal") in _METAL


def _told(facts: Facts, room: PlacedKeepOut, intruder: str, shared: Box3 | None) -> tuple[str, str]:
    """What the room is free for, and what to do. ``shared``: the box of what a part and the room share."""
    if room.keep_out.kind != "no-metal":
        moved = None
        if shared is not None and room.owner is not None:
            moved = move_clear(facts.model, room.owner, intruder, shared, {room.owner: _box(room)})
        return (f"for {room.keep_out.reason}", f"{moved}, or turn what needs the room" if moved
                else f"move {intruder} out of it, or turn or move what needs the room")
    material = facts.model.part(intruder).part.material
    return (f"of metal, and it is of {material}" if material != "equipment" else "of metal, and equipment has metal in it",
            f"give {intruder} an opening there, with a window of ply, glass or plastic if it must be closed; or move one of "
            f"the two")


def _box(room: PlacedKeepOut) -> Box3:
    """The box about it, desk frame."""
    prism = room.keep_out.room
    return replace(prism, pose=room.pose @ prism.pose).bounds


def _source(facts: Facts, owner: str | None) -> str:
    if owner is None:
        return "the script"
    part = facts.model.part(owner).part
    return f"data sheet {getattr(part, 'sheet', '')} ({getattr(part, 'source', '')})"


CHECK = Check("keep-out-invaded", "fit", __doc__, run, unmeasured)
