"""Holes of one part meet or leave a thin wall.

Finds: holes for dowels, inserts or screws that meet another hole, a bore or a vent of the same part (stop), or that leave
    less than 3 mm of wood to it (warn; timber and ply only).
Why it matters: the drill wanders into the other hole, the glue runs into it, a screw meets a dowel, a cable chafes on it.
How measured: the distance in space of both holes with their drill's points, in closed form (between convex bodies, to
    0.001 mm).
Limits: holes on one axis, from the same face or one of them right through, are one stepped hole. Dowel holes from opposite
    faces that lie beside each other are told by opposed-dowels-close, dowels of one joint that do not meet by
    dowels-badly-spaced; notches, grooves and the like by hole-breaks-through.
    How wide a web of metal must be is not looked at here.
Sources: common practice: 3 mm of wood; that two holes cannot be in one place needs none.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._bodies import near_pairs, nearest
from deskmodel.checks._cuts import JOINT_HOLES, WALL, Cut, CutPart, cut_parts, is_round
from deskmodel.findings import Finding
from deskmodel.frames import add, dot, scale
from deskmodel.plans.bored import Bored, across, doweled, opposed, wooden
from deskmodel.tolerances import COAXIAL, LENGTH, OVERLAP

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    findings = []
    joint = {hole.key: dowel.piece.group for dowel in doweled(facts.model.parts) for hole in dowel.holes}
    for part in cut_parts(facts):
        wall = WALL if wooden(part.placed) else 0.0
        holes = [cut for cut in part.cuts if is_round(cut)]
        for one, other in near_pairs(holes, lambda cut: cut.box, wall):
            if one.joint_hole is None and other.joint_hole is None:
                continue
            first, second = sorted((one, other), key=_rank)
            of = [joint.get(cut.hole.key) for cut in (first, second) if cut.hole is not None]
            row = len(of) == 2 and of[0] is not None and of[0] == of[1]
            found = _between(facts, part, first, second, 0.0 if row else wall)
            if found:
                findings.append(found)
    return findings


def _between(facts: Facts, part: CutPart, one: Cut, other: Cut, wall: float) -> Finding | None:
    assert one.hole is not None
    if other.hole is not None and (_stepped(one.hole, other.hole) or opposed(one.hole, other.hole, WALL)):
        return None
    away, p, q = nearest(one.bodies, other.bodies, part.own(one.hole.mouth))
    meets = away < OVERLAP
    if not meets and away >= wall - LENGTH:
        return None
    point, name = part.placed.pose.apply(scale(add(p, q), 0.5)), part.placed.name
    what = "runs into" if meets else f"leaves {away:.2f} mm to"
    return Finding(
        "holes-cross", "stop" if meets else "warn", (name,),
        f"{one.feature.name} in the {one.hole.hole.face} of {name} {what} {other.feature.name}, at {at(point)}",
        f"move one of them: {WALL:g} mm of material between them", point=point, measured=0.0 if meets else away,
        required=WALL, unit="mm", source="geometry" if meets else "common practice", lines=lines_of(facts, (name,)))


def _rank(cut: Cut) -> tuple[int, tuple[float, ...]]:
    """Dowels before inserts before screws before bores, then by where the mouth is: the same in any order of features."""
    if cut.joint_hole is None:
        return len(JOINT_HOLES), tuple(v for corner in cut.box for v in corner)
    return JOINT_HOLES.index(cut.joint_hole.hole.purpose), cut.joint_hole.hole.at


def _stepped(a: Bored, b: Bored) -> bool:
    """Whether they are one hole with a step: on one axis, from one face or one of them right through."""
    if abs(dot(a.inwards, b.inwards)) < 0.999 or across(a.mouth, b.mouth, a.inwards) > COAXIAL + LENGTH:
        return False
    return dot(a.inwards, b.inwards) > 0 or a.hole.depth is None or b.hole.depth is None


CHECK = Check("holes-cross", "model", __doc__, run)
