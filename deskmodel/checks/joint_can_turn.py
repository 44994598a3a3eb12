"""A dowel joint that can turn.

Finds: dowel joints (end to face, face to face, through) of one dowel, or of dowels that are less than a third of the joint's
    length apart.
Why it matters: the piece turns about its dowel while the glue sets, and the frame comes out twisted.
How measured: the greatest distance of two parallel dowel axes across them, against the longer side of where the faces meet.
    A play of 0.1 mm at each of two dowels that stand a third of it apart lets the far edge move 0.3 mm. What is laminated
    or bonded together, timber to timber, is one piece; dowels and wood screws of all joints of the same two pieces count
    together where they cross the same plane.
Limits: plates, inserts, covers and rests come later than the glue and do not count. Nor does what holds the piece at its
    other end: each joint is clamped on its own. How strong the joint is is not judged.
Sources: common practice: two dowels at least; jigs drill to about 0.1 mm.
"""

from __future__ import annotations

from itertools import combinations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.faces import PlacedPart
from deskmodel.findings import Finding
from deskmodel.frames import Vec, dot, norm, sub
from deskmodel.hardware import Hardware
from deskmodel.joints import JointRecord
from deskmodel.plans.bored import DOWEL_JOINTS, across, ends, wooden
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["APART", "CHECK"]

APART = 1 / 3
"""Of the joint's length, between the outer dowels (play of 0.1 mm, 0.3 mm at the far edge: common practice)."""

_ONE_PIECE = ("laminate", "bond")
_REACH = 0.5  # mm to either side of the joint's plane
_HOLD = {"dowel", "wood screw"}


def run(facts: Facts) -> list[Finding]:
    parts = {part.name: part for part in facts.model.parts}
    pieces = _pieces(facts.model.joints, parts)
    between: dict[frozenset[str], set[str]] = {}
    for joint in facts.model.joints:
        pair = frozenset(pieces.get(name, name) for name in (joint.a, joint.b))
        if wooden(parts[joint.a]) and wooden(parts[joint.b]):
            between.setdefault(pair, set()).update(name for name in joint.hardware if _holds(parts[name]))
    findings = []
    for joint in facts.model.joints:
        pair = frozenset(pieces.get(name, name) for name in (joint.a, joint.b))
        if joint.kind not in DOWEL_JOINTS or len(pair) < 2:
            continue
        own = [parts[name] for name in joint.hardware]
        axis = own[0].pose.axis(2)
        length = _length(joint, axis)
        apart = _apart([parts[name] for name in sorted(between.get(pair, ())) if _crosses(parts[name], joint.point, axis)])
        if apart < APART * length - LENGTH:
            findings.append(_finding(facts, joint, apart, APART * length, len(own)))
    return findings


def _pieces(joints: tuple[JointRecord, ...], parts: dict[str, PlacedPart]) -> dict[str, str]:
    """Each part that is glued to others, by the name of its piece: the first of their names."""
    piece: dict[str, str] = {}
    for joint in joints:
        if joint.kind in _ONE_PIECE and wooden(parts[joint.a]) and wooden(parts[joint.b]):
            one, other = (piece.get(name, name) for name in (joint.a, joint.b))
            first = min(one, other)
            piece |= {name: first for name, of in piece.items() if of in (one, other)}
            piece |= {one: first, other: first, joint.a: first, joint.b: first}
    return piece


def _holds(placed: PlacedPart) -> bool:
    return isinstance(placed.part, Hardware) and placed.part.kind in _HOLD


def _crosses(piece: PlacedPart, point: Vec, normal: Vec) -> bool:
    """Whether a piece reaches to both sides of a plane."""
    low, high = sorted(dot(sub(end, point), normal) for end in ends(piece))
    return low < -_REACH and high > _REACH


def _apart(pieces: list[PlacedPart]) -> float:
    """The greatest distance of two axes; endless where two are not parallel: they hold each other."""
    widest = 0.0
    for one, other in combinations(pieces, 2):
        if abs(dot(one.pose.axis(2), other.pose.axis(2))) < 1 - ANGLE:
            return float("inf")
        widest = max(widest, across(one.pose.origin, other.pose.origin, one.pose.axis(2)))
    return widest


def _length(joint: JointRecord, axis: Vec) -> float:
    """The longer side of where the faces meet, seen along the dowels, at right angles to the desk or across its box."""
    low, high = joint.region
    size = sub(high, low)
    main = max(range(3), key=lambda i: abs(axis[i]))
    if abs(axis[main]) > 1 - ANGLE:
        return max(size[i] for i in range(3) if i != main)
    return norm(size)


def _finding(facts: Facts, joint: JointRecord, apart: float, required: float, count: int) -> Finding:
    what = "one dowel" if count == 1 else f"{count} dowels {apart:.1f} mm apart"
    return Finding(
        "joint-can-turn", "warn", (joint.a, joint.b),
        f"{joint.kind} {joint.name}: {joint.a} can turn on {joint.b}, held by {what}, at {at(joint.point)}",
        f"two dowels {required:.1f} mm apart or more, or glue the pieces face to face", point=joint.point, measured=apart,
        required=required, unit="mm", source="common practice", lines=lines_of(facts, (joint.name, joint.a, joint.b)))


CHECK = Check("joint-can-turn", "model", __doc__, run)
