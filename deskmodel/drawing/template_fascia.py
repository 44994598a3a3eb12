"""Templates of fascia panels: the whole front of a panel that looks to whoever sits at the desk, at 1:1, however many sheets
it takes. A panel is equipment, or a plate with openings, whose face leans to the front."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel._edges import Point
from deskmodel.component import Component
from deskmodel.drawing._part_solids import solid_of
from deskmodel.drawing._solids import Solid
from deskmodel.drawing._strokes import Stroke
from deskmodel.drawing._template import FaceArea, Template, drilled, shifted
from deskmodel.drawing.dimensions import figure
from deskmodel.drawing.hidden_lines import View, look
from deskmodel.faces import PlacedPart
from deskmodel.features import CutOut, Hole
from deskmodel.frames import Vec, cross
from deskmodel.materials import material
from deskmodel.model import DeskModel
from deskmodel.part import Plate

__all__ = ["fascias"]

_AXES: tuple[Vec, ...] = ((0.0, 1.0, 0.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0))
_LEANS = 0.2  # of the face's normal, towards the front


def fascias(model: DeskModel) -> Iterator[Template]:
    for placed in model.parts:
        x, y, _ = placed.pose.axis(2)
        if abs(x) >= _LEANS or abs(y) <= _LEANS:
            continue
        part = placed.part
        if isinstance(part, Component) and y < 0 and len(part.bodies) + len(part.features) > 1:
            yield _of_component(placed, part)
        elif isinstance(part, Plate) and _is_panel(part):
            yield _of_plate(placed, part, over=y > 0)


def _is_panel(part: Plate) -> bool:
    return (not part.flanges and material(part.material).kind != "veneer"
            and any(isinstance(feature, CutOut) for feature in part.features))


def _of_component(placed: PlacedPart, part: Component) -> Template:
    solid = solid_of(part)
    assert solid is not None
    (x0, y0, _), (x1, y1, _) = part.blank.bounds
    front = _Front(placed, (x0, y0, x1, y1), over=False)
    strokes = front.strokes(solid)
    holes = [(front.at(hole.at), hole.diameter, drilled(hole)) for hole in part.features if isinstance(hole, Hole)]
    for body in part.bodies:
        ring = body.profile.as_circle
        if ring and abs(body.pose.axis(2)[2]) > 0.999:
            u, v, _ = body.pose.apply((*ring[0], 0.0))
            holes.append((front.at((u, v)), 2 * ring[1], f"Ø {figure(2 * ring[1])}"))
    wide, high = front.size
    return Template(placed.name, "front of the panel", front.size, strokes, (FaceArea("front", 0.0, high),), (),
                    ((0.0, "left edge"), (wide, f"{figure(wide)}")), tuple(holes),
                    "What stands on the panel is drawn with it.")


def _of_plate(placed: PlacedPart, part: Plate, *, over: bool) -> Template:
    """``over``: its bottom looks to the front."""
    solid = solid_of(part)
    assert solid is not None
    front = _Front(placed, part.outline.bounds, over=over)
    holes = [(front.at(hole.at), hole.diameter, drilled(hole)) for hole in part.features if isinstance(hole, Hole)]
    rings = [feature.outline.as_circle for feature in part.features if isinstance(feature, CutOut)]
    holes += [(front.at(ring[0]), 2 * ring[1], f"Ø {figure(2 * ring[1])}") for ring in rings if ring]
    face = "bottom" if over else "top"
    wide, high = front.size
    return Template(placed.name, "front of the panel", front.size, front.strokes(solid), (FaceArea(face, 0.0, high),), (),
                    ((0.0, "left edge, seen from the front"), (wide, figure(wide))), tuple(holes),
                    f"The face that looks to the front, its {face}.")


class _Front:
    """A panel as it is seen from the chair, its upper edge up; (0, 0) its lower left corner. ``over``: its bottom looks to
    the front. ``box``: of its face, in its own x and y."""

    def __init__(self, placed: PlacedPart, box: tuple[float, float, float, float], *, over: bool) -> None:
        eye = (0.0, 0.0, -1.0 if over else 1.0)
        up = max(_AXES, key=lambda axis: round(placed.pose.turn(axis)[2], 6))
        self._view = View(cross(up, eye), up)
        corners = [self._view.flat((x, y, 0.0)) for x in box[::2] for y in box[1::2]]
        self._low = min(p[0] for p in corners), min(p[1] for p in corners)
        self.size = max(p[0] for p in corners) - self._low[0], max(p[1] for p in corners) - self._low[1]

    def at(self, p: Point) -> Point:
        u, v = self._view.flat((p[0], p[1], 0.0))
        return u - self._low[0], v - self._low[1]

    def strokes(self, solid: Solid) -> tuple[Stroke, ...]:
        by = -self._low[0], -self._low[1]
        return tuple(shifted(stroke, by) for stroke in look([solid], self._view, hidden=False).visible)
