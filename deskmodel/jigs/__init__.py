"""Jigs: printed drilling guides with metal bushes for the dowel holes of members, worked out from the drilling schedule.

Two kinds. The **end jig** is a cap on the end of a member, which is its floor; a fence lies against the face side, one
against the face edge. The **face jig** is a saddle: a plate on the drilled face, a lip over the edge beside it, and sight
edges that are laid on a mark across the member. Both measure from the same face side and face edge, so that stock a little
off in thickness moves both holes of a joint together.

Seat frame of a jig, (u, v, w) in mm, always right-handed; the wood lies at w < 0, the drill comes along -w:

    end jig     u from the face side, v from the face edge, w out of the end.
                On the datum end of a member (x, y, z): u = y, v = height - z, w = -x.
    face jig    u along the member, v from the edge under the lip (``Jig.lip``), w out of the drilled face. On a side the
                lip lies over the face edge, v = height - z; on an edge over the face side, v = y. One sight edge stands at
                u = 0, the other one at u = ``Jig.far_sight``, dowel holes of a plain row midway between them. With the
                first one on the mark: towards the datum end on the face side and the under edge, towards the far end on
                the back side and the face edge.

``JigUse.turned_over``: the other way of seating the same jig, which is symmetric. What was to the right is to the left:
    end jig     on the far end, the wood on the other side of the web: w counts from there, w' = ``Jig.web`` - w. u and v
                stay. In the member frame the jig only moves along x; people turn the member.
    face jig    the other sight edge lies on the mark: u' = ``Jig.far_sight`` - u, the other direction on each face.
``jig_plan(model)`` works them out, ``jig_body(jig, remark)`` says what is printed, ``jig_slop(jig, …)`` how exact they are.
Where a jig is not symmetric, ``Jig.hand`` says so and there is a jig for each hand: "L" for the first way, "R" for the
other one. The uses of an "R" are turned over, by the same formulas (its ``far_sight`` is 0), so that it is seated like the
back of an "L".

``mark``: where on the member (mm from the datum end) the line is drawn, from the story stick: the face side (where the
entering member lies flat its face edge) of the member that enters. ``towards``: the end of this member towards which the
holes lie from it. Where nothing enters with its end (dowels between two faces, holes without a mate), the mark is where the
sight edge of the jig has to stand for the hole.

``jigs/jigs.json``, ``schema`` 1, mm; other programs rely on it:

    {"schema": 1, "revision": str, "unreleased": str|null,
     "jigs": [{"number": "J1", "kind": "end"|"face", "hand": "L"|"R"|null, "stl": path, "step": path, "3mf": path,
               "seat_from_print": {"rotation": [[3 x 3], by rows], "translation": [3]}: seat = rotation · print +
               translation,
               "drill": diameter, "bit": {"kind", "length", "point"}, "bush": {"bore", "outside", "length", "seat"},
               "seat_diameter": of the printed seat, "axes": [[u, v], …], "guide": length that guides, "gap": from the wood
               to the bush (on both sides of an end jig without a hand), "above": from the wood to what the stop on the
               bit bears on, "web": thickness of an end jig's web | null, "lip": "face edge"|"face side"|null,
               "far_sight": mm|null, "fence": how far an end jig's fences stand out of the web on each side | null,
               "depths": [{"depth", "stop", "through"}]}],
     "uses": [{"jig": "J1", "member": name, "quantity": int, "members": [names of equal members], "file": "members/x.step",
               "place": "datum end"|"far end"|"face side"|"back side"|"face edge"|"under edge", "mark": mm|null, "towards":
               "datum end"|"far end"|null, "sight": "first"|"second"|null, "depth": of the full diameter,
               "stop": mm from the rim of the bit's cutting edge to its stop, "through": bool, "holes": [[x, y], …] as the
               drilling schedule measures them, "joint": names by "; ", "turned_over": bool}],
     "not_made": [{"parts": [names], "place", "joint", "reason", "severity"}]}

STL and 3MF lie as they are printed: z up from the bed, lowest corner at the bed's origin; the STEP file has the same frame.
The bush is metal and not in them; its seat is a cylinder of ``seat_diameter``, coaxial with it, of an end jig opened at the
top by a teardrop.
``members/x.step``: the member in its own frame as it is after the stage "drill".
"""

from __future__ import annotations

from deskmodel.jigs._types import (
    CAUTIONS,
    Depth,
    Jig,
    JigBody,
    JigPlan,
    JigUse,
    Kind,
    NotMade,
    Slop,
    SlopShare,
    likely,
    worst,
)
from deskmodel.jigs.body import jig_body, widest_stop
from deskmodel.jigs.drilled import jig_pairs
from deskmodel.jigs.plan import jig_plan, seat_pose
from deskmodel.jigs.slop import jig_slop, slop_text

__all__ = ["CAUTIONS", "Depth", "Jig", "JigBody", "JigPlan", "JigUse", "Kind", "NotMade", "Slop", "SlopShare", "jig_body",
           "jig_pairs", "jig_plan", "jig_slop", "likely", "seat_pose", "slop_text", "widest_stop", "worst"]
