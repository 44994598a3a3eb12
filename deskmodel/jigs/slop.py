"""How exact a joint comes out that is drilled with two jigs: every cause of slop with its figure and where that is from.

    bush  |  |/ |   play: the bit lies against both ends of its bush; below it leans on,
          | /|  |         play / guide for each mm, through the gap and to the middle of the dowel
    gap    /
    wood  /#####          (a dowel is stiff: what counts is the axis in the middle of its hole)
"""

from __future__ import annotations

from deskmodel.jigs._fits import grade
from deskmodel.jigs._types import Jig, Slop, SlopShare, likely, worst
from deskmodel.tolerances import COAXIAL

__all__ = ["MARK", "PRINTED", "SEATING", "STOCK", "bit_play", "jig_slop", "lean", "slop_text"]

PRINTED = 0.1
"""mm by which a tuned printer misses a distance on a jig (common practice: ±0.1, untuned ±0.2)."""

SEATING = 0.05
"""mm of fuzz, glue or fence that is not quite against the wood (common practice)."""

MARK = 0.2
"""mm between the story stick's line, the knife line on the wood and the sight edge over it (common practice)."""

STOCK = 0.3
"""mm by which planed stock may be off in thickness or height (common practice)."""

UNDERSIZE = 0.1
"""mm on each side by which printed holes come out narrower (common practice: 0.1 to 0.3 in diameter): it is taken up
first, then the bush has play in its seat."""

_PRACTICE = "common practice"


def bit_play(jig: Jig) -> float:
    """mm of diameter between the bush as measured and the thinnest bit of that size."""
    return jig.bush.bore - (jig.bit.diameter - grade(jig.bit.diameter, 8))


def lean(jig: Jig) -> float:
    """mm that the bit leans for each mm below its bush."""
    return bit_play(jig) / jig.guide


def jig_slop(one: Jig, other: Jig, depths: tuple[float, float], stock: float = STOCK) -> Slop:
    """Of two mating holes drilled with these jigs to these depths, and of the two dowels of a joint."""
    across: list[SlopShare] = []
    along: list[SlopShare] = []
    pair: list[SlopShare] = []
    for jig, depth in ((one, depths[0]), (other, depths[1])):
        printed = SlopShare(f"{jig.label}: distances as printed", PRINTED, _PRACTICE)
        seating = SlopShare(f"{jig.label}: seat on the wood", SEATING, _PRACTICE)
        bushes = _of_a_bush(jig, depth)
        across += [printed, seating, *bushes]
        along += [printed, seating, *bushes]
        if jig.kind == "face":
            along.append(SlopShare(f"{jig.label}: mark and sight edge", MARK, _PRACTICE))
        # both are drilled in one seating: that is shared
        pair += [printed, *bushes, *bushes]
    thickness = SlopShare("stock off in thickness", stock, _PRACTICE)
    return Slop(tuple(across), tuple(along), tuple(pair), thickness, COAXIAL)


def _of_a_bush(jig: Jig, depth: float) -> list[SlopShare]:
    allowance = (jig.seat_diameter - jig.bush.outside) / 2
    return [
        SlopShare(f"{jig.label}: bush in its printed seat", max(0.0, allowance - UNDERSIZE),
                  "printer's allowance less what printed holes come out narrower, common practice"),
        SlopShare(f"{jig.label}: bit in its bush", bit_play(jig) / 2, "bush as measured; bit h8, ISO 286-2 (from memory)"),
        SlopShare(f"{jig.label}: bit leaning to the middle of the hole", lean(jig) * (jig.gap + depth / 2),
                  "play over guide, through gap and half the depth"),
    ]


def slop_text(slop: Slop) -> list[str]:
    """For people, a sentence each."""
    def figures(shares: tuple[SlopShare, ...]) -> str:
        return f"±{likely(shares):.2f} mm likely, ±{worst(shares):.2f} mm at worst"

    without = (*slop.across, slop.thickness)
    enter, enter_not = "they enter by the likely figure", "they may not enter by the likely figure"
    return [
        f"Mating holes, across: {figures(slop.across)}; drilled from opposite faces {figures(without)}.",
        f"Mating holes, along the marked member: {figures(slop.along)}.",
        f"Distance of the two dowels of a joint: {figures(slop.pair)}, half of it at each of them, {slop.allowed:g} mm are "
        f"put up with: {enter if slop.enters else enter_not}.",
        f"The same, each drilled from another face: {figures((*slop.pair, slop.thickness))}: "
        f"{enter if slop.enters_without else enter_not}.",
        "What all dowels of a joint share moves the joint, and shows as a step; a trial joint tells before the desk does.",
    ]
