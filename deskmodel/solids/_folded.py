"""A folded sheet in pieces that touch: each panel as a sheet with its holes, each bend as a sector of a ring."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.gp import gp_Vec
from OCP.TopoDS import TopoDS_Shape

from deskmodel.bends import Bend, FoldedBlank
from deskmodel.bends.allowance import turn_of
from deskmodel.features import Prism, Removal
from deskmodel.features._base import on_sheet
from deskmodel.frames import scale
from deskmodel.part import SheetBlank
from deskmodel.profiles import Profile
from deskmodel.solids._primitives import face_of, prism_solid
from deskmodel.solids._separate import plain_through

__all__ = ["folded_pieces"]


def folded_pieces(blank: FoldedBlank, removals: Sequence[Removal]) -> tuple[list[TopoDS_Shape], list[Removal]]:
    """(solids that touch each other, removals still to be cut). Plain through holes are wires of their panel's face."""
    pieces, rest = [], list(removals)
    for panel in blank.folding.panels:
        to_panel = panel.pose.inverse()
        own = [(removal, replace(removal, pose=to_panel @ removal.pose)) for removal in rest]
        through, _ = plain_through(SheetBlank(panel.region, panel.thickness), [local for _, local in own])
        done = {id(local) for local in through}
        rest = [removal for removal, local in own if id(local) not in done]
        face = face_of(panel.region, panel.pose, [on_sheet(prism) for prism in through])
        pieces.append(BRepPrimAPI_MakePrism(face, gp_Vec(*scale(panel.w, panel.thickness))).Shape())
    pieces += [prism_solid(bend_prism(bend)) for bend in blank.folding.bends]
    return pieces, rest


def bend_prism(bend: Bend) -> Prism:
    """The sector of a ring, as a prism along the bend."""
    inner, outer = bend.radius, bend.radius + bend.thickness
    c, s = turn_of(bend.angle)
    bulge = math.tan(math.radians(bend.angle) / 4)
    if bend.up > 0:  # from below its axis anticlockwise
        corners = (0.0, -outer, bulge), (outer * s, -outer * c, 0.0), (inner * s, -inner * c, -bulge), (0.0, -inner, 0.0)
    else:
        corners = (outer * s, outer * c, bulge), (0.0, outer, 0.0), (0.0, inner, -bulge), (inner * s, inner * c, 0.0)
    return Prism(Profile(corners), bend.pose, bend.stop - bend.start)
