"""Blind cuts that reach out of one flat face of bodies: engraved letters. Which of them can be let in without a boolean.

    Where the box about a cut meets the box of one face and of no other, that face runs right through the cut and no edge
    comes near: what lies below the face is all material, what lies above it all air. What is cut is the part below.

         tool  +---+
    -----------|---|----------- face          boxes are a little large: a cut may be left to the boolean, never
               +---+                          wrongly let in
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.TopAbs import TopAbs_FACE
from OCP.TopoDS import TopoDS_Shape

from deskmodel.features import Prism, Removal
from deskmodel.frames import add, dot, scale
from deskmodel.solids._let_in import Mouth, holds, plane_of
from deskmodel.solids._separate import APART, meeting
from deskmodel.solids.brep import explored
from deskmodel.tolerances import ANGLE

__all__ = ["sunk_ones"]

_FEW = 8
"""Cuts below which one boolean more or less does not count."""


def sunk_ones(shape: TopoDS_Shape, removals: Sequence[Removal],
              all_of: Sequence[Removal]) -> tuple[list[tuple[Removal, list[Mouth]]], list[Removal]]:
    """(prisms that reach into ``shape`` through one flat face only and keep clear of all others of ``all_of``, each as far
    as it lies in the material, with its mouth; the rest of ``removals``). ``shape`` is what they are cut from, all of it
    before the first cut."""
    if len(removals) < _FEW:
        return [], list(removals)
    touching = meeting(all_of)
    alone = {id(removal) for i, removal in enumerate(all_of) if i not in touching}
    faces = explored(shape, TopAbs_FACE)
    boxes = np.array([_box(face) for face in faces])
    found: list[tuple[Removal, list[Mouth]]] = []
    rest: list[Removal] = []
    for removal in removals:
        into = _one_met(removal, boxes) if id(removal) in alone and isinstance(removal, Prism) else None
        sunk = None if into is None else _below(removal, faces[into])
        if sunk is None:
            rest.append(removal)
        else:
            found.append(sunk)
    return (found, rest) if len(found) >= _FEW else ([], list(removals))


def _one_met(removal: Removal, boxes: NDArray[np.float64]) -> int | None:
    """The only face that comes near; ``boxes`` (n, 6)."""
    low, high = removal.bounds
    near = (boxes[:, :3] <= np.add(high, APART)).all(axis=1) & (boxes[:, 3:] >= np.subtract(low, APART)).all(axis=1)
    met = np.flatnonzero(near)
    return int(met[0]) if len(met) == 1 else None


def _below(prism: Removal, face: TopoDS_Shape) -> tuple[Prism, list[Mouth]] | None:
    """What of a prism lies below a face that it stands square in."""
    assert isinstance(prism, Prism)
    axis = prism.pose.axis(2)
    for out, at in plane_of(face):
        along = dot(axis, out)
        height = (at - dot(prism.pose.origin, out)) * along
        mouth = add(prism.pose.apply((*prism.profile.vertices[0][:2], 0.0)), scale(axis, height))
        if abs(along) > 1 - ANGLE and APART < height < prism.depth - APART and holds(face, mouth):
            if along > 0:
                return replace(prism, depth=height), [(mouth, out)]
            pose = prism.pose.moved(scale(axis, height))
            return Prism(prism.profile, pose, prism.depth - height), [(mouth, out)]
    return None


def _box(face: TopoDS_Shape) -> tuple[float, ...]:
    box = Bnd_Box()
    BRepBndLib.Add_s(face, box, False)
    return tuple(box.Get())
