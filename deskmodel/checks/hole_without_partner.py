"""A hole for hardware has nothing to work with.

Finds: dowel holes whose dowel is missing or enters no second part, pilot holes without their insert or wood screw,
    screw holes in plates without their screw, clearance holes whose wood screw enters no pilot hole; hardware counts when
    its axis lies within 0.1 mm of the hole's and it enters it.
Why it matters: it was drilled in one part only: the parts do not go together.
How measured: axes and depths of holes and hardware in closed form, in the desk frame.
Limits: whether wood is left round a dowel, where a notch or bore crosses it, is not looked at here. Mounting holes of
    equipment may stay empty. Bores and vents need no partner. A dowel hole that faces another one out of line is told by
    holes-misaligned and not here, also where there is no dowel yet.
Sources: common practice: drilling by jig is good to about 0.1 mm.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.faces import PlacedPart
from deskmodel.findings import Finding
from deskmodel.hardware import Hardware
from deskmodel.plans.bored import Bored, HardwareGrid, bored, enters, facing_holes

__all__ = ["CHECK"]

_PARTNERS = {"dowel": ("dowel",), "insert": ("insert",), "screw": ("screw", "wood screw")}


def run(facts: Facts) -> list[Finding]:
    holes = list(bored(facts.model.parts, _PARTNERS))
    kinds = {kind for each in _PARTNERS.values() for kind in each}
    grid = HardwareGrid(part for part in facts.model.parts if isinstance(part.part, Hardware) and part.part.kind in kinds)
    partners = [[piece for piece in grid.near(hole) if _stands_in(piece, hole)] for hole in holes]
    users: dict[str, set[str]] = {}
    for hole, pieces in zip(holes, partners, strict=True):
        for piece in pieces:
            users.setdefault(piece.name, set()).add(hole.part)
    mates = facing_holes(hole for hole in holes if hole.hole.purpose == "dowel")
    told_elsewhere = {hole.key for pair in mates if not pair.in_line for hole in (pair.a, pair.b)}
    findings = []
    for hole, pieces in zip(holes, partners, strict=True):
        kind = hole.hole.purpose
        if hole.key in told_elsewhere:
            continue
        if not pieces:
            findings.append(_finding(facts, hole, f"has no {kind} in it", f"put the joint's {kind} back in line with it"))
        elif all(_goes_on(piece, hole) and len(users[piece.name]) < 2 for piece in pieces):
            what = _kind(pieces[0])
            findings.append(_finding(facts, hole, f"has a {what} that enters no hole of a second part ({pieces[0].name})",
                                     "drill the mating hole in line with it"))
    return findings


def _goes_on(piece: PlacedPart, hole: Bored) -> bool:
    """Whether the piece must enter a second part's hole as well: a dowel always, a wood screw where the hole lets it
    through; its pilot hole may be the only one, under a mounting hole of equipment."""
    return _kind(piece) == "dowel" or (_kind(piece) == "wood screw" and hole.hole.depth is None)


def _kind(piece: PlacedPart) -> str:
    assert isinstance(piece.part, Hardware)
    return piece.part.kind


def _stands_in(piece: PlacedPart, hole: Bored) -> bool:
    """Whether a piece of hardware of the right kind stands in the hole, axis on axis."""
    return _kind(piece) in _PARTNERS[hole.hole.purpose] and enters(piece, hole)


def _finding(facts: Facts, hole: Bored, what: str, remedy: str) -> Finding:
    return Finding("hole-without-partner", "stop", (hole.part,),
                   f"{hole.hole.name} in the {hole.hole.face} of {hole.part}, at {at(hole.mouth)}, {what}", remedy,
                   point=hole.mouth, source="common practice", lines=lines_of(facts, (hole.part,)))


CHECK = Check("hole-without-partner", "model", __doc__, run)
