"""The faces of a joint are not where the joint wants them.

Finds: joints whose faces are apart, or in each other, by 0.01 mm or more; glue and pads count as wanted distance.
Why it matters: a dowel joint with a gap has no glue line; a plate that hovers is not bonded; a member is cut short.
How measured: the distance of the two facing planes, in closed form from the placed blanks.
Limits: faces more than 10 mm apart are not taken for a joint at all: the script is then at fault.
Sources: common practice: a glue line in wood closes under the clamp; elastic glue has its stated thickness.
"""

from __future__ import annotations

from collections.abc import Sequence

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.findings import Finding
from deskmodel.joints import GLUES, JointRecord
from deskmodel.tolerances import FACES_APART, LENGTH

__all__ = ["CHECK"]

_LAYERS = {"rest": ("pad", "Rest"), "hinge": ("pad", "Hinge"), "bond": ("thickness", "Bond")}
_THICKEST = 3.0  # mm; thicker than a pad or a bed of glue is (common practice), a part is out of place


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
            f"move or {'lengthen' if apart else 'shorten'} {joint.a} or {joint.b} by {abs(joint.apart):.2f} mm"
            + _or_state(joint, facts.model.joints),
            point=joint.point, measured=joint.layer + joint.apart, required=joint.layer, unit="mm",
            source="common practice", lines=lines_of(facts, (joint.name, joint.a, joint.b))))
    return findings


def _or_state(joint: JointRecord, joints: Sequence[JointRecord]) -> str:
    """Where all faces of a rest, hinge or bond are equally far apart, and not far: the pad or glue that would be right."""
    if joint.kind not in _LAYERS:
        return ""
    argument, written = _LAYERS[joint.kind]
    title = joint.name.removesuffix(f", {joint.b}")
    distances = [each.layer + each.apart for each in joints
                 if (each.kind, each.a, each.name.removesuffix(f", {each.b}")) == (joint.kind, joint.a, title)]
    if max(distances) - min(distances) >= FACES_APART or not FACES_APART <= round(distances[0], 2) <= _THICKEST:
        return ""
    layer = round(joint.layer + joint.apart, 2)
    if joint.kind == "bond":
        _, least, most = GLUES[joint.text.split(" glue")[0]]
        if not least <= layer <= most:
            return ""
    return f", or state {argument}={layer:g} in this {written}"


CHECK = Check("joint-faces-apart", "model", __doc__, run)
