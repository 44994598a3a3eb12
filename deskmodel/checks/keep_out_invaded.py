"""Something stands where room must stay free.

Finds: parts in a plug's room, in the air before a vent, in room for service, in a cable's way; plugs in each other.
Why it matters: the plug does not go in, the supply runs hot, the lid does not open, the cable does not pass.
How measured: the room is a solid and is tested for overlap with every part but its own component.
Limits: two air or service rooms may share space; rooms of one component are not tested against each other; a plug's
    room is a box with the bend in it, not the cable's shape.
Sources: the data sheet or the script line that keeps the room free.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._fit import keep_out_of, report, unmeasured_keep_outs
from deskmodel.findings import Finding

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    findings = []
    for overlap in report(facts).overlaps:
        rooms = [(name, room) for name in (overlap.a, overlap.b) if (room := keep_out_of(facts, name))]
        if not rooms:
            continue
        body, room = rooms[0]
        other = overlap.b if body == overlap.a else overlap.a
        other_room = rooms[1][1] if len(rooms) > 1 else None
        intruder = other_room.owner or other_room.name if other_room else other
        what = f"the {other_room.keep_out.name} of {intruder}" if other_room and other_room.owner else intruder
        parts = (room.owner, intruder) if room.owner else (intruder,)
        deep = f"by {overlap.penetration:.2f} mm" if overlap.kind == "overlap" else "wholly"
        findings.append(Finding(
            "keep-out-invaded", "stop", parts,
            f"{what} stands {deep} in room kept free for {room.keep_out.reason} ({room.name}) at {at(overlap.point)}",
            f"move {intruder} out of it, or turn or move what needs the room",
            point=overlap.point, measured=overlap.penetration, required=0.0, unit="mm",
            source=_source(facts, room.owner), lines=lines_of(facts, (*parts, room.name))))
    return findings


def _source(facts: Facts, owner: str | None) -> str:
    if owner is None:
        return "the script"
    part = facts.model.part(owner).part
    return f"data sheet {getattr(part, 'sheet', '')} ({getattr(part, 'source', '')})"


CHECK = Check("keep-out-invaded", "fit", __doc__, run, unmeasured_keep_outs)
