"""Shapes and places out of cadquery objects: assemblies with nested locations, workplanes, shapes, kernel shapes.

Objects are recognised by what they carry (``wrapped``, ``vals``, ``children``), so subclasses and look-alikes serve too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from OCP.TopAbs import TopAbs_COMPOUND
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Shape

from deskmodel.errors import InputFault
from deskmodel.frames import IDENTITY, Pose
from deskmodel.solids.brep import content_hash, solids_of
from deskmodel.solids.measure import compound

__all__ = ["BrepShape", "Keys", "assembly_shapes", "kernel_shape", "pose_from", "unplaced"]


@dataclass(frozen=True)
class BrepShape:
    """A ready B-rep as a shape for the fit engine; equal geometry has an equal ``key``."""

    key: str
    brep: TopoDS_Shape = field(compare=False, repr=False)

    def build(self) -> TopoDS_Shape:
        return self.brep


class Keys:
    """Content hashes; a shape that stands in many places is hashed once."""

    def __init__(self) -> None:
        self._known: dict[int, list[tuple[TopoDS_Shape, str]]] = {}

    def of(self, shape: TopoDS_Shape) -> BrepShape:
        seen = self._known.setdefault(hash(shape), [])
        for other, key in seen:
            if other.IsSame(shape):
                return BrepShape(key, other)
        key = "brep-" + content_hash(shape)
        seen.append((shape, key))
        return BrepShape(key, shape)


def assembly_shapes(assembly: Any) -> Iterator[tuple[str, TopoDS_Shape, Pose]]:
    """Path of names, shape and pose of every node of an assembly that holds a shape. Paths begin below the assembly
    ("left/hinge"), as its own ``find`` wants them; its own location counts, as it does for its exporters."""
    yield from _nodes(assembly, str(assembly.name), "", IDENTITY)


def _nodes(node: Any, path: str, below: str, outer: Pose) -> Iterator[tuple[str, TopoDS_Shape, Pose]]:
    pose = outer @ pose_from(node.loc)
    if node.obj is not None:
        shape, own = unplaced(kernel_shape(node.obj, path))
        yield path, shape, pose @ own
    for child in node.children:
        yield from _nodes(child, f"{below}{child.name}", f"{below}{child.name}/", pose)


def kernel_shape(thing: Any, name: str) -> TopoDS_Shape:
    """The kernel shape of a cadquery shape or workplane or of itself; it must hold a solid. Raises InputFault."""
    if isinstance(thing, TopoDS_Shape):
        shape = thing
    elif isinstance(getattr(thing, "wrapped", None), TopoDS_Shape):
        shape = thing.wrapped
    elif callable(getattr(thing, "vals", None)):
        solids = [solid for value in thing.vals() if isinstance(getattr(value, "wrapped", None), TopoDS_Shape)
                  for solid in solids_of(value.wrapped)]
        made = solids[0] if len(solids) == 1 else compound(solids)
        if made is None:
            raise InputFault(f"{name!r} holds no solid", allowed="a solid or a compound of solids")
        shape = made
    else:
        raise InputFault(f"{name!r} is a {type(thing).__name__}", allowed="a cadquery shape, workplane or kernel shape")
    if shape.IsNull() or not solids_of(shape):
        raise InputFault(f"{name!r} holds no solid", allowed="a solid or a compound of solids")
    return shape


def unplaced(shape: TopoDS_Shape) -> tuple[TopoDS_Shape, Pose]:
    """The shape where its geometry was made, and the pose it carried: copies in many places become one shape."""
    if shape.ShapeType() == TopAbs_COMPOUND:  # cadquery wraps moved solids in compounds: look through one of one
        solids = solids_of(shape)
        if len(solids) == 1:
            shape = solids[0]
    return shape.Located(TopLoc_Location()), pose_from(shape.Location())


def pose_from(location: Any) -> Pose:
    """From a Pose, a cadquery or kernel location, or None. Raises InputFault."""
    if location is None:
        return IDENTITY
    if isinstance(location, Pose):
        return location
    kernel = getattr(location, "wrapped", location)
    if not isinstance(kernel, TopLoc_Location):
        raise InputFault(f"a place given as {type(location).__name__}", allowed="a Pose or a cadquery Location")
    if kernel.IsIdentity():
        return IDENTITY
    trsf = kernel.Transformation()
    row = [[trsf.Value(i, j) for j in range(1, 5)] for i in range(1, 4)]
    return Pose(((row[0][0], row[0][1], row[0][2]), (row[1][0], row[1][1], row[1][2]), (row[2][0], row[2][1], row[2][2])),
                (row[0][3], row[1][3], row[2][3]))
