"""Faults planted in what was written: in the facets of a jig, in the solid of a member, in the contract. Each is one edit of
files, made without the program that wrote them."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import cadquery as cq
import numpy as np

from tests.proof.cylinders import Cylinder, seats
from tests.proof.facets import Floats, Ints, Mesh, read_mesh, write_mesh
from tests.proof.members import Hole

Edit = Callable[[Mesh], Mesh]


def edit_mesh(path: Path, edit: Edit) -> None:
    write_mesh(path, edit(read_mesh(path)))


def edit_contract(folder: Path, edit: Callable[[dict[str, Any]], None]) -> None:
    path = folder / "jigs" / "jigs.json"
    data = json.loads(path.read_text(encoding="utf-8"))
    edit(data)
    path.write_text(json.dumps(data), encoding="utf-8")


def bush_moved(mesh: Mesh, by: float, outside: float = 12.0) -> Mesh:
    """A seat moved aside by ``by`` mm, everything else where it was."""
    seat = seats_of(mesh, outside)[0]
    near = _round(mesh, seat)
    return _shifted(mesh, near, np.tile(by * _aside(seat), (len(near), 1)))


def bush_tilted(mesh: Mesh, degrees: float, outside: float = 12.0) -> Mesh:
    """A seat tilted about its middle."""
    seat = seats_of(mesh, outside)[0]
    near = _round(mesh, seat)
    height = (mesh.vertices[near] - seat.point) @ seat.axis - (seat.low + seat.high) / 2
    return _shifted(mesh, near, np.outer(height * np.tan(np.radians(degrees)), _aside(seat)))


def bush_shortened(mesh: Mesh, by: float, outside: float = 12.0) -> Mesh:
    """A seat cut off by ``by`` at its upper end along its axis, with the shoulder that a bush stands on there."""
    seat = seats_of(mesh, outside)[0]
    away = mesh.vertices - seat.point
    height = away @ seat.axis
    across = np.linalg.norm(away - np.outer(height, seat.axis), axis=1)
    ends = np.flatnonzero((across < 1.45 * seat.radius) & (height > seat.high - 0.01) & (height < seat.high + 3))
    return _shifted(mesh, ends, np.tile(-by * seat.axis, (len(ends), 1)))


def pattern_mirrored(mesh: Mesh, axis: int, outside: float = 12.0) -> Mesh:
    """All seats mirrored in the middle of the body, fences where they were."""
    middle = (mesh.vertices.min(axis=0) + mesh.vertices.max(axis=0)) / 2
    for seat in seats_of(mesh, outside):
        near = _round(mesh, seat)
        move = np.zeros(3)
        move[axis] = 2 * (middle - seat.point)[axis]
        mesh = _shifted(mesh, near, np.tile(move, (len(near), 1)))
    return mesh


def hand_changed(mesh: Mesh, axis: int) -> Mesh:
    """The whole jig of the other hand, in the same box."""
    vertices = mesh.vertices.copy()
    vertices[:, axis] = vertices[:, axis].min() + vertices[:, axis].max() - vertices[:, axis]
    return Mesh(vertices, mesh.faces[:, ::-1])


def hole_moved(path: Path, hole: Hole, by: Floats) -> None:
    """A hole of a member filled and drilled again ``by`` mm away."""
    wood = cq.importers.importStep(str(path)).val()
    whole = hole.depth + 1.2 * hole.radius
    for at, cut in ((hole.entry, False), (hole.entry + by, True)):
        start, way = cq.Vector(*at), cq.Vector(*hole.way)
        if cut:
            wood = wood.cut(cq.Solid.makeCylinder(hole.radius, hole.depth, start, way))
        else:
            wood = wood.fuse(cq.Solid.makeCylinder(hole.radius + 0.01, whole, start, way)).clean()
    cq.exporters.export(cq.Workplane(wood), str(path), exportType="STEP")


def seats_of(mesh: Mesh, outside: float) -> list[Cylinder]:
    """The seats of bushes of this outside diameter."""
    return [seat for seat in seats(mesh) if abs(2 * seat.radius - outside) < 1]


def _round(mesh: Mesh, seat: Cylinder) -> Ints:
    """Corners on the wall of a seat and on the roof over it, rims included."""
    away = mesh.vertices - seat.point
    height = away @ seat.axis
    across = np.linalg.norm(away - np.outer(height, seat.axis), axis=1)
    return np.flatnonzero((across < 1.45 * seat.radius) & (height > seat.low - 0.01) & (height < seat.high + 0.01)
                          & (across > 0.98 * seat.radius))


def _aside(seat: Cylinder) -> Floats:
    """A direction square to the axis, along the print frame's axis that it is most square to."""
    unit = np.eye(3)[np.argmin(np.abs(seat.axis))]
    aside = unit - (unit @ seat.axis) * seat.axis
    return np.asarray(aside / np.linalg.norm(aside))


def _shifted(mesh: Mesh, which: Ints, by: Floats) -> Mesh:
    vertices = mesh.vertices.copy()
    vertices[which] += by
    return Mesh(vertices, mesh.faces)
