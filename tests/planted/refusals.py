"""Input that the tool may refuse, each kind with the reason why it is wrong, or why nobody could build it.

An edit that is refused for another reason counts as wrongly refused. The reasons are those of the trade and of the
geometry; none of them is that an edit harms nothing.
"""

from __future__ import annotations

import re

__all__ = ["REFUSALS", "reason_for"]

REFUSALS: tuple[tuple[str, str], ...] = (
    ("whole number", "there is no half a hole, column or dowel"),
    ("left out hole .* allowed: a column below", "a vent that is not there cannot be left out"),
    ("below [5-9] mm", "vents wider than they are apart leave no plate"),
    (r"leaves .* mm of wood", "the insert would break out at the edge of its seat (2 mm are asked, common practice)"),
    (r"reaches .* mm into", "a screw or hinge leaf has too little to hold in (common practice)"),
    (r"(bevel|groove|notch|rebate).* at most \d", "no more can be taken away than there is"),
    ("a finding accepted about", "what is accepted of a part that is gone would accept nothing"),
    ("where it is cut away", "a stand-off or screw has nothing to stand on or hold in"),
    ("missing; allowed:", "a thing without what it is made of, or where, is no thing"),
    ("2 points or more", "a cable of one point leads nowhere"),
    ("a number of mm, 0.5 to 100", "no drill is so thin"),
    (r"0 along [+-]", "a vent is flat: it has no extent the way it looks"),
    ("a length above 0 mm|each 0 to 3000|0.01 to 3000", "nothing is of no length, or of less"),
    (r"the bodies of .* make \d+ separate pieces", "a body that hovers beside the others belongs to another thing"),
    ("stand-off 'M", "stand-offs are goods: none of that length is made"),
    ("stand-offs for the mounting holes", "no screw goes through so small a hole, none holds in so large a one"),
    ("a screw for .*mounting hole", "no screw goes through so small a hole, or has that thread"),
    ("a deeper thread", "a thread so shallow holds nothing"),
    ("together with the nut's", "no screw of the catalogue is so long"),
    ("mounting holes that begin where the equipment stands", "a screw would bend what it pulls down"),
    ("openings that leave the plate in one piece", "the middle of the plate would fall out"),
    ("the script raises (KeyError|IndexError|ValueError|TypeError|NameError|UnboundLocalError)",
     "Python's own word on the script, with its line"),
    ("leaves its blank", "what is cut must lie on what it is cut into"),
    ("a mouth within 5 mm", "a socket hovers before its housing or is buried in it"),
    ("have no faces that face each other", "the parts of a joint are more than 10 mm from each other"),
    ("face each other in more than one place", "two pairs of faces may be meant"),
    ("face each other only where one of them is cut away", "the joint would hold in a hole"),
    ("kg per dm³", "no piece of equipment is lighter than packing foam or heavier than tungsten"),
    ("a corner radius of -", "no corner has a radius below nothing"),
    ("has no mounting holes", "stand-offs have nothing to be screwed to"),
    ("glue thickness", "glue has a thickness at which it holds"),
)


def reason_for(message: str) -> str | None:
    """Why this refusal is right; None where it is none of the kinds."""
    return next((reason for pattern, reason in REFUSALS if re.search(pattern, message, re.S)), None)
