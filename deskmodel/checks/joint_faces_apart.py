"""The faces of a joint are not where the joint wants them.

Finds: joints whose faces are apart, or in each other, by 0.01 mm or more; glue and pads count as wanted distance.
Why it matters: a dowel joint with a gap has no glue line; a plate that hovers is not bonded; a member is cut short.
How measured: the distance of the two facing planes, in closed form from the placed blanks.
Limits: faces more than 10 mm apart are not taken for a joint at all: the script is then at fault.
Sources: common practice: a glue line in wood closes under the clamp; elastic glue has its stated thickness.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.findings import Finding
from deskmodel.tolerances import FACES_APART, LENGTH

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    findings = []
    for joint in facts.model.joints:
        if abs(joint.apart) < FACES_APART - LENGTH:  # 61.51 - 61.5 is a hair below 0.01
            continue
        wanted = f" beyond the {joint.layer:g} mm of {joint.text.split(',')[0]}" if joint.layer else ""
        apart = joint.apart > 0
        state = f"{joint.apart:.2f} mm apart{wanted}" if apart else f"{-joint.apart:.2f} mm too close"
        findings.append(Finding(
            "joint-faces-apart", "stop", (joint.a, joint.b),
            f"{joint.kind} {joint.name}: the {joint.faces[0]} of {joint.a} and the {joint.faces[1]} of {joint.b} are "
            f"{state} at {at(joint.point)}",
            f"move or {'lengthen' if apart else 'shorten'} {joint.a} or {joint.b} by {abs(joint.apart):.2f} mm",
            point=joint.point, measured=joint.layer + joint.apart, required=joint.layer, unit="mm",
            source="common practice", lines=lines_of(facts, (joint.name, joint.a, joint.b))))
    return findings


CHECK = Check("joint-faces-apart", "model", __doc__, run)
