"""Shapes for tests of the fit engine: built when asked, equal keys for equal numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import cadquery as cq

from deskmodel.fit import Body
from deskmodel.frames import IDENTITY, Pose, Vec

__all__ = ["Made", "body", "bored", "box", "compound", "cylinder", "hollow", "plate", "screw", "tube"]


@dataclass(frozen=True)
class Made:
    key: str
    make: Callable[[], cq.Shape] = field(compare=False, repr=False)

    def build(self) -> object:
        return self.make().wrapped


def body(name: str, shape: Made, at: Vec = (0.0, 0.0, 0.0), turn: Pose = IDENTITY, **more: object) -> Body:
    return Body(name, shape, Pose(turn.rotation, at), **more)  # type: ignore[arg-type]


def box(x: float, y: float, z: float) -> Made:
    return Made(f"box {x} {y} {z}", lambda: cq.Solid.makeBox(x, y, z))


def cylinder(r: float, h: float) -> Made:
    return Made(f"cylinder {r} {h}", lambda: cq.Solid.makeCylinder(r, h))


def tube(r: float, bore: float, h: float) -> Made:
    return Made(f"tube {r} {bore} {h}", lambda: cq.Solid.makeCylinder(r, h).cut(cq.Solid.makeCylinder(bore, h)))


def bored(side: float, r: float, h: float) -> Made:
    """A block about the z axis with a through bore along it, z from 0 to h."""
    return Made(f"bored {side} {r} {h}", lambda: cq.Solid.makeBox(side, side, h, cq.Vector(-side / 2, -side / 2, 0)).cut(
        cq.Solid.makeCylinder(r, h)))


def hollow(outer: float, wall: float) -> Made:
    room = outer - 2 * wall
    return Made(f"hollow {outer} {wall}", lambda: cq.Solid.makeBox(outer, outer, outer).cut(
        cq.Solid.makeBox(room, room, room, cq.Vector(wall, wall, wall))))


def screw() -> Made:
    """Countersunk, head of radius 4 at z = 0 tapering to the shank of radius 2 at z = 2, down to z = 12."""
    return Made("screw", lambda: cq.Workplane("XZ").polyline([(0, 0), (4, 0), (2, 2), (2, 12), (0, 12)]).close().revolve(
        360, (0, 0, 0), (0, 1, 0)).val())


def plate(nx: int, ny: int, r: float) -> Made:
    """1.5 thick, holes of radius r at a pitch of 8, the first at (8, 8)."""
    def make() -> cq.Shape:
        w, d = 8.0 * (nx + 1), 8.0 * (ny + 1)
        outer = cq.Wire.makePolygon([cq.Vector(*p) for p in ((0, 0), (w, 0), (w, d), (0, d))], close=True)
        holes = [cq.Wire.makeCircle(r, cq.Vector(8.0 * (i + 1), 8.0 * (j + 1), 0), cq.Vector(0, 0, 1))
                 for i in range(nx) for j in range(ny)]
        return cq.Solid.extrudeLinear(outer, holes, cq.Vector(0, 0, 1.5))
    return Made(f"plate {nx} {ny} {r}", make)


def compound(*parts: tuple[Made, Vec]) -> Made:
    return Made("compound " + " ".join(f"{part.key} at {at}" for part, at in parts),
                lambda: cq.Compound.makeCompound([part.make().translate(cq.Vector(*at)) for part, at in parts]))
