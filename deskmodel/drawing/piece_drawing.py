"""The drawing of a member or of a plate: views, tables of its holes and cuts, holes in section."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from deskmodel.cutting import Side
from deskmodel.drawing.dimensions import figure
from deskmodel.drawing.flow import lines_of
from deskmodel.drawing.hole_marks import HoleKind
from deskmodel.drawing.hole_sections import hole_section
from deskmodel.drawing.part_sheet import piece_sheets
from deskmodel.drawing.part_views import PartView, member_views
from deskmodel.drawing.pdf import drawable
from deskmodel.drawing.plate_views import plate_views
from deskmodel.drawing.records import Drawing, Record, Text
from deskmodel.drawing.shelf import Detail, Grid, Item
from deskmodel.drawing.title_block import Title
from deskmodel.flat import BendLine, flat_pattern
from deskmodel.materials import material
from deskmodel.part import Member, Plate
from deskmodel.plans._datums import ENDS
from deskmodel.plans.pieces import Piece
from deskmodel.plans.works import Work

__all__ = ["Made", "piece_drawing"]

_HEIGHT, _STEP = 2.2, 4.0
_NOTE_WIDTH = 84.0
_SPOTTED = "spot inserts"


@dataclass(frozen=True, slots=True)
class Made:
    """What every sheet is stamped with."""

    desk: str
    made_from: str
    unreleased: bool


def piece_drawing(piece: Piece, made: Made, drawn: Side | None = None) -> tuple[Drawing, ...]:
    """``drawn``: the face of a plate that its DXF shows, None without a DXF. BuildFault where the piece has a shape that
    only the kernel knows."""
    part = piece.part
    if isinstance(part, Member):
        views, kinds, works = member_views(part)
        kind = "member drawing"
        size = f"{part.material} {' × '.join(figure(side) for side in (*part.section, part.length))}"
    else:
        views, kinds, works = plate_views(part, drawn)
        x0, y0, x1, y1 = part.outline.bounds
        kind = "plate drawing"
        size = f"{part.material} {figure(part.thickness)}, {figure(x1 - x0)} × {figure(y1 - y0)}"
    more = f" and {len(piece.names) - 1} more" if len(piece.names) > 1 else ""
    title = Title(made.desk, f"{piece.names[0]}{more}", kind, piece.number, size, f"{len(piece.names)}", "",
                  made.made_from, unreleased=made.unreleased)
    return piece_sheets(views, list(_items(piece, part, drawn, views, kinds, works)), title, _smallest(kinds, works))


def _items(piece: Piece, part: Member | Plate, drawn: Side | None, views: Sequence[PartView], kinds: Sequence[HoleKind],
           works: Sequence[Work]) -> list[Item]:
    items: list[Item] = [_notes(piece, part, drawn, kinds)]
    bends = [bend for view in views for bend in view.bends]
    if kinds:
        items.append(Grid("Holes by kind", ("kind", "number", "Ø", "depth", "mouth", "for", "stage"), tuple(
            (k.letter, f"{len(k.marks)}", figure(k.hole.diameter), k.depth, k.mouth, k.hole.purpose, k.hole.stage)
            for k in kinds), frozenset({1, 2})))
    if works:
        items.append(_works(works, "face" if drawn is None else "side"))
    if bends:
        items.append(_bends(bends))
    if kinds:
        items.append(Grid("Holes by number", ("hole", "face" if drawn is None else "side", "x", "y"), tuple(
            (m.number, m.face, figure(m.x), figure(m.y)) for k in kinds for m in k.marks), frozenset({2, 3})))
    flat = flat_pattern(part).plate if isinstance(part, Plate) and part.flanges else part
    items += [hole_section(k, flat, metal=material(part.material).metal) for k in kinds if not k.plain]
    return items


def _notes(piece: Piece, part: Member | Plate, drawn: Side | None, kinds: Sequence[HoleKind]) -> Detail:
    lines: list[str] = []
    if len(piece.names) > 1:
        lines.append(f"{len(piece.names)} alike: {', '.join(piece.names)}.")
    if isinstance(part, Member):
        lines.append("x from the datum end, y from the face edge; on an edge y from the face side; on an end x from the "
                     "face side, y from the face edge. Grain along the length.")
    else:
        lines += _how_seen(part, drawn)
        lines.append(f"Thickness {figure(part.thickness)}.")
        if material(part.material).kind == "glass":
            lines.append("Kind of glass, edges, corners and what the pane may be off: as agreed with the glazier, see "
                         "glass-order.pdf.")
        if part.veneer is not None:
            lines.append(f"The {part.veneer.face} is veneered after cutting: {part.veneer.material} "
                         f"{figure(part.veneer.thickness)}.")
    spotted = [k.letter for k in kinds if k.hole.stage == _SPOTTED]
    if spotted:
        lines.append(f"{', '.join(spotted)}: spotted through the plate on the glued frame; the figures are to check by.")
    wrapped = [line for text in lines for line in lines_of(drawable(text), _NOTE_WIDTH, _HEIGHT)]
    high = len(wrapped) * _STEP
    records: list[Record] = [Text(line, (0.0, high - _STEP * (i + 1) + 1.2), _HEIGHT) for i, line in enumerate(wrapped)]
    return Detail((_NOTE_WIDTH, high), tuple(records))


def _how_seen(part: Plate, drawn: Side | None) -> Iterator[str]:
    if drawn is None:
        yield "Seen on its top: x from the left edge, y from the front edge."
        return
    face = f"the {drawn} of its base" if part.flanges else f"its {drawn}"
    yield (f"Seen on {face}, the finished face, as its DXF is drawn: x and y from the ring at the lower left "
           "corner, which is the DXF's 0, 0. The drawn side is the one that is seen here.")
    if drawn == "bottom":
        yield "Lists that count from the plate's own left edge seen on its top (drilling.csv) begin at the right edge here."
    if part.flanges:
        yield "Of the flat sheet, before it is bent; bends up are towards the viewer."


def _works(works: Sequence[Work], head: str) -> Grid:
    rows = []
    for work in works:
        about = [work.about] if work.about else []
        if work.angle is not None:
            about.append(f"{figure(work.angle)}° to this face, {figure(work.depth)} on the {work.second}")
        elif len(work.outlines) == 1:
            ring = work.outlines[0].as_circle
            if ring:
                about.append(f"Ø {figure(2 * ring[1])}")
            elif not about:
                about += _corners_of(work)
        depth = "through" if work.through else "" if work.angle is not None else figure(work.depth)
        rows.append((work.kind, work.name, work.face or "–", _span(work.x), _span(work.y), depth, "; ".join(about)))
    return Grid("Cuts", ("cut", "name", head, "x from to", "y from to", "depth", "more"), tuple(rows))


def _corners_of(work: Work) -> list[str]:
    """The radius of rounded corners; of an outline of more than four straight sides, how many."""
    outline = work.outlines[0]
    radii = sorted({round(_radius(edge), 2) for edge in outline.edges() if edge[2]})
    if radii:
        return [f"corners R {', '.join(figure(r) for r in radii)}"]
    sides = len(outline.vertices)
    return [f"{sides} corners, see the figures"] if sides > 4 else []


def _radius(edge: tuple[tuple[float, float], tuple[float, float], float]) -> float:
    from deskmodel._edges import arc_size

    return arc_size(edge)[0]


def _span(span: tuple[float, float]) -> str:
    return f"{figure(span[0])} – {figure(span[1])}"


def _bends(bends: Sequence[BendLine]) -> Grid:
    return Grid("Bends, from the flat", ("flange", "direction", "angle", "radius inside", "allowance", "K"), tuple(
        (b.flange, b.direction, f"{figure(b.angle)}°", figure(b.radius), figure(b.allowance), figure(b.k)) for b in bends),
        frozenset({2, 3, 4, 5}))


def _smallest(kinds: Sequence[HoleKind], works: Sequence[Work]) -> float:
    """mm: the smallest hole, or breadth of a cut."""
    sizes = [k.hole.diameter for k in kinds]
    for work in works:
        if work.kind == "vent field" and work.outlines[0].as_circle:
            sizes.append(2 * work.outlines[0].as_circle[1])
        elif work.face not in ENDS:
            sizes.append(min(work.x[1] - work.x[0], work.y[1] - work.y[0]))
    return min(sizes, default=1000.0)
