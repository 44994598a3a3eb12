"""A screw has too little thread where it should hold.

Finds: screws that engage less than one diameter of their insert, or less than 0.8 of one in a stand-off, a nut or a thread
    of the equipment; wood screws with less than four diameters in the wood, eight in end grain; screws that do not reach
    their thread at all.
Why it matters: the first threads strip, and equipment or a leg hangs on them.
How measured: the screw's length against plate, gap, recess, insert, nut or stand-off along its axis, as they stand. In wood
    the point counts; what bores, notches and grooves take away does not. Screws of one row are told once, the worst first.
Limits: a thread is taken to begin at the mouth of its insert and at the screw's head. The strength of a joint is not
    calculated. A screw that does not reach its thread stops the build; less than the practice is a warning.
Sources: one diameter in an insert: common practice; 0.8 of one: the height of a standard nut, ISO 4032 (from memory); four
    diameters of wood screw in side grain: EN 1995-1-1, 8.7.1 (from memory), for furniture common practice; twice that in
    end grain, which holds about half: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.catalogue import WoodScrewSize
from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._fixings import Fixing, fixings, grouped, spacers
from deskmodel.checks._wood import material_along
from deskmodel.findings import Finding
from deskmodel.frames import Vec
from deskmodel.joints.face_dowels import ENDS
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]

IN_INSERT = 1.0  # diameters
IN_STAND_OFF = 0.8
IN_WOOD = 4.0
IN_END_GRAIN = 8.0

_Short = tuple[float, float, str, str, Vec, str]  # engaged, wanted, screw, in what, tip, source
_PRACTICE = "common practice"


def run(facts: Facts) -> list[Finding]:
    found = []
    for parts, screws in grouped([*_in_parts(facts), *_in_stand_offs(facts)]):
        engaged, wanted, name, where, tip, source = min(screws, key=lambda each: (round(each[0] - each[1], 6), each[2]))
        others = f", as do {len(screws) - 1} more of its row" if len(screws) > 1 else ""
        how = f"reaches no thread of {where}" if engaged <= 0 else f"has {engaged:.1f} mm of thread in {where}"
        found.append(Finding(
            "screw-too-short", "stop" if engaged <= 0 else "warn", parts,
            f"{name} {how}, its tip at {at(tip)}; wanted {wanted:g}{others}",
            "take a longer screw, or close the gap between the parts", point=tip, measured=engaged, required=wanted,
            unit="mm", source=source, lines=lines_of(facts, parts)))
    return found


def _in_parts(facts: Facts) -> Iterator[tuple[tuple[str, ...], _Short]]:
    for fixing in fixings(facts.model):
        if not fixing.over or not fixing.into or fixing.over == fixing.into:
            continue
        short = _in_thread(fixing) if fixing.nut else _in_wood(facts, fixing)
        if short is not None and short[0] < short[1] - LENGTH:
            yield (fixing.over, fixing.into), short


def _in_thread(fixing: Fixing) -> _Short:
    assert fixing.nut is not None
    start, end = fixing.nut
    engaged = max(0.0, min(fixing.size.length, end) - max(start, fixing.cone))
    share, source = (IN_INSERT, _PRACTICE) if fixing.insert else (IN_STAND_OFF, "ISO 4032 (from memory)")
    return (engaged, share * fixing.size.diameter, fixing.screw.name, fixing.thread, fixing.at(fixing.size.length), source)


def _in_wood(facts: Facts, fixing: Fixing) -> _Short | None:
    if not isinstance(fixing.size, WoodScrewSize):
        return None  # a machine screw without an insert: a stand-off's, or hole-without-partner tells
    own = fixing.pilot.hole if fixing.pilot else None
    wood = material_along(facts.model.part(fixing.into), fixing.head_at, fixing.axis, fixing.size.length, own)
    engaged = sum(max(0.0, high - max(low, fixing.cone)) for low, high in wood)
    end_grain = fixing.pilot is not None and fixing.pilot.face.name in ENDS
    wanted = (IN_END_GRAIN if end_grain else IN_WOOD) * fixing.size.diameter
    source = "common practice, end grain" if end_grain else "EN 1995-1-1 (from memory); common practice"
    return engaged, wanted, fixing.screw.name, fixing.into, fixing.at(fixing.size.length), source


def _in_stand_offs(facts: Facts) -> Iterator[tuple[tuple[str, ...], _Short]]:
    for spacer in spacers(facts.model):
        for side in (spacer.lower, spacer.upper):
            if side is None:
                continue
            engaged, wanted = spacer.engaged(side), IN_STAND_OFF * spacer.diameter
            if engaged < wanted - LENGTH:
                yield ((spacer.record.a, spacer.record.b),
                       (engaged, wanted, side[0].name, "its stand-off", spacer.at(side[2]), "ISO 4032 (from memory)"))


CHECK = Check("screw-too-short", "model", __doc__, run)
