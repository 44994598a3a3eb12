"""``documents/labels.pdf``: a label for every member, sawn plate, leaf and ordered plate, with face marks."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.drawing import Drawing
from deskmodel.drawing.label_view import Label, label_pages
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.part import Member
from deskmodel.plans import CutList, Piece, pieces

__all__ = ["export_labels", "label_sheets"]

NAME = "documents/labels.pdf"


def export_labels(job: ExportJob) -> Written:
    return written_pages({NAME: (label_sheets(job), f"{job.model.name}: labels", stamp(job))})


def label_sheets(job: ExportJob) -> tuple[Drawing, ...]:
    labels = [label for piece in pieces(job.model) for label in _labels(piece, job.cuts)]
    return label_pages(labels, job.model.name, stamp(job), job.unreleased is not None)


def _labels(piece: Piece, cuts: CutList) -> Iterator[Label]:
    part = piece.part
    if isinstance(part, Member):
        size = f"{part.material} {part.length:.6g} × {part.section[0]:.6g} × {part.section[1]:.6g}"
    else:
        x0, y0, x1, y1 = part.outline.bounds
        size = f"{part.material} {x1 - x0:.6g} × {y1 - y0:.6g} × {part.thickness:.6g}"
    for i, name in enumerate(piece.names, 1):
        lines = [size]
        if piece.number[0] != "P":
            row = cuts.of(name)
            rough = " × ".join(f"{each:g}" for each in row.rough)
            lines += [f"rough {rough}, grain {row.grain}"]
            lines += [row.marks[name]] if name in row.marks else []
        yield Label(piece.number, name, f"{i} of {len(piece.names)}", tuple(lines), isinstance(part, Member))
