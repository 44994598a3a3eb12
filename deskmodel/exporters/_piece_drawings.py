"""Drawings of pieces, a PDF each, named by number and name."""

from __future__ import annotations

from deskmodel.drawing.piece_drawing import Made, piece_drawing
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.exporters._slug import slug
from deskmodel.plans.pieces import pieces

__all__ = ["made_from", "written_drawings"]


def made_from(job: ExportJob) -> Made:
    return Made(job.model.name, stamp(job), job.unreleased is not None)


def written_drawings(job: ExportJob, families: str, folder: str) -> Written:
    """``families``: letters of the pieces that are wanted, see ``plans.pieces``."""
    made = made_from(job)
    return written_pages({
        f"{folder}/{piece.number.lower()}-{slug(piece.names[0])}.pdf":
            (piece_drawing(piece, made), f"{made.desk}: {piece.number}, {piece.names[0]}", made.made_from)
        for piece in pieces(job.model) if piece.number[0] in families})
