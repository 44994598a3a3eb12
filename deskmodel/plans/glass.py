"""What is ordered from the glazier: plates of glass, with all that he has to know and all that is still to be agreed.

Glass is cut, ground and drilled by the glazier; it is on no list for the laser. What holes, edges and corners are possible
differs from one glazier to the next: what stands here besides sizes is common practice, to be agreed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from deskmodel.contours import length_of, nearest
from deskmodel.features import CutOut, Hole, VentField
from deskmodel.materials import material
from deskmodel.model import DeskModel
from deskmodel.part import Plate
from deskmodel.plans.pieces import Piece, pieces
from deskmodel.plans.works import Work, works_of
from deskmodel.profiles import Profile, circle, corner_radius

__all__ = ["AGREED", "GlassHole", "GlassPane", "glass_panes"]

_WEB = 2.0
"""Thicknesses of glass from a hole to the edge and to the next hole; a hole's diameter is one at least (EN 12150-1, from
memory). What is less is asked of the glazier."""

AGREED: tuple[tuple[str, str], ...] = (
    ("kind of glass", "Float (EN 572), toughened (EN 12150-1) or laminated (EN ISO 12543): what it must bear, and how it "
                      "may break, decides, and the glazier advises. Toughened glass cannot be cut, drilled or ground "
                      "afterwards: every hole, notch and edge must be right before it is fired."),
    ("size", "The sizes are those of the finished pane, edges ground. Agree on what it may be off: the reveal round the "
             "pane is all there is for it."),
    ("edges", "Arrissed all round at least, so that nobody is cut; ground smooth or polished where the edge is seen or "
              "touched."),
    ("corners", "As drawn; those drawn sharp are dubbed by about 1 mm."),
    ("faces", "Which face is up, coatings, prints and foils; which side of a coated pane is which."))
"""(what, about it): to be agreed with the glazier. Common practice; numbers of standards from memory."""


@dataclass(frozen=True, slots=True)
class GlassHole:
    """A round hole right through, from the left and the front edge, seen on the top; mm."""

    x: float
    y: float
    diameter: float
    name: str


@dataclass(frozen=True, slots=True)
class GlassPane:
    """A pane and its like. ``size``: length and width of the box about it; ``outline`` from its left and front edge;
    ``corners``: in words; ``openings``: what is cut through besides holes; ``asks``: what the glazier may not be able to do;
    ``mass`` kg of one, None where the density is unknown."""

    piece: Piece
    size: tuple[float, float]
    outline: Profile
    corners: str
    holes: tuple[GlassHole, ...]
    openings: tuple[Work, ...]
    asks: tuple[str, ...]
    area: float
    edge: float
    mass: float | None

    @property
    def part(self) -> Plate:
        assert isinstance(self.piece.part, Plate)
        return self.piece.part

    @property
    def plain(self) -> bool:
        """Whether it is a rectangle with sharp corners."""
        return self.corners == "4, square"


def glass_panes(model: DeskModel) -> tuple[GlassPane, ...]:
    """In the order of the pieces; ``area`` m² of the box, ``edge`` m of edge to be worked, openings included."""
    return tuple(_pane(piece) for piece in pieces(model)
                 if isinstance(piece.part, Plate) and material(piece.part.material).kind == "glass")


def _pane(piece: Piece) -> GlassPane:
    part = piece.part
    assert isinstance(part, Plate)
    x0, y0, x1, y1 = part.outline.bounds
    size = x1 - x0, y1 - y0
    outline = part.outline.moved(-x0, -y0)
    holes = tuple(_holes(part, x0, y0))
    openings = tuple(work for work in works_of(part) if work.kind != "vent field" and not _round(work))
    shapes = [(work.name, shape) for work in openings for shape in work.outlines]
    edge = length_of(outline) + sum(math.pi * hole.diameter for hole in holes) + sum(length_of(each) for _, each in shapes)
    density = material(part.material).density
    solid = outline.area - sum(math.pi * hole.diameter ** 2 / 4 for hole in holes) - sum(
        shape.area for work in openings if work.through for shape in work.outlines)
    return GlassPane(piece, size, outline, _corners(outline), holes, openings,
                     tuple(_asks(part, outline, holes, shapes)), size[0] * size[1] * 1e-6, edge * 1e-3,
                     None if density is None else solid * part.thickness * density * 1e-9)


def _round(work: Work) -> bool:
    return work.through and len(work.outlines) == 1 and work.outlines[0].as_circle is not None


def _holes(part: Plate, x0: float, y0: float) -> Iterator[GlassHole]:
    """Holes, round openings and fields of vents, hole by hole."""
    for feature in part.features:
        if isinstance(feature, Hole):
            yield GlassHole(feature.at[0] - x0, feature.at[1] - y0, feature.diameter, feature.name)
        elif isinstance(feature, VentField):
            for x, y in feature.centres():
                yield GlassHole(x - x0, y - y0, feature.diameter, feature.name)
        elif isinstance(feature, CutOut) and feature.outline.as_circle:
            (x, y), radius = feature.outline.as_circle
            yield GlassHole(x - x0, y - y0, 2 * radius, feature.name)


def _corners(outline: Profile) -> str:
    """"4, square", "4, rounded R 10", "none, a disc", "5, see the outline"."""
    if outline.as_circle:
        return "none, a disc"
    radius = corner_radius(outline)
    if radius is not None:
        return f"4, rounded R {radius:g}" if radius else "4, square"
    return f"{len(outline.vertices)}, see the outline"


def _asks(part: Plate, outline: Profile, holes: Sequence[GlassHole],
          openings: Sequence[tuple[str, Profile]]) -> Iterator[str]:
    thick, least = part.thickness, _WEB * part.thickness
    rings = [(f"the hole Ø {hole.diameter:g} at {hole.x:.5g}, {hole.y:.5g}", circle(hole.diameter, (hole.x, hole.y)))
             for hole in holes] + list(openings)
    for hole in holes:
        if hole.diameter < thick - 1e-6:
            yield f"Ø {hole.diameter:g} at {hole.x:.5g}, {hole.y:.5g} is less than the glass is thick"
    for name, shape in rings:
        found = nearest(shape, outline)
        if found is not None and found[0] < 1e-6:
            yield f"{name} runs out at the edge: a notch"
        elif found is not None and found[0] < least - 1e-6:
            yield f"{name} leaves {found[0]:.4g} to the edge, less than twice the thickness"
    for (name, a), (other, b) in combinations(rings, 2):
        found = nearest(a, b)
        if found is not None and found[0] < least - 1e-6:
            yield f"{name} and {other} leave {found[0]:.4g} between them, less than twice the thickness"
    if part.flanges:
        yield "it is drawn bent"
    for feature in part.features:
        if isinstance(feature, Hole) and (feature.depth is not None or feature.countersink or feature.counterbore):
            yield f"{feature.name} does not go right through as a plain hole"
        elif not isinstance(feature, Hole | VentField | CutOut) and getattr(feature, "depth", 0.0) is not None:
            yield f"{feature.name} does not go right through"
