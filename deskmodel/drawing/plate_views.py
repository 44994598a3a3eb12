"""Which views a plate needs: the sheet, flat, with the figures that make it, and how it looks on edge or folded.

    for the cutting service       drawn as its DXF is: the same face towards the eye, the same corner at (0, 0), x to the
                                  right and y up (``cutting``)
    sawn, or from the glazier     its top towards the eye, from its left and its front edge, as the cut list tells it
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from deskmodel._edges import Point
from deskmodel.contours import mirrored
from deskmodel.cutting import Side, cut_sheet
from deskmodel.drawing._solids import Solid
from deskmodel.drawing.dimensions import figure
from deskmodel.drawing.hidden_lines import View, look
from deskmodel.drawing.hole_marks import HoleKind, hole_kinds
from deskmodel.drawing.part_views import Ordinate, PartView, Place, figures_of, flat_box, solid_or_fault
from deskmodel.features import Prism
from deskmodel.flat import BendLine, flat_pattern
from deskmodel.frames import Pose
from deskmodel.part import Plate
from deskmodel.plans.works import Work, works_of
from deskmodel.profiles import rectangle

__all__ = ["plate_views"]

_X, _Y, _Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
_MINUS_X, _MINUS_Y, _MINUS_Z = (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)

_MANY = 24  # figures along one side


def plate_views(part: Plate, drawn: Side | None = None) -> tuple[tuple[PartView, ...], tuple[HoleKind, ...],
                                                                tuple[Work, ...]]:
    """``drawn``: the face that the DXF shows; None for a plate that has none. Holes and cuts count from the lower left
    corner of the sheet as it is seen, mm; their ``face`` is the drawn or the far side, without a DXF the top or the
    bottom; "" of cuts right through. A bent plate is shown flat, and as it is folded with the drawn face of its base up."""
    flat = flat_pattern(part).plate if part.flanges else part
    over = drawn == "bottom"
    x0, y0, x1, y1 = flat.outline.bounds
    wide, high = x1 - x0, y1 - y0

    def side(face: str) -> str:
        return face if drawn is None else "drawn side" if face == drawn else "far side"

    kinds = hole_kinds(flat, lambda face, x, y: (side(face), wide - x if over else x, y))
    works = tuple(_as_seen(work, "" if work.through else side(work.face), wide if over else None) for work in works_of(flat))
    solid = solid_or_fault(flat)
    view = View(_MINUS_X if over else _X, _Y)
    left, foot = (-x1 if over else x0), y0  # of the sheet, in the axes of the view
    marks = [mark for kind in kinds for mark in kind.marks]
    xs, ys = figures_of(marks, works, wide, high, _corners(flat, wide if over else None))
    above, below = _shared(xs, [(mark.x, mark.y) for mark in marks], high / 2, upper=True)
    lefts, rights = _shared(ys, [(mark.y, mark.x) for mark in marks], wide / 2, upper=False)
    bends = tuple(_placed(bend, left, foot) for bend in cut_sheet(part, drawn or "top").bends) if part.flanges else ()
    notes = tuple((f"{bend.direction} {figure(bend.angle)}°", _middle(bend)) for bend in bends)
    main = PartView(
        _title(part, drawn), view, look([solid], view), (left, foot, left + wide, foot + high), "row", 1,
        tuple((mark, (mark.x + left, mark.y + foot)) for mark in marks), tuple(Ordinate(x + left, x) for x in above),
        tuple(Ordinate(y + foot, y) for y in lefts), tuple(Ordinate(x + left, x) for x in below),
        tuple(Ordinate(y + foot, y) for y in rights), bends, notes)
    return (main, *(_folded(part, over) if part.flanges else [_edge(part.thickness, foot, high)])), kinds, works


def _title(part: Plate, drawn: Side | None) -> str:
    side = drawn or "top"
    return f"flat, seen on the {side} of its base" if part.flanges else f"seen on its {side}"


def _edge(thickness: float, foot: float, high: float) -> PartView:
    """On its side beside the sheet."""
    view = View(_X, _Y)
    thick = Solid([Prism(rectangle(thickness, high, (0.0, foot)), Pose(), 1.0)])
    return PartView("edge", view, look([thick], view), (0.0, foot, thickness, foot + high), "right", 0, (),
                    (Ordinate(0.0, 0.0), Ordinate(thickness, thickness)))


def _folded(part: Plate, over: bool) -> list[PartView]:
    """From its front and from its left, as it lies on the paper."""
    folded = solid_or_fault(part)
    x, z = (_MINUS_X, _MINUS_Z) if over else (_X, _Z)
    views = []
    places: tuple[tuple[str, View, Place], ...] = (("folded, front", View(x, z), "row"),
                                                   ("folded, left", View(_MINUS_Y, z), "right"))
    for title, each, place in places:
        seen = look([folded], each)
        box = flat_box(folded, each)
        ends = (Ordinate(box[0], 0.0), Ordinate(box[2], box[2] - box[0]))
        rises = (Ordinate(box[1], 0.0), Ordinate(box[3], box[3] - box[1]))
        views.append(PartView(title, each, seen, box, place, 0, (), ends, rises))
    return views


def _as_seen(work: Work, face: str, wide: float | None) -> Work:
    """``wide``: of a sheet that is turned over about the vertical; None: it is not."""
    if wide is None:
        return replace(work, face=face)
    return replace(work, face=face, x=(wide - work.x[1], wide - work.x[0]),
                   outlines=tuple(mirrored(outline, wide / 2) for outline in work.outlines))


def _placed(bend: BendLine, left: float, foot: float) -> BendLine:
    start, stop = ((p[0] + left, p[1] + foot) for p in (bend.start, bend.stop))
    return replace(bend, start=start, stop=stop)


def _shared(values: Sequence[float], places: Sequence[Point], middle: float, *,
            upper: bool) -> tuple[list[float], list[float]]:
    """(figures on the first side, on the other): many are shared out, each to the side nearer to a hole that it is for.
    ``places``: (the value, where along the other axis)."""
    if len(values) <= _MANY:
        return list(values), []
    first: list[float] = []
    second: list[float] = []
    for value in values:
        along = [at for own, at in places if abs(own - value) < 0.005]
        nearer = (max(along) >= middle if upper else min(along) <= middle) if along else True
        (first if nearer or value in (values[0], values[-1]) else second).append(value)
    return first, second


def _middle(bend: BendLine) -> Point:
    return (bend.start[0] + bend.stop[0]) / 2, (bend.start[1] + bend.stop[1]) / 2


def _corners(plate: Plate, wide: float | None) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """x and y of the ends of straight edges of the outline, from the lower left, where it is no plain rectangle."""
    x0, y0, _, _ = plate.outline.bounds
    straight = [edge for edge in plate.outline.edges() if not edge[2]]
    xs = [round(p[0] - x0, 3) for edge in straight for p in edge[:2]]
    return (tuple(xs if wide is None else [wide - x for x in xs]),
            tuple(round(p[1] - y0, 3) for edge in straight for p in edge[:2]))
