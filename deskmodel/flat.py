"""The flat of a plate: one outline, the lines at which it is bent, and all that is cut into it; and the way between flat
and folded for every point.

The flat is seen from the sheet's top side, in the plate's own x, y; the base lies where it lies in the folded plate.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from deskmodel._edges import Point
from deskmodel._numbers import told, vector
from deskmodel.bends import Bend, FoldedBlank, Panel
from deskmodel.errors import InputFault
from deskmodel.features import CutOut, Feature, Hole, Pocket, Removal, Revolve
from deskmodel.features._base import on_sheet
from deskmodel.frames import Pose, Vec
from deskmodel.part import Plate
from deskmodel.profiles import Profile
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["BendLine", "FlatPattern", "flat_pattern"]


@dataclass(frozen=True, slots=True)
class BendLine:
    """The middle of a bend in the flat, from ``start`` to ``stop`` (x, y). ``direction``: "up" towards the viewer, who sees
    the top side. ``angle``: by how much the sheet is turned, degrees; ``radius`` inside; ``allowance``: the width of the
    bend in the flat, half of it on either side of the line; ``k``: what it was worked out with. mm."""

    flange: str
    start: Point
    stop: Point
    angle: float
    radius: float
    direction: Literal["up", "down"]
    allowance: float
    k: float


@dataclass(frozen=True, slots=True)
class FlatPattern:
    """A plate in the flat. ``features``: what is cut, as features of a flat sheet, with faces "top" and "bottom" and (u, v)
    = (x, y) of the flat; a countersink keeps its side. ``panels`` and ``bends``: the pieces of the fold."""

    name: str
    outline: Profile
    thickness: float
    material: str
    bend_lines: tuple[BendLine, ...]
    features: tuple[Feature, ...]
    panels: tuple[Panel, ...]
    bends: tuple[Bend, ...]

    @property
    def plate(self) -> Plate:
        """The flat sheet as a plate of its own: what the laser cuts, before it is bent."""
        return Plate(f"{self.name} flat", self.outline, self.thickness, self.material, self.features)

    @property
    def _pieces(self) -> tuple[Panel | Bend, ...]:
        return (*self.panels, *self.bends)

    @property
    def regions(self) -> tuple[str, ...]:
        """"base", the flanges, and "<flange> bend"."""
        return tuple(piece.name for piece in self._pieces)

    def region_at(self, point: Point) -> str:
        """The region of a point (x, y) of the flat; where two meet, the one that stays flat. InputFault off the sheet."""
        x, y = vector("point of the flat", point, 2)
        for panel in self.panels:
            if _on_panel(panel, panel.from_flat((x, y))):
                return panel.name
        for bend in self.bends:
            if _on_bend(bend, bend.from_flat((x, y))):
                return bend.name
        raise InputFault(f"({x:g}, {y:g}) on the flat of {self.name!r}", allowed="a point within its outline")

    def fold(self, point: Point, height: float = 0.0, region: str | None = None) -> Vec:
        """Where a point (x, y) of the flat, ``height`` above the sheet's bottom side, comes to lie in the folded plate.
        ``region``: as part of which piece; None: the one it lies in."""
        piece = self._piece(self.region_at(point) if region is None else region)
        x, y = vector("point of the flat", point, 2)
        u, along = piece.from_flat((x, y))
        return piece.point(u, along, height)

    def unfold(self, point: Vec, region: str | None = None) -> tuple[float, float, float]:
        """(x, y, height) in the flat of a point of the folded plate; the inverse of ``fold``. InputFault where no
        ``region`` is given and the point is not in the sheet."""
        x, y, z = vector("point of the folded plate", point)
        if region is not None:
            piece = self._piece(region)
        else:
            found = self._piece_in((x, y, z))
            if found is None:
                raise InputFault(f"({x:g}, {y:g}, {z:g}) in {self.name!r}", allowed="a point of its sheet")
            piece = found
        u, along, height = piece.local((x, y, z))
        return (*piece.to_flat(u, along), height)

    def _piece(self, region: str) -> Panel | Bend:
        for piece in self._pieces:
            if piece.name == region:
                return piece
        raise InputFault(f"region {told(region)}", allowed=", ".join(self.regions))

    def _piece_in(self, p: Vec) -> Panel | Bend | None:
        for piece in self._pieces:
            u, along, height = piece.local(p)
            on = _on_panel(piece, (u, along)) if isinstance(piece, Panel) else _on_bend(piece, (u, along))
            if on and -LENGTH <= height <= self.thickness + LENGTH:
                return piece
        return None


def flat_pattern(plate: Plate) -> FlatPattern:
    """The flat of a plate, bent or not."""
    if not isinstance(plate, Plate):
        raise InputFault(f"the flat of {told(plate)}", allowed="a Plate")
    blank = plate.blank
    if isinstance(blank, FoldedBlank):
        panels, bends, outline = blank.folding.panels, blank.folding.bends, blank.folding.flat
    else:
        x, y, z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
        base = Panel("base", blank.thickness, (0.0, 0.0, 0.0), x, y, z, (0.0, 0.0), (1.0, 0.0), (0.0, 1.0), blank.outline)
        panels, bends, outline = (base,), (), blank.outline
    features = tuple(flat for feature in plate.features for flat in _in_flat(feature, plate, panels))
    return FlatPattern(plate.name, outline, blank.thickness, plate.material, tuple(map(_bend_line, bends)), features, panels,
                       bends)


def _bend_line(bend: Bend) -> BendLine:
    start, stop = (bend.to_flat(u, bend.allowance / 2) for u in (bend.start, bend.stop))
    return BendLine(bend.leg, start, stop, bend.angle, bend.radius, "up" if bend.up > 0 else "down", bend.allowance, bend.k)


def _in_flat(feature: Feature, plate: Plate, panels: tuple[Panel, ...]) -> Iterator[Feature]:
    """A feature as features of the flat sheet: a hole stays a hole, a field of vents becomes its holes."""
    for removal in feature.removals(plate.blank):
        panel, pose = _panel_of(feature, removal, panels)
        local = replace(removal, pose=pose)
        labels = {"name": feature.name, "purpose": feature.purpose, "stage": feature.stage}
        if isinstance(local, Revolve):
            side = "bottom" if pose.axis(2)[2] > 0 else "top"
            u, v, _ = pose.origin
            assert isinstance(feature, Hole)
            yield replace(feature, face=side, at=panel.to_flat(u, v))
            continue
        outline = _laid(on_sheet(local), panel)
        (_, _, low), (_, _, high) = local.bounds
        through = low <= LENGTH and high >= panel.thickness - LENGTH
        side = "top" if high >= panel.thickness - LENGTH else "bottom"
        if outline.as_circle:
            centre, radius = outline.as_circle
            yield Hole(side, centre, 2 * radius, None if through else local.depth, **labels)  # type: ignore[arg-type]
        elif through:
            yield CutOut(outline, side, **labels)  # type: ignore[arg-type]
        else:
            yield Pocket(side, outline, local.depth, **labels)  # type: ignore[arg-type]


def _panel_of(feature: Feature, removal: Removal, panels: tuple[Panel, ...]) -> tuple[Panel, Pose]:
    """The panel that a removal is cut into, and its frame there. It lies within one panel: its face saw to that."""
    for panel in panels:
        pose = panel.pose.inverse() @ removal.pose
        local = replace(removal, pose=pose)
        (_, _, low), (_, _, high) = local.bounds
        if abs(pose.axis(2)[2]) > 1 - ANGLE and low >= -LENGTH and high <= panel.thickness + LENGTH:
            p = pose.origin if isinstance(local, Revolve) else on_sheet(local).vertices[0]
            if _on_panel(panel, (p[0], p[1])):
                return panel, pose
    raise InputFault(f"feature {feature.name!r} in the flat", allowed="features square to the sheet")


def _laid(outline: Profile, panel: Panel) -> Profile:
    return Profile(tuple((*panel.to_flat(u, v), bulge) for u, v, bulge in outline.vertices))


def _on_panel(panel: Panel, p: Point) -> bool:
    return panel.region.contains(p) or panel.region.distance(p) <= LENGTH


def _on_bend(bend: Bend, p: Point) -> bool:
    return bend.start - LENGTH <= p[0] <= bend.stop + LENGTH and -LENGTH <= p[1] <= bend.allowance + LENGTH
