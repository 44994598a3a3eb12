"""Trial joints: what is drilled in offcuts before the first member, one for each pair of jigs that makes a joint."""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel.hardware import Hardware
from deskmodel.jigs._types import JigPlan, JigUse, Place, Slop, Towards
from deskmodel.jigs.slop import jig_slop
from deskmodel.model import DeskModel
from deskmodel.part import Member

__all__ = ["TrialJoint", "trial_joints", "trial_slop"]

SPARE = 90.0
"""mm of each offcut beyond what is drilled in it, to be clamped by (common practice)."""


@dataclass(frozen=True)
class TrialJoint:
    """``entering``: the use of the jig on the end of one offcut; ``carrying``: of the one on the other's face. ``dowel``:
    its designation, "" where the joint has none; ``count`` of them, ``diameter`` of their holes. Of the two offcuts:
    ``sections`` (thickness, height), ``materials``, ``lengths``. The line is drawn across ``place`` of the carrying one,
    ``mark`` mm from its datum end, the holes lie ``towards`` that end from it. ``joints``: all that are made so."""

    entering: JigUse
    carrying: JigUse
    dowel: str
    count: int
    sections: tuple[tuple[float, float], tuple[float, float]]
    materials: tuple[str, str]
    lengths: tuple[float, float]
    place: Place
    mark: float
    towards: Towards
    joints: tuple[str, ...]
    diameter: float


def trial_joints(model: DeskModel, plan: JigPlan) -> tuple[TrialJoint, ...]:
    """One for each pair of jigs and depths, in the order of their numbers. None for joints of two faces."""
    by_joint: dict[str, tuple[list[JigUse], list[JigUse]]] = {}
    for use in plan.uses:
        for joint in dict.fromkeys(name for told in use.joints for name in told.split("; ") if name):
            by_joint.setdefault(joint, ([], []))[plan.jig(use.jig).kind == "face"].append(use)
    found: dict[tuple[object, ...], list[tuple[str, JigUse, JigUse]]] = {}
    for joint, (ends, faces) in sorted(by_joint.items()):
        if ends and faces:
            key = (ends[0].jig, ends[0].depth.depth, faces[0].jig, faces[0].depth.depth)
            found.setdefault(key, []).append((joint, ends[0], faces[0]))
    return tuple(_trial(model, plan, made) for _, made in sorted(found.items(), key=lambda each: each[0]))


def trial_slop(trial: TrialJoint, plan: JigPlan) -> Slop:
    """How exact it comes out."""
    return jig_slop(plan.jig(trial.entering.jig), plan.jig(trial.carrying.jig),
                    (trial.entering.depth.depth, trial.carrying.depth.depth))


def _trial(model: DeskModel, plan: JigPlan, made: list[tuple[str, JigUse, JigUse]]) -> TrialJoint:
    joint, end, face = made[0]
    parts = [_member(model, use) for use in (end, face)]
    dowels = [placed.part for placed in model.parts if placed.group == joint and isinstance(placed.part, Hardware)]
    jig, mark = plan.jig(face.jig), 60.0
    place: Place = "face side" if jig.lip == "face edge" else "under edge"
    towards: Towards = "far end"
    if jig.hand is not None and face.towards is not None:  # it cannot be seated the other way
        place, towards = face.place, face.towards
    return TrialJoint(end, face, dowels[0].designation if dowels else "", len(dowels) or len(end.holes),
                      (parts[0].section, parts[1].section), (parts[0].material, parts[1].material),
                      (SPARE + round(end.depth.depth), mark + SPARE), place, mark, towards,
                      tuple(name for name, _, _ in made), plan.jig(end.jig).diameter)


def _member(model: DeskModel, use: JigUse) -> Member:
    part = model.part(use.member).part
    assert isinstance(part, Member)  # jigs are for members
    return part
