"""Where a jig really puts a hole: from the jig's own numbers and the faces that it registers by, never from the hole.

Seated by its datum planes on stock that may be off in thickness and height; faces that are marked stay where the design has
them, what is too much lies on the back side and the under edge.
"""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel.frames import Pose, Vec, dot, scale
from deskmodel.jigs._groups import ENDS, LIPS
from deskmodel.jigs._types import JigPlan, JigUse
from deskmodel.jigs.plan import seat_pose
from deskmodel.model import DeskModel
from deskmodel.part import Member
from deskmodel.plans.bored import Bored, bored, facing_holes

__all__ = ["Drilled", "Mated", "datums", "drilled", "jig_pairs", "mated", "opposed_datums", "served"]

Key = tuple[str, str, tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Drilled:
    """A hole as drilled, desk frame: ``mouth`` on the face, ``inwards`` into the wood, ``depth`` of the full diameter."""

    mouth: Vec
    inwards: Vec
    depth: float


@dataclass(frozen=True, slots=True)
class Mated:
    """Two designed holes that face each other, and which use of a jig drills each (with the index of its axis); None where
    no jig does. ``mouth``: where they meet."""

    a: Bored
    b: Bored
    mouth: Vec
    use_a: tuple[JigUse, int] | None
    use_b: tuple[JigUse, int] | None


def drilled(model: DeskModel, plan: JigPlan, part: str, use: JigUse, index: int,
            off: tuple[float, float] = (0.0, 0.0)) -> Drilled:
    """The hole that the jig of ``use`` drills in ``part`` with its axis ``index``. ``off``: by how much the stock is thicker
    and higher than designed."""
    jig, placed = plan.jig(use.jig), model.part(part)
    assert isinstance(placed.part, Member)
    u, v = jig.axes[index]
    # marks are measured from the datum end of this very piece, heights from its face edge
    own = seat_pose(jig, placed.part, use.place, use.mark, use.turned_over, (0.0, *off))
    in_desk = placed.pose @ Pose(origin=(0.0, 0.0, -off[1])) @ own
    from_above = jig.kind != "end" or not use.turned_over
    mouth = in_desk.apply((u, v, 0.0 if from_above else jig.web or 0.0))
    down = in_desk.turn((0.0, 0.0, -1.0 if from_above else 1.0))
    return Drilled(mouth, down, use.depth.stop - jig.above)


def served(plan: JigPlan) -> dict[Key, tuple[JigUse, int]]:
    """By part, face and place: which use of a jig drills the hole."""
    return {(part, use.place, at): (use, i) for use in plan.uses for part in use.members for i, at in enumerate(use.at)}


def mated(model: DeskModel, plan: JigPlan) -> list[Mated]:
    """All dowel holes that face each other."""
    by = served(plan)
    return [Mated(m.a, m.b, m.mouth, by.get(_key(m.a)), by.get(_key(m.b)))
            for m in facing_holes(bored(model.parts, ("dowel",)))]


def _key(hole: Bored) -> Key:
    return hole.part, hole.hole.face, hole.hole.at


def datums(model: DeskModel, hole: Bored) -> list[Vec]:
    """Outward normals, desk frame, of the faces that a jig for this hole registers by; the mark of a face jig is none."""
    pose = model.part(hole.part).pose
    face_side, face_edge = scale(pose.axis(1), -1.0), pose.axis(2)
    if hole.hole.face in ENDS:
        return [face_side, face_edge]
    return [face_edge if LIPS.get(hole.hole.face) == "face edge" else face_side]


def opposed_datums(model: DeskModel, mates: Mated) -> bool:
    """Whether the two holes are measured from faces that look opposite ways."""
    return any(dot(a, b) < -0.999 for a in datums(model, mates.a) for b in datums(model, mates.b))


def jig_pairs(model: DeskModel, plan: JigPlan) -> list[tuple[tuple[str, str], tuple[float, float]]]:
    """The numbers of each two jigs that drill holes for one dowel, with the depths, once each."""
    found = set()
    for each in mated(model, plan):
        if each.use_a is not None and each.use_b is not None:
            one, other = sorted((use.jig, use.depth.depth) for use in (each.use_a[0], each.use_b[0]))
            found.add(((one[0], other[0]), (one[1], other[1])))
    return sorted(found)
