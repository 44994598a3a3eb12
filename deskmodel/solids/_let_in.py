"""Holes and pockets let into a solid without a boolean operation.

A tool that lies in the material but for flat mouths on the surface, clear of every edge and of every other cut, leaves
nothing to intersect: its mouths' outlines become further wires of the faces that they lie in, its other faces, turned
round, close the holes. A plate with a hundred countersunk holes takes a tenth of the time of a boolean.

    _________         _________         which tools these are is told by ``_separate.let_in_ones``
             |\\     /|
             | \\   / |  tool
"""

from __future__ import annotations

from collections.abc import Sequence

from OCP.BRep import BRep_Builder
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepClass import BRepClass_FaceClassifier
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_FACE, TopAbs_FORWARD, TopAbs_IN, TopAbs_REVERSED, TopAbs_SHELL, TopAbs_WIRE
from OCP.TopoDS import TopoDS, TopoDS_Shape, TopoDS_Shell, TopoDS_Solid

from deskmodel.frames import Vec, dot
from deskmodel.solids.brep import explored
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["Mouth", "holds", "let_in", "plane_of"]

Mouth = tuple[Vec, Vec]
"""A point of the mouth and the direction out of the material, in the part's frame."""

_OFF = 0.01 * LENGTH  # mm by which a face may lie off its mouth's plane


def let_in(solid: TopoDS_Shape, tools: Sequence[tuple[TopoDS_Shape, Sequence[Mouth]]]) -> TopoDS_Shape | None:
    """The solid less the tools; None where a mouth is not one outline in one face of the solid, or the solid is hollow.
    The caller tests the result as it does any other."""
    shells = explored(solid, TopAbs_SHELL)
    if len(shells) != 1:
        return None
    faces = explored(solid, TopAbs_FACE)
    planes = [(i, plane) for i, face in enumerate(faces) for plane in plane_of(face)]
    wires: dict[int, list[TopoDS_Shape]] = {}
    walls: list[TopoDS_Shape] = []
    for tool, mouths in tools:
        rest = explored(tool, TopAbs_FACE)
        for mouth in mouths:
            found = [k for k, face in enumerate(rest) if any(_flush(plane, mouth) for plane in plane_of(face))]
            outlines = explored(rest[found[0]], TopAbs_WIRE) if len(found) == 1 else []
            into = [i for i, plane in planes if _flush(plane, mouth)]
            if len(into) > 1:
                into = [i for i in into if holds(faces[i], mouth[0])]
            if len(outlines) != 1 or len(into) != 1:
                return None
            del rest[found[0]]
            wires.setdefault(into[0], []).append(outlines[0])
        walls += [face.Reversed() for face in rest]
    return _solid([_pierced(face, wires.get(i, [])) for i, face in enumerate(faces)] + walls)


def plane_of(face: TopoDS_Shape) -> list[tuple[Vec, float]]:
    """Of a flat face: its direction outwards, and how far along it the face lies. Else nothing."""
    surface = BRepAdaptor_Surface(TopoDS.Face_s(face), False)
    if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Plane:
        return []
    plane = surface.Plane()
    x, y, z = plane.Axis().Direction().Coord()
    if not plane.Direct():
        x, y, z = -x, -y, -z
    if face.Orientation() == TopAbs_REVERSED:
        x, y, z = -x, -y, -z
    return [((x, y, z), dot((x, y, z), plane.Location().Coord()))]


def _flush(plane: tuple[Vec, float], mouth: Mouth) -> bool:
    """Whether a face lies in the plane of a mouth and looks the same way."""
    normal, at = plane
    return dot(normal, mouth[1]) > 1 - ANGLE and abs(dot(normal, mouth[0]) - at) <= _OFF


def holds(face: TopoDS_Shape, point: Vec) -> bool:
    classifier = BRepClass_FaceClassifier(TopoDS.Face_s(face), gp_Pnt(*point), LENGTH)
    return bool(classifier.State() == TopAbs_IN)


def _pierced(face: TopoDS_Shape, outlines: Sequence[TopoDS_Shape]) -> TopoDS_Shape:
    """The face with the outlines of mouths, which run round them as seen from outside, as holes."""
    if not outlines:
        return face
    builder = BRep_Builder()
    forward = face.Oriented(TopAbs_FORWARD)
    made = forward.EmptyCopied()
    builder.NaturalRestriction(TopoDS.Face_s(made), False)
    for wire in explored(forward, TopAbs_WIRE):
        builder.Add(made, wire)
    turned = face.Orientation() == TopAbs_REVERSED
    for outline in outlines:
        builder.Add(made, outline if turned else outline.Reversed())
    return made.Oriented(face.Orientation())


def _solid(faces: Sequence[TopoDS_Shape]) -> TopoDS_Shape:
    builder = BRep_Builder()
    shell, solid = TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    for face in faces:
        builder.Add(shell, face)
    shell.Closed(True)
    builder.MakeSolid(solid)
    builder.Add(solid, shell)
    return solid
