"""A small drawing of a plate for the bench or for the glazier: the sheet on its top, figures from its left and front edge,
holes by number."""

from __future__ import annotations

from deskmodel.drawing.breaks import unbroken
from deskmodel.drawing.crowd import Crowd
from deskmodel.drawing.drawn_view import NUMBER, DrawnView, beside, beyond, over, under
from deskmodel.drawing.hole_marks import HoleKind
from deskmodel.drawing.part_sheet import SCALES, scale_text
from deskmodel.drawing.plate_views import plate_views
from deskmodel.drawing.records import Record
from deskmodel.part import Plate

__all__ = ["plate_figure"]

_NAME = 6.0  # below the view


def plate_figure(part: Plate, room: tuple[float, float]) -> tuple[tuple[Record, ...], tuple[float, float], str,
                                                                 tuple[HoleKind, ...]]:
    """(records, size in mm of paper, its scale, the holes by kind); the lower left corner at (0, 0). ``room``: width and
    height that it may take; the largest scale of ISO 5455 that keeps to it, or the smallest there is."""
    views, kinds, _ = plate_views(part)
    view = views[0]
    x0, y0, x1, y1 = view.box
    left, right, foot = beside(view) + 1, beyond(view) + 1, under(view) + _NAME
    for scale in SCALES:
        wide, high = left + (x1 - x0) / scale + right, foot + (y1 - y0) / scale + over(view, scale)
        if scale >= 1 and wide <= room[0] and high <= room[1]:
            break
    size = (max(wide, 60.0), high)
    drawn = DrawnView(view, unbroken(x0, scale), (left, foot), scale)
    records = [*drawn.strokes(), *drawn.centres(), *drawn.figures(), *drawn.origin(), drawn.name()]
    crowd = Crowd((0.0, 0.0, *size))
    crowd.add(records)
    for text, place, radius in drawn.numbers():
        records += crowd.put(text, NUMBER, place, radius, bold=True, colour=(150, 60, 10))
    return tuple(records), size, scale_text(scale), kinds
