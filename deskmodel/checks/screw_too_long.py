"""A screw is longer than its hole, or comes out on the other side.

Finds: screws whose tip meets the bottom of the hole below their insert, or of a threaded hole of equipment; the two
    screws of a stand-off that meet, or may meet, inside it; screws and inserts that come out of their wood, at its far side
    or in a notch, groove or bore.
Why it matters: a screw that meets something cannot be tightened; a tip that comes out scratches hands and cables.
How measured: along the screw's axis, tip and insert against the bottom of the pilot hole, the other screw, and the first
    place where the wood ends. Screws of one row are told once, the worst first.
Limits: only the axis is looked at, not the rim of the screw. Holes for other dowels, inserts and screws do not count here.
    Wood screws cut their own way and may be longer than their pilot hole.
Sources: closed form; that 0.5 mm must be left over: two screws may each be 0.24 longer, ISO 4759-1 js15 (from memory), and
    holes are drilled to about as much (common practice), a warning.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.catalogue import WoodScrewSize
from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._fixings import Fixing, fixings, grouped, spacers
from deskmodel.checks._wood import material_along
from deskmodel.findings import Finding
from deskmodel.frames import Vec
from deskmodel.tolerances import LENGTH, OVERLAP

__all__ = ["CHECK"]

ROOM = 0.5
"""mm left before a tip meets something (ISO 4759-1 js15, from memory)."""

_Long = tuple[float, str, Vec]  # mm left (below 0: too little), what is wrong, where
_METAL, _WOOD = "ISO 4759-1 js15 (from memory)", "closed form"


def run(facts: Facts) -> list[Finding]:
    found = []
    for kind in (_bottoming, _out_of_wood):
        for parts, screws in grouped(kind(facts)):
            left, what, point = min(screws, key=lambda each: (round(each[0], 6), each[1]))
            others = f"; so do {len(screws) - 1} more of its row" if len(screws) > 1 else ""
            wood = kind is _out_of_wood
            found.append(Finding(
                "screw-too-long", "stop" if left < 0 else "warn", parts, f"{what}, at {at(point)}{others}",
                "take a shorter screw or insert, or move it" if wood else "take a shorter screw, or close the gap",
                point=point, measured=-left if wood else left, required=0.0 if wood or left < 0 else ROOM, unit="mm",
                source=_WOOD if wood else _METAL, lines=lines_of(facts, parts)))
    return found


def _bottoming(facts: Facts) -> Iterator[tuple[tuple[str, ...], _Long]]:
    for spacer in spacers(facts.model):
        if spacer.lower is None or spacer.upper is None:
            continue
        left = spacer.upper[2] - spacer.lower[2]
        if left < ROOM - LENGTH:
            how = f"overlap by {-left:.2f} mm" if left < 0 else f"leave {left:.2f} mm"
            yield ((spacer.record.a, spacer.record.b),
                   (left, f"{spacer.lower[0].name} and {spacer.upper[0].name} {how} in their stand-off",
                    spacer.at((spacer.upper[2] + spacer.lower[2]) / 2)))
    for fixing in fixings(facts.model):
        end = _bottom(fixing)
        if end is None or not fixing.over:
            continue
        left = end - fixing.size.length
        if left < ROOM - LENGTH:
            how = f"goes {-left:.2f} mm below" if left < 0 else f"leaves {left:.2f} mm to"
            yield (fixing.over, fixing.into), (left, f"{fixing.screw.name} {how} the bottom of its hole",
                                               fixing.at(fixing.size.length))


def _bottom(fixing: Fixing) -> float | None:
    """s of the bottom of the hole that holds its insert, or is its thread; None where it may come out behind."""
    if fixing.insert is not None:
        return fixing.pilot.end if fixing.pilot else None
    return fixing.nut[1] if fixing.nut and not fixing.thread.endswith("nut") else None


def _out_of_wood(facts: Facts) -> Iterator[tuple[tuple[str, ...], _Long]]:
    for fixing in fixings(facts.model):
        if not fixing.into or not fixing.over or not (fixing.insert or isinstance(fixing.size, WoodScrewSize)):
            continue
        for name, end in _ends(fixing):
            own = fixing.pilot.hole if fixing.pilot else None
            wood = material_along(facts.model.part(fixing.into), fixing.head_at, fixing.axis, end, own)
            if wood and wood[0][1] < end - OVERLAP + LENGTH:
                out = end - wood[0][1]
                yield (fixing.over, fixing.into), (-out, f"{name} comes {out:.2f} mm out of {fixing.into}", fixing.at(end))


def _ends(fixing: Fixing) -> Iterator[tuple[str, float]]:
    """What stands in the wood, and s of its end."""
    yield fixing.screw.name, fixing.size.length
    if fixing.nut and fixing.insert:
        yield fixing.insert.name, fixing.nut[1]


CHECK = Check("screw-too-long", "model", __doc__, run)
