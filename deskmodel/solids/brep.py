"""A kernel shape as bytes and back, its content hash, its solids and faces in a fixed order, and poses."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterator
from contextlib import contextmanager

from OCP.BinTools import BinTools, BinTools_FormatVersion
from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from OCP.gp import gp_Trsf
from OCP.TopAbs import TopAbs_FACE, TopAbs_ShapeEnum, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Shape

from deskmodel.errors import BuildFault
from deskmodel.frames import Pose

__all__ = ["content_hash", "explored", "faces_of", "from_bytes", "kernel", "moved", "solids_of", "to_bytes"]


@contextmanager
def kernel(doing: str) -> Iterator[None]:
    """Kernel exceptions, which share no Python base class, as BuildFault; faults of our own code pass as they are."""
    try:
        yield
    except Exception as error:
        if isinstance(error, RuntimeError) or type(error).__module__.startswith("OCP"):
            if isinstance(error, BuildFault):
                raise
            raise BuildFault(f"the kernel failed {doing}: {type(error).__name__} {error}".rstrip()) from error
        raise


def to_bytes(shape: TopoDS_Shape) -> bytes:
    """The shape in the kernel's binary format, without triangles: equal however it was meshed.

    Meshing leaves flags on the shape that would be written too; a copy that shares the geometry is free of them.
    """
    stream = io.BytesIO()
    version = BinTools_FormatVersion.BinTools_FormatVersion_CURRENT
    with kernel("to write a shape"):
        clean = BRepBuilderAPI_Copy(shape, False, False).Shape()
        for face in explored(clean, TopAbs_FACE):
            BRep_Builder().NaturalRestriction(TopoDS.Face_s(face), False)
        BinTools.Write_s(clean, stream, False, False, version)
    raw = stream.getvalue()
    if not raw:
        raise BuildFault("the kernel wrote an empty shape")
    return raw


def from_bytes(raw: bytes) -> TopoDS_Shape:
    """The shape that ``to_bytes`` wrote, with its solids and faces in the same order."""
    shape = TopoDS_Shape()
    with kernel("to read a stored shape"):
        BinTools.Read_s(shape, io.BytesIO(raw))
    if shape.IsNull():
        raise BuildFault("the kernel read nothing from a stored shape")
    return shape


def content_hash(shape: TopoDS_Shape) -> str:
    """Hex digest of the geometry, free of triangles."""
    return hashlib.blake2b(to_bytes(shape), digest_size=20).hexdigest()


def solids_of(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    """The solids of a shape, in the kernel's order."""
    return [TopoDS.Solid_s(found) for found in explored(shape, TopAbs_SOLID)]


def faces_of(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    """The faces of all solids, solid by solid: the index by which meshes name their faces."""
    return [TopoDS.Face_s(face) for solid in solids_of(shape) for face in explored(solid, TopAbs_FACE)]


def moved(shape: TopoDS_Shape, pose: Pose) -> TopoDS_Shape:
    """The shape at a pose (shares its geometry with the original)."""
    r, t = pose.rotation, pose.origin
    trsf = gp_Trsf()
    trsf.SetValues(r[0][0], r[0][1], r[0][2], t[0], r[1][0], r[1][1], r[1][2], t[1],
                   r[2][0], r[2][1], r[2][2], t[2])
    return shape.Moved(TopLoc_Location(trsf))


def explored(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> list[TopoDS_Shape]:
    """Its parts of that kind (faces, wires …) in the kernel's order, those that it shares as often as they occur."""
    found = []
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found
