"""What a screw of a screw mount turns into: its nut, or a threaded hole of the equipment."""

from __future__ import annotations

from deskmodel.component import Component
from deskmodel.faces import PlacedPart
from deskmodel.features import Hole
from deskmodel.frames import Vec, dot, norm, scale, sub
from deskmodel.hardware import Hardware
from deskmodel.joints import JointRecord
from deskmodel.model import DeskModel
from deskmodel.tolerances import COAXIAL, LENGTH

__all__ = ["SCREW_MOUNT", "thread_of"]

SCREW_MOUNT = "screw mount"


def thread_of(model: DeskModel, screw: PlacedPart, record: JointRecord) -> tuple[float, float, str] | None:
    """(start, end, what it is) along the screw from its head, mm; None where no thread is in line with it."""
    origin, axis = screw.pose.origin, screw.pose.axis(2)
    for name in sorted(record.hardware):
        piece = model.part(name)
        if isinstance(piece.part, Hardware) and piece.part.kind == "nut" and _on(piece.pose.origin, origin, axis):
            low, high = sorted(dot(sub(piece.pose.apply((0.0, 0.0, z)), origin), axis) for z in (0.0, _height(piece)))
            return low, high, "its nut"
    equipment = model.part(record.a)
    assert isinstance(equipment.part, Component)
    for hole in equipment.part.features:
        if isinstance(hole, Hole) and hole.purpose == "screw" and hole.depth is not None:
            face = equipment.face(hole.face)
            mouth, inwards = face.point(*hole.at), scale(face.normal, -1.0)
            if dot(inwards, axis) > 0.999 and _on(mouth, origin, axis):
                start = dot(sub(mouth, origin), axis)
                return start, start + hole.depth, f"{hole.name} of {equipment.name}"
    return None


def _height(piece: PlacedPart) -> float:
    return float(piece.part.blank.bounds[1][2])


def _on(p: Vec, origin: Vec, axis: Vec) -> bool:
    offset = sub(p, origin)
    return norm(sub(offset, scale(axis, dot(offset, axis)))) <= COAXIAL + LENGTH
