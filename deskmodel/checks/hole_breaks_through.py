"""A hole breaks through, or leaves too little wood below its point.

Finds: in timber and ply, blind holes for dowels, inserts and screws with less than 3 mm below the drill's point (warn), and
    holes that run into a notch, groove, pocket, slot, cut-out or bevel (stop) or leave less than 3 mm to it (warn).
Why it matters: the point shows on the far face or the dowel in the notch; glue runs out, the thin skin breaks.
How measured: to the far face of the blank along the axis; to everything else that is cut away the distance in space of hole
    with point and removal, in closed form (between convex bodies, to 0.001 mm).
Limits: a hole that comes out of its blank is refused where it is made. A hole whose whole mouth lies in a cut-away begins at
    that one's bottom and is not judged against it. Edges of the face it enters: dowel-near-edge. Other holes: holes-cross.
Sources: common practice: 3 mm below the point; that a hole ends where there is no wood needs none.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._bodies import box_gap, nearest
from deskmodel.checks._cuts import WALL, Cut, CutPart, cut_parts, is_round
from deskmodel.findings import Finding
from deskmodel.frames import Vec
from deskmodel.plans.bored import Bored, wooden
from deskmodel.tolerances import LENGTH, OVERLAP

__all__ = ["CHECK"]

_SKIN = 0.005  # mm below the mouth at which wood is looked for
_ROUND = 16  # places on the rim of the mouth


def run(facts: Facts) -> list[Finding]:
    findings: list[Finding] = []
    for part in cut_parts(facts):
        if wooden(part.placed):
            shapes = [cut for cut in part.cuts if not is_round(cut)]
            for cut in part.cuts:
                if cut.joint_hole is not None:
                    findings += _below(facts, cut.joint_hole)
                    findings += _into_shapes(facts, part, cut, cut.joint_hole, shapes)
    return findings


def _below(facts: Facts, hole: Bored) -> Iterator[Finding]:
    left = hole.behind - hole.depth - hole.tip
    if hole.hole.depth is None or left >= WALL - LENGTH:
        return
    point = hole.at(hole.depth + hole.tip)
    yield Finding(
        "hole-breaks-through", "warn", (hole.part,),
        f"{hole.hole.name} in the {hole.hole.face} of {hole.part} leaves {left:.2f} mm below the drill's "
        f"point, at {at(point)}",
        f"drill it {WALL - left:.2f} mm less deep, or a thicker piece", point=point, measured=left, required=WALL, unit="mm",
        source="common practice", lines=lines_of(facts, (hole.part,)))


def _into_shapes(facts: Facts, part: CutPart, cut: Cut, hole: Bored, shapes: list[Cut]) -> Iterator[Finding]:
    for shape in shapes:
        if box_gap(cut.box, shape.box) >= WALL - LENGTH or _begins_in(part, hole, shape):
            continue
        away, p, _ = nearest(cut.bodies, shape.bodies, part.own(hole.mouth))
        if away >= WALL - LENGTH:
            continue
        point = part.placed.pose.apply(p)
        meets = away < OVERLAP
        what = "runs into" if meets else f"leaves {away:.2f} mm to"
        yield Finding(
            "hole-breaks-through", "stop" if meets else "warn", (hole.part,),
            f"{hole.hole.name} in the {hole.hole.face} of {hole.part} {what} the {shape.feature.name}, at {at(point)}",
            f"move one of them: {WALL:g} mm of wood between them", point=point, measured=0.0 if meets else away,
            required=WALL, unit="mm", source="geometry" if meets else "common practice", lines=lines_of(facts, (hole.part,)))


def _begins_in(part: CutPart, hole: Bored, shape: Cut) -> bool:
    """Whether the whole mouth lies where the shape is cut away."""
    face = part.placed.part.blank.face(hole.hole.face)
    (u, v), radius = hole.hole.at, hole.hole.diameter / 2 - LENGTH
    turns = [2 * math.pi * i / _ROUND for i in range(_ROUND)]
    places: list[Vec] = [face.point(u, v, _SKIN)]
    places += [face.point(u + radius * math.cos(a), v + radius * math.sin(a), _SKIN) for a in turns]
    return all(shape.contains(place) for place in places)


CHECK = Check("hole-breaks-through", "model", __doc__, run)
