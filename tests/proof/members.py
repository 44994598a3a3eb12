"""What a STEP file says of a member: its blank and its round holes, read from faces of the kernel. mm.

Member frame: x from the datum end, y from the face side, z up to the face edge.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_Cylinder, GeomAbs_Plane
from OCP.IFSelect import IFSelect_RetDone
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_FACE, TopAbs_REVERSED, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from tests.proof.facets import Floats

SIDES = {"datum end": (0, -1), "far end": (0, 1), "face side": (1, -1), "back side": (1, 1), "under edge": (2, -1),
         "face edge": (2, 1)}
"""Axis of the member frame and sense of the outward normal."""
SAME = 1e-4
"""mm and rad: faces of one hole, and a hole's rim on a side of the blank."""


@dataclass(frozen=True, eq=False)
class Hole:
    """A round hole. ``entry`` on the side it is drilled from, ``way`` unit into the wood, ``depth`` to the shoulder."""

    side: str
    entry: Floats
    way: Floats
    radius: float
    depth: float


@dataclass(frozen=True, eq=False)
class Member:
    """``size``: length, thickness, height of the blank."""

    size: Floats
    holes: tuple[Hole, ...]

    def holes_in(self, side: str, diameter: float) -> list[Hole]:
        return [h for h in self.holes if h.side == side and abs(2 * h.radius - diameter) < 0.01]

    def mirrored(self) -> Member:
        """The member of the other hand: datum end and far end changed over."""
        swap = {"datum end": "far end", "far end": "datum end"}
        turn, shift = np.array([-1.0, 1, 1]), np.array([self.size[0], 0, 0])
        return Member(self.size, tuple(replace(h, side=swap.get(h.side, h.side), entry=h.entry * turn + shift,
                                               way=h.way * turn) for h in self.holes))


@dataclass(frozen=True, eq=False)
class Round:
    """A hollow cylinder of a solid: ``point`` on the ``axis``, from ``low`` to ``high`` along it."""

    point: Floats
    axis: Floats
    radius: float
    low: float
    high: float


def read_solid(path: Path) -> TopoDS_Shape:
    """The one solid of a STEP file. ValueError where there is another number of them."""
    reader = STEPControl_Reader()
    if reader.ReadFile(str(path)) != IFSelect_RetDone:
        raise ValueError(f"{path.name}: the kernel cannot read it")
    reader.TransferRoots()
    shape = reader.OneShape()
    solids = list(_explore(shape, TopAbs_SOLID))
    if len(solids) != 1:
        raise ValueError(f"{path.name}: {len(solids)} solids")
    return solids[0]


def read_member(path: Path) -> Member:
    """ValueError where the blank does not start at the origin."""
    solid = read_solid(path)
    low, high = box_of_planes(solid)
    if np.abs(low).max() > SAME:
        raise ValueError(f"{path.name}: the blank starts at {low}, not at the origin")
    return Member(high, tuple(hole for r in rounds(solid) for hole in _drilled(r, high)))


def _explore(shape: TopoDS_Shape, kind: object) -> list[TopoDS_Shape]:
    explorer, found = TopExp_Explorer(shape, kind), []
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def box_of_planes(solid: TopoDS_Shape) -> tuple[Floats, Floats]:
    """Lowest and highest plane square to each axis."""
    places: list[list[float]] = [[], [], []]
    for shape in _explore(solid, TopAbs_FACE):
        surface = BRepAdaptor_Surface(TopoDS.Face_s(shape))
        if surface.GetType() == GeomAbs_Plane:
            plane = surface.Plane()
            normal, at = plane.Axis().Direction(), plane.Location()
            for axis, (n, p) in enumerate(zip((normal.X(), normal.Y(), normal.Z()), (at.X(), at.Y(), at.Z()), strict=True)):
                if abs(abs(n) - 1) < 1e-9:
                    places[axis].append(p)
    return np.array([min(p) for p in places]), np.array([max(p) for p in places])


def rounds(solid: TopoDS_Shape) -> list[Round]:
    """Hollow cylinders; faces of one axis and radius that touch or overlap along it are one."""
    found: list[Round] = []
    for shape in _explore(solid, TopAbs_FACE):
        face = TopoDS.Face_s(shape)
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() != GeomAbs_Cylinder:
            continue
        cylinder = surface.Cylinder()
        # The kernel's normal looks outwards from the axis for a right-handed cylinder; a hole's face is turned over.
        if (face.Orientation() == TopAbs_REVERSED) != cylinder.Direct():
            continue
        at, along = cylinder.Location(), cylinder.Axis().Direction()
        _, _, low, high = BRepTools.UVBounds_s(face)
        found.append(_standing(Round(np.array([at.X(), at.Y(), at.Z()]), np.array([along.X(), along.Y(), along.Z()]),
                                     cylinder.Radius(), low, high)))
    return _joined(found)


def _standing(r: Round) -> Round:
    """With the axis along its largest component's positive sense, and the point at the foot from the origin."""
    if r.axis[np.argmax(np.abs(r.axis))] < 0:
        r = Round(r.point, -r.axis, r.radius, -r.high, -r.low)
    shift = float(r.point @ r.axis)
    return Round(r.point - shift * r.axis, r.axis, r.radius, r.low + shift, r.high + shift)


def _joined(parts: list[Round]) -> list[Round]:
    joined: list[Round] = []
    for part in sorted(parts, key=lambda r: r.low):
        for i, other in enumerate(joined):
            if (np.abs(other.axis - part.axis).max() < SAME and np.abs(other.point - part.point).max() < SAME
                    and abs(other.radius - part.radius) < SAME and part.low <= other.high + SAME):
                joined[i] = replace(other, high=max(other.high, part.high))
                break
        else:
            joined.append(part)
    return joined


def _drilled(r: Round, size: Floats) -> list[Hole]:
    """The hole from each side of the blank that it opens on."""
    axis = int(np.argmax(np.abs(r.axis)))
    if abs(r.axis[axis]) < 1 - 1e-6:
        return []  # askew: not drilled from a side
    holes = []
    for side, (of, sense) in SIDES.items():
        at = 0.0 if sense < 0 else float(size[of])
        if of == axis and abs((r.low if sense < 0 else r.high) - at) < SAME:
            holes.append(Hole(side, r.point + at * r.axis, -sense * r.axis, r.radius, r.high - r.low))
    return holes
