"""``documents/glass-order.pdf``: what is ordered from the glazier, drawn, and what is to be agreed with him."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel._edges import arc_size
from deskmodel.drawing import Drawing
from deskmodel.drawing.dimensions import figure
from deskmodel.drawing.flow import Block, Column, Figure, Heading, NewPage, Paragraph, Table, document
from deskmodel.drawing.paper import Head, Paper, body_of
from deskmodel.drawing.plate_figure import plate_figure
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.exporters._plates import NOTHING
from deskmodel.plans import Work
from deskmodel.plans.glass import AGREED, GlassPane, glass_panes
from deskmodel.profiles import Profile, corner_radius

__all__ = ["export_glass_order", "glass_pages"]

NAME = "documents/glass-order.pdf"
_PAPER: Paper = "A4"
_HIGH = 100.0  # mm of paper for the figure of a pane


def export_glass_order(job: ExportJob) -> Written:
    pages = glass_pages(job)
    return written_pages({NAME: (pages, f"{job.model.name}: glass order", stamp(job))}) if pages else NOTHING


def glass_pages(job: ExportJob) -> tuple[Drawing, ...]:
    """None for a desk without glass."""
    panes = glass_panes(job.model)
    head = Head(job.model.name, "glass order", stamp(job), job.unreleased is not None)
    return document(_blocks(panes), _PAPER, head) if panes else ()


def _blocks(panes: tuple[GlassPane, ...]) -> Iterator[Block]:
    yield Heading("To be agreed with the glazier")
    yield Table((Column("what", 1.0), Column("usual; fill in what was agreed", 5.0), Column("agreed (by hand)", 2.4)),
                tuple((what, text, "") for what, text in AGREED))
    for i, pane in enumerate(panes):
        if i:
            yield NewPage()
        yield from _pane(pane)


def _pane(pane: GlassPane) -> Iterator[Block]:
    piece, part = pane.piece, pane.part
    several = f", {len(piece.names)} pieces:" if len(piece.names) > 1 else ""
    yield Heading(f"{piece.number}{several} {', '.join(piece.names)}")
    x0, _, x1, _ = body_of(_PAPER)
    records, size, scale, _ = plate_figure(part, (x1 - x0, _HIGH))
    yield Figure(records, size)
    yield Paragraph(f"drawn {scale}, seen on its top; figures: mm from the left and the front edge. Not a template: the "
                    "figures count.", 2.0)
    mass = "unknown" if pane.mass is None else f"{pane.mass:.2f} kg"
    yield Table((Column("material", 1.0), Column("length × width × thickness", 2.4), Column("pieces", 0.9, "end"),
                 Column("corners", 1.8), Column("edge to work, one", 1.5), Column("area, one", 1.2),
                 Column("mass, one", 1.0)),
                ((part.material, f"{figure(pane.size[0])} × {figure(pane.size[1])} × {figure(part.thickness)}",
                  f"{len(piece.names)}", pane.corners, f"{pane.edge:.2f} m", f"{pane.area:.3f} m²", mass),))
    if "outline" in pane.corners:
        yield Paragraph(f"Outline, corner by corner, x and y: {_walked(pane.outline)}.", 2.2)
    if pane.holes:
        yield Table((Column("hole", 3.0), Column("x", 1.0, "end"), Column("y", 1.0, "end"), Column("Ø", 1.0, "end")),
                    tuple((hole.name, figure(hole.x), figure(hole.y), figure(hole.diameter)) for hole in pane.holes))
    if pane.openings:
        yield Table((Column("opening", 2.2), Column("x from to", 1.3), Column("y from to", 1.3), Column("shape", 3.4)),
                    tuple((work.name, *(f"{figure(a)} – {figure(b)}" for a, b in (work.x, work.y)), _shape(work))
                          for work in pane.openings))
    if not pane.holes and not pane.openings:
        yield Paragraph("No holes, no openings.")
    for text in pane.asks:
        yield Paragraph(f"Ask whether it can be made: {text} (EN 12150-1, from memory).", warning=True, mark="!")


def _shape(work: Work) -> str:
    deep = "" if work.through else f", {figure(work.depth)} deep, not right through"
    if work.about:
        return f"{work.about}{deep}"
    outline, = work.outlines
    radius = corner_radius(outline)
    if radius is not None:
        return f"corners R {figure(radius)}{deep}" if radius else f"corners sharp: agree on a radius{deep}"
    return f"corner by corner: {_walked(outline)}{deep}"


def _walked(outline: Profile) -> str:
    """"10, 0; 532, 0; by an arc of R 10 to 542, 10; …", anticlockwise."""
    told, arc = [], 0.0
    for a, b, bulge in outline.edges():
        told.append(f"{f'by an arc of R {figure(arc)} to ' if arc else ''}{figure(a[0])}, {figure(a[1])}")
        arc = arc_size((a, b, bulge))[0] if bulge else 0.0
    return "; ".join(told) + (f"; by an arc of R {figure(arc)} back" if arc else "")
