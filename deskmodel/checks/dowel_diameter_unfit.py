"""A dowel too thick or too thin for its members.

Finds: joints whose dowels are thinner than a third or thicker than half of the thinner piece.
Why it matters: a thin dowel shears and gives little glue surface; a thick one leaves thin cheeks that split.
How measured: the dowel's diameter against the lesser side of a member's section, or a plate's thickness; the least of all
    pieces that the dowel stands in.
Limits: above three fifths the joint itself is refused. What notches or grooves take off the piece is not counted here.
Sources: a joinery school's page (2/5 to 3/5 of the thickness), a trade page and a supplier (1/3 to 1/2): common practice.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.faces import PlacedPart
from deskmodel.findings import Finding
from deskmodel.part import Member, Plate
from deskmodel.plans.bored import DOWEL_JOINTS, doweled, wooden
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK", "THICKEST", "THINNEST"]

THINNEST, THICKEST = 1 / 3, 1 / 2
"""Of the thickness of the thinner piece (trade pages)."""


def run(facts: Facts) -> list[Finding]:
    parts = {part.name: part for part in facts.model.parts}
    dowels = {dowel.piece.name: dowel for dowel in doweled(facts.model.parts)}
    findings = []
    for joint in facts.model.joints:
        pieces = [parts[name] for name in (joint.a, joint.b) if wooden(parts[name])]
        diameters = {dowels[name].diameter for name in joint.hardware if name in dowels}
        if joint.kind not in DOWEL_JOINTS or not pieces:
            continue
        thin = min(pieces, key=lambda piece: (_thickness(piece), piece.name))
        thickness = _thickness(thin)
        for diameter in sorted(diameters):
            least, most = THINNEST * thickness, THICKEST * thickness
            if least - LENGTH <= diameter <= most + LENGTH:
                continue
            thick = diameter > most
            findings.append(Finding(
                "dowel-diameter-unfit", "warn", (joint.a, joint.b),
                f"{joint.kind} {joint.name}: dowels of {diameter:g} mm are too {'thick' if thick else 'thin'} for "
                f"{thin.name}, {thickness:g} mm, at {at(joint.point)}",
                f"a diameter of {least:.1f} to {most:.1f} mm, or a {'thicker' if thick else 'thinner'} piece",
                point=joint.point, measured=diameter, required=most if thick else least, unit="mm",
                source="common practice: trade pages", lines=lines_of(facts, (joint.name, joint.a, joint.b))))
    return findings


def _thickness(placed: PlacedPart) -> float:
    if isinstance(placed.part, Member):
        return min(placed.part.section)
    assert isinstance(placed.part, Plate)
    return placed.part.thickness


CHECK = Check("dowel-diameter-unfit", "model", __doc__, run)
