"""Volume and centroid of blanks and removals in closed form.

Areas and first moments of outlines: the polygon of the chords by the shoelace formulas, and for each arc its circular
segment, whose centroid lies 4 R sin³(θ/2) / (3 (θ - sin θ)) from the centre of the circle (standard tables of centroids).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from deskmodel._edges import arc_circle
from deskmodel.bends import FoldedBlank
from deskmodel.bends._pieces import Bend
from deskmodel.features import Removal, Revolve
from deskmodel.frames import Vec
from deskmodel.part import Blank, Bodies, BoxBlank, SheetBlank, TurnedBlank
from deskmodel.profiles import Profile
from deskmodel.solids._separate import closed_form_volume

__all__ = ["Moment", "closed_form", "profile_centroid"]

Moment = tuple[float, Vec]
"""(volume in mm³, centroid in the part's frame)."""


def profile_centroid(profile: Profile) -> tuple[float, float]:
    """The centroid of the area of an outline."""
    ox, oy, _ = profile.vertices[0]  # from a corner: far from (0, 0) the products would drown the area
    area = mx = my = 0.0
    for edge in profile.edges():
        (x0, y0), (x1, y1), bulge = edge
        x0, y0, x1, y1 = x0 - ox, y0 - oy, x1 - ox, y1 - oy
        twice = x0 * y1 - x1 * y0
        area, mx, my = area + twice / 2, mx + (x0 + x1) * twice / 6, my + (y0 + y1) * twice / 6
        if bulge:
            (cx, cy), radius, start, sweep = arc_circle(edge)
            angle = abs(sweep)
            segment = math.copysign(radius * radius * (angle - math.sin(angle)) / 2, bulge)
            out = 4 * radius * math.sin(angle / 2) ** 3 / (3 * (angle - math.sin(angle)))
            middle = start + sweep / 2
            area += segment
            mx += segment * (cx - ox + out * math.cos(middle))
            my += segment * (cy - oy + out * math.sin(middle))
    return ox + mx / area, oy + my / area


def closed_form(blank: Blank, removals: Sequence[Removal]) -> Moment | None:
    """Blank less removals, where no two of them meet (and no two bodies of equipment); else None."""
    solid = _solid_moments(blank)
    if not solid or closed_form_volume(blank, removals) is None:
        return None
    return _sum([(1.0, moment) for moment in solid] + [(-1.0, _moment(cut)) for cut in removals])


def _solid_moments(blank: Blank) -> list[Moment]:
    if isinstance(blank, BoxBlank):
        return [(blank.volume, (blank.length / 2, blank.width / 2, blank.height / 2))]
    if isinstance(blank, SheetBlank):
        return [(blank.volume, (*profile_centroid(blank.outline), blank.thickness / 2))]
    if isinstance(blank, TurnedBlank):
        return [_moment(blank.solid)]
    if isinstance(blank, FoldedBlank):
        made = blank.folding
        panels = [(panel.region.area * blank.thickness, panel.point(*profile_centroid(panel.region), blank.thickness / 2))
                  for panel in made.panels]
        return panels + [(bend.volume, _middle(bend)) for bend in made.bends]
    if isinstance(blank, Bodies):
        return [_moment(body) for body in blank.bodies]
    return []


def _middle(bend: Bend) -> Vec:
    """Centroid of a sector of a ring: 2/3 (R³ - r³) / (R² - r²) · sin(a) / a from the axis, a half the angle."""
    inner, outer, half = bend.radius, bend.radius + bend.thickness, math.radians(bend.angle) / 2
    rho = 2 / 3 * (outer ** 3 - inner ** 3) / (outer ** 2 - inner ** 2) * math.sin(half) / half
    return bend.at((bend.start + bend.stop) / 2, rho, bend.angle / 2)


def _moment(cut: Removal) -> Moment:
    if isinstance(cut, Revolve):
        return cut.volume, cut.pose.apply((0.0, 0.0, _height(cut)))
    return cut.volume, cut.pose.apply((*profile_centroid(cut.profile), cut.depth / 2))


def _height(turned: Revolve) -> float:
    """z of the centroid: by Pappus, the integral of r²/2 dz·z round the half outline over that of r²/2 dz."""
    volume = moment = 0.0
    for (r0, z0), (r1, z1) in pairwise((*turned.half, turned.half[0])):
        rise = z1 - z0
        volume += rise * (r0 * r0 + r0 * r1 + r1 * r1) / 3
        moment += rise * (z0 * (3 * r0 * r0 + 2 * r0 * r1 + r1 * r1) + z1 * (r0 * r0 + 2 * r0 * r1 + 3 * r1 * r1)) / 12
    return moment / volume


def _sum(signed: Iterable[tuple[float, Moment]]) -> Moment:
    volume, moments = 0.0, [0.0, 0.0, 0.0]
    for sign, (each, centre) in signed:
        volume += sign * each
        moments = [total + sign * each * c for total, c in zip(moments, centre, strict=True)]
    return volume, (moments[0] / volume, moments[1] / volume, moments[2] / volume)
