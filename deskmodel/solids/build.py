"""From blank and removals to one valid solid, with as few boolean operations as possible, never cleaned.

Sheets: one face with the plain through cut-outs as wires, extruded; folded ones panel by panel, joined to their bends.
What meets another cut or reaches over an edge is cut with all tools at once, the other holes of boxes and sheets and the
letters of bodies (``_sunk``) are let in (``_let_in``). Every solid is tested: valid, exactly one, and of the volume that the
closed form says wherever no two removals meet.
(``clean`` is never called: with some kernels it returns a wrong volume that is still "valid".)
"""

from __future__ import annotations

from collections.abc import Sequence

from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from deskmodel.errors import BuildFault, InputFault
from deskmodel.features import Prism, Removal
from deskmodel.features._base import on_sheet
from deskmodel.part import Blank, Bodies, BoxBlank, CustomBlank, FoldedBlank, SheetBlank, TurnedBlank
from deskmodel.solids._folded import folded_pieces
from deskmodel.solids._let_in import let_in
from deskmodel.solids._primitives import prism_solid, revolve_solid, sheet_solid
from deskmodel.solids._separate import closed_form_volume, let_in_ones, plain_through
from deskmodel.solids._sunk import sunk_ones
from deskmodel.solids._valid import is_valid
from deskmodel.solids.custom import load_custom

__all__ = ["VOLUME_TOLERANCE", "build_solid", "volume_of"]

VOLUME_TOLERANCE = 1e-6
"""Share of the removed volume (and 1e-9 of the blank's) by which a solid may miss its closed form. Kernel volumes of
planes, cylinders and cones are exact to about 1e-12 of the blank; a share of the blank alone would let a small hole in
a long rail get lost."""


def build_solid(blank: Blank, removals: Sequence[Removal], label: str) -> TopoDS_Shape:
    """The solid of ``blank`` less ``removals``, checked. ``label`` names the part in messages."""
    rest = list(removals)
    if isinstance(blank, BoxBlank):
        shape = BRepPrimAPI_MakeBox(blank.length, blank.width, blank.height).Shape()
    elif isinstance(blank, SheetBlank):
        through, rest = plain_through(blank, removals)
        shape = sheet_solid(blank.outline, [on_sheet(prism) for prism in through], blank.thickness)
    elif isinstance(blank, FoldedBlank):
        pieces, rest = folded_pieces(blank, removals)
        shape = _fuse(pieces, label)
    elif isinstance(blank, TurnedBlank):
        shape = revolve_solid(blank.solid)
    elif isinstance(blank, Bodies):
        shape = _fuse([prism_solid(body) for body in blank.bodies], label)
    else:
        assert isinstance(blank, CustomBlank)
        shape = load_custom(blank.digest)  # tested where it was made; may be several solids
        if not rest:
            return shape
    alone, rest = let_in_ones(blank, rest, removals)
    if isinstance(blank, Bodies):
        sunk, rest = sunk_ones(shape, rest, removals)
        alone += sunk
    if rest:
        shape = _cut(shape, [_tool(removal) for removal in rest], label)
    solid = _only_solid(shape, label, of_sheet=isinstance(blank, Bodies))
    if alone:
        tools = [(_tool(removal), mouths) for removal, mouths in alone]
        solid = let_in(solid, tools) or _only_solid(_cut(solid, [tool for tool, _ in tools], label), label, of_sheet=False)
    if not is_valid(solid):
        raise BuildFault(f"{label}: the kernel built an invalid solid")
    expected = closed_form_volume(blank, removals)
    removed = sum(removal.volume for removal in removals)
    if expected is not None and abs(volume_of(solid) - expected) > VOLUME_TOLERANCE * (removed + 1e-3 * expected):
        raise BuildFault(f"{label}: the solid has {volume_of(solid):.3f} mm³, its blank less its features {expected:.3f}")
    return solid


def volume_of(shape: TopoDS_Shape) -> float:
    """mm³."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties)
    return float(properties.Mass())


def _tool(removal: Removal) -> TopoDS_Shape:
    return prism_solid(removal) if isinstance(removal, Prism) else revolve_solid(removal)


def _shape_list(shapes: Sequence[TopoDS_Shape]) -> TopTools_ListOfShape:
    result = TopTools_ListOfShape()
    for shape in shapes:
        result.Append(shape)
    return result


def _cut(shape: TopoDS_Shape, tools: Sequence[TopoDS_Shape], label: str) -> TopoDS_Shape:
    operation = BRepAlgoAPI_Cut()
    operation.SetArguments(_shape_list([shape]))
    operation.SetTools(_shape_list(tools))
    operation.Build()
    if not operation.IsDone():
        raise BuildFault(f"{label}: the kernel could not cut its features")
    return operation.Shape()


def _fuse(solids: Sequence[TopoDS_Shape], label: str) -> TopoDS_Shape:
    if len(solids) == 1:
        return solids[0]
    operation = BRepAlgoAPI_Fuse()
    operation.SetArguments(_shape_list(solids[:1]))
    operation.SetTools(_shape_list(solids[1:]))
    operation.Build()
    if not operation.IsDone():
        raise BuildFault(f"{label}: the kernel could not join its bodies")
    return operation.Shape()


def _only_solid(shape: TopoDS_Shape, label: str, *, of_sheet: bool) -> TopoDS_Shape:
    """Booleans return compounds, also empty or split ones: unwrap and count."""
    found = []
    explorer = TopExp_Explorer(shape, TopAbs_SOLID)
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    if len(found) == 1:
        return found[0]
    if of_sheet:
        raise InputFault(f"the bodies of {label!r} make {len(found)} separate pieces",
                         allowed="bodies that touch or overlap, so that the component is one piece")
    if not found:
        raise InputFault(f"nothing is left of {label!r} once its features are cut", allowed="features that leave material")
    raise InputFault(f"the features of {label!r} cut it into {len(found)} pieces", allowed="features that leave one piece")
