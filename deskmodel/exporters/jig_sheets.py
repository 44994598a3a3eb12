"""``jigs/*.pdf``: how each jig is used; ``jigs/*.png``: the picture of it on its member."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

from deskmodel.drawing import Drawing, png_bytes
from deskmodel.drawing.flow import Figure, document
from deskmodel.drawing.lettering import plain
from deskmodel.drawing.paper import Head, body_of
from deskmodel.drawing.records import moved
from deskmodel.exporters._drawings import check_png
from deskmodel.exporters._jig_figure import Mesh, figure_of
from deskmodel.exporters._jigs import jig_path
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.features import Stage
from deskmodel.jigs import Jig, JigUse, Slop, jig_pairs, jig_slop, worst
from deskmodel.jigs.instructions import how_to_use
from deskmodel.part import Member

__all__ = ["export_jig_sheets"]

_LATER = get_args(Stage)[get_args(Stage).index("drill") + 1:]
_NEAR_END = 90.0
_MARGIN = 4.0


def export_jig_sheets(job: ExportJob) -> Written:
    pages = {}
    drawings: dict[str, Drawing] = {}
    x0, _, x1, _ = body_of("A4")
    for jig in job.jigs.jigs:
        uses = job.jigs.uses_of(jig.number)
        figure = _figure(job, jig, min(uses, key=lambda use: _worth(job, use)), x1 - x0)
        title = f"how to use jig {jig.label}"
        head = Head(job.model.name, title, stamp(job), job.unreleased is not None)
        pages[jig_path(jig, "pdf")] = (document(how_to_use(jig, uses, _mates(job, jig), figure), "A4", head),
                                       f"{job.model.name}: {title}", stamp(job))
        size = (figure.size[0] + 2 * _MARGIN, figure.size[1] + 2 * _MARGIN)
        drawings[jig_path(jig, "png")] = Drawing(size, plain(f"{job.model.name}: jig {jig.label} on its member"), stamp(job),
                                                 tuple(moved(record, (_MARGIN, _MARGIN)) for record in figure.records))
    documents = written_pages(pages)

    def read_back(folder: Path) -> None:
        documents.read_back(folder)
        for name, drawing in drawings.items():
            check_png(name, (folder / name).read_bytes(), drawing)

    return Written({**documents.files, **{name: png_bytes(drawing) for name, drawing in drawings.items()}}, read_back)


def _mates(job: ExportJob, jig: Jig) -> list[tuple[str, Slop]]:
    """The jigs of the other halves of its joints, each with the depths at which it is worst."""
    found: dict[str, Slop] = {}
    for pair, depths in jig_pairs(job.model, job.jigs):
        if jig.number in pair:
            one, two = (job.jigs.jig(number) for number in pair)
            other, slop = (two if one is jig else one).label, jig_slop(one, two, depths)
            if other not in found or worst(slop.pair) > worst(found[other].pair):
                found[other] = slop
    return sorted(found.items())


def _figure(job: ExportJob, jig: Jig, use: JigUse, width: float) -> Figure:
    member = job.model.part(use.member).part
    assert isinstance(member, Member)  # jigs are for members
    printed, wood = job.jig_shapes[jig.number], job.shapes[job.shape_keys[use.member]]
    body = Mesh(printed.vertices, printed.triangles).placed(job.jig_bodies[jig.number].seat_from_print)
    return figure_of(jig, use, body, member, Mesh(wood.vertices, wood.triangles), width)


def _worth(job: ExportJob, use: JigUse) -> tuple[object, ...]:
    """What shows the jig best comes first: a member that nothing is cut out of later, a line away from its ends."""
    part = job.model.part(use.member).part
    assert isinstance(part, Member)
    later = sum(feature.stage in _LATER and feature.stage != "spot inserts" for feature in part.features)
    near = use.mark is not None and min(use.mark, part.length - use.mark) < _NEAR_END
    return later, near, use.sight == "second", use.member, use.place, use.mark or 0.0
