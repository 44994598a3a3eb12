"""Drawings of pieces, a PDF each, named by number and name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from deskmodel.cutting import Side
from deskmodel.drawing.piece_drawing import Made, piece_drawing
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.exporters._slug import slugs
from deskmodel.faces import PlacedPart
from deskmodel.model import DeskModel
from deskmodel.plans import Piece, drawn_side, pieces

__all__ = ["made_from", "written_drawings"]


def made_from(job: ExportJob) -> Made:
    return Made(job.model.name, stamp(job), job.unreleased is not None)


def written_drawings(job: ExportJob, families: str, folder: str) -> Written:
    """``families``: letters of the pieces that are wanted, see ``plans.pieces``."""
    made = made_from(job)
    pages = {}
    for each in pieces(job.model):
        if each.number[0] in families:
            drawn = list(_by_side(job.model, each))
            files = slugs(piece.names[0] for piece, _ in drawn)
            for piece, side in drawn:
                pages[f"{folder}/{piece.number.lower()}-{files[piece.names[0]]}.pdf"] = (
                    piece_drawing(piece, made, side), f"{made.desk}: {piece.number}, {piece.names[0]}", made.made_from)
    return written_pages(pages)


def _by_side(model: DeskModel, piece: Piece) -> Iterator[tuple[Piece, Side | None]]:
    """Equal plates of which one shows its top in the desk and another its bottom have two DXF files, and two drawings."""
    sides: dict[Side | None, list[PlacedPart]] = {}
    for placed in piece.alike:
        sides.setdefault(drawn_side(model, placed.name), []).append(placed)
    for side, alike in sides.items():
        yield replace(piece, alike=tuple(alike)), side
