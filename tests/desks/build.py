"""Small frozen desks for the tests of joints, and the numbers of a hole where it stands in the desk."""

from __future__ import annotations

import numpy as np

from deskmodel import Desk, Member, Plate, rectangle
from deskmodel.desk import Placed
from deskmodel.features import Hole
from deskmodel.model import DeskModel, freeze

__all__ = ["Bore", "bores", "frozen", "plate", "rail"]


class Bore:
    """A hole in the desk frame: ``mouth``, direction ``into`` the material, ``depth`` of the full diameter; mm."""

    def __init__(self, model: DeskModel, part: str, hole: Hole) -> None:
        placed = model.part(part)
        face = placed.face(hole.face)
        u, v = hole.at
        self.part, self.hole = part, hole
        self.mouth = np.array(face.origin) + u * np.array(face.u) + v * np.array(face.v)
        self.into = -np.array(face.normal)
        self.depth = face.behind if hole.depth is None else hole.depth
        self.behind = face.behind

    def off_axis(self, other: Bore) -> float:
        """mm between the two axes, which must be parallel."""
        assert abs(abs(self.into @ other.into) - 1) < 1e-12
        return float(np.linalg.norm(np.cross(other.mouth - self.mouth, self.into)))


def bores(model: DeskModel, part: str, purpose: str) -> list[Bore]:
    return [Bore(model, part, f) for f in model.part(part).part.features if isinstance(f, Hole) and f.purpose == purpose]


def rail(d: Desk, name: str, length: float, at: tuple[float, float, float], along: str = "x", turn: float = 0,
         section: tuple[float, float] = (22, 60)) -> Placed:
    return d.place(Member(name, section, length, "ash"), at=at, along=along, turn=turn)


def plate(d: Desk, name: str, x: float, y: float, at: tuple[float, float, float], thickness: float = 1.5,
          material: str = "steel", **more: object) -> Placed:
    return d.place(Plate(name, rectangle(x, y), thickness, material, **more), at=at)


def frozen(d: Desk) -> DeskModel:
    return freeze(d)[0]
