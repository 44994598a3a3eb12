"""Two parts share material.

Finds: every pair of parts that run into each other by 0.01 mm or more beyond what their joint declares.
Why it matters: one of the two cannot be put in, or is cut to the wrong length; found at glue-up it costs the part.
How measured: penetration is the smallest width of the overlapping body; what is to be done says how far the looser part
    must move to be clear, which is more where a thin wall sticks in a rail. Slightly shrunken meshes of both parts must
    meet for an overlap; inside the band that their known error leaves open the exact kernel decides. A screw in its
    insert and an insert in its pilot hole may overlap within the ring that the joint declares, and nowhere else.
Limits: between 0 and 0.01 mm either answer is right. Wood that is compressed or bent into place is not known.
Sources: DEVELOPERS.md, promises of the fit engine.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._fit import part_overlaps, unmeasured_parts
from deskmodel.checks._moves import move_clear
from deskmodel.desk import GapRule
from deskmodel.findings import Finding
from deskmodel.tolerances import OVERLAP

if TYPE_CHECKING:  # explaining a check loads nothing heavy
    from deskmodel.fit.problem import Overlap

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    findings = []
    gaps: dict[frozenset[str], GapRule] = {}
    for rule in sorted(facts.model.gaps, key=lambda each: each.minimum):
        gaps[frozenset((rule.a, rule.b))] = rule  # the largest
    for overlap in part_overlaps(facts, "overlap"):
        wanted = gaps.get(frozenset((overlap.a, overlap.b)))
        volume = f"{overlap.volume:.{1 if overlap.volume < 100 else 0}f} mm³"
        pieces = f" in {overlap.pieces} places" if overlap.pieces > 1 else ""
        findings.append(Finding(
            "parts-overlap", "stop", (overlap.a, overlap.b),
            f"{overlap.a} and {overlap.b} overlap by {overlap.penetration:.2f} mm ({volume}){pieces} at "
            f"{at(overlap.point)}",
            _remedy(facts, overlap)
            + (f"; {wanted.minimum:g} mm are required between them: {wanted.reason}" if wanted else ""),
            point=overlap.point, measured=overlap.penetration, required=0.0, unit="mm",
            source=f"fit engine: from {OVERLAP:g} mm on it is an overlap", lines=lines_of(facts, (overlap.a, overlap.b)),
            shared=(overlap.a, overlap.b)))
    return findings


def _remedy(facts: Facts, overlap: Overlap) -> str:
    """What they share is ``penetration`` thick: to draw a thin wall out of a rail takes more than its thickness."""
    moved = move_clear(facts.model, overlap.a, overlap.b, overlap.box)
    if moved is not None:
        return f"{moved}, make one of the two smaller, or cut room for it"
    return f"move or shorten one of the two, by {overlap.penetration:.2f} mm or more, or cut room for it"


CHECK = Check("parts-overlap", "fit", __doc__, run, unmeasured_parts)
