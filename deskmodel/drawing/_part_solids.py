"""Parts as solids in closed form: their blanks less what their features take away."""

from __future__ import annotations

import math
from collections.abc import Sequence

from deskmodel._edges import Point
from deskmodel.drawing._solids import Solid
from deskmodel.features import Prism, Removal
from deskmodel.frames import Pose
from deskmodel.part import Bodies, BoxBlank, FoldedBlank, Part, SheetBlank, TurnedBlank, removals_of
from deskmodel.profiles import Profile, rectangle

__all__ = ["solid_of"]


def solid_of(part: Part, cuts: Sequence[Removal] | None = None) -> Solid | None:
    """A part in its own frame; ``cuts``: instead of all that its features take away. None for a custom shape."""
    taken = removals_of(part) if cuts is None else cuts
    adds = _pieces(part)
    return None if adds is None else Solid(adds, taken)


def _pieces(part: Part) -> list[Removal] | None:
    blank = part.blank
    if isinstance(blank, BoxBlank):
        return [Prism(rectangle(blank.length, blank.width), Pose(), blank.height)]
    if isinstance(blank, SheetBlank):
        return [Prism(blank.outline, Pose(), blank.thickness)]
    if isinstance(blank, Bodies):
        return list(blank.bodies)
    if isinstance(blank, TurnedBlank):
        return [blank.solid]
    if isinstance(blank, FoldedBlank):
        found: list[Removal] = [Prism(panel.region, panel.pose, panel.thickness) for panel in blank.folding.panels]
        for bend in blank.folding.bends:
            inner, outer, angle = bend.radius, bend.radius + bend.thickness, math.radians(bend.angle)
            # in the bend's own frame: x along E, y along W; from straight "down" (-up y) turning to +x
            sense, bulge = float(bend.up), math.tan(angle / 4)

            def at(rho: float, turn: float, sense: float = sense) -> Point:
                return rho * math.sin(turn), -sense * rho * math.cos(turn)

            ring = [(*at(outer, 0.0), sense * bulge), (*at(outer, angle), 0.0), (*at(inner, angle), -sense * bulge),
                    (*at(inner, 0.0), 0.0)]
            if sense < 0:  # mirrored it runs clockwise: the other way about
                points = [(x, y) for x, y, _ in reversed(ring)]
                bulges = [b for _, _, b in reversed(ring)]
                ring = [(x, y, -b) for (x, y), b in zip(points, bulges[1:] + bulges[:1], strict=True)]
            found.append(Prism(Profile(tuple(ring)), bend.pose, bend.stop - bend.start))
        return found
    return None
