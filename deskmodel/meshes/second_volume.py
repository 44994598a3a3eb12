"""The volume of a part by a second way: prisms and revolves as meshes of their own, subtracted by manifold3d.

Nothing here comes from the kernel, so a cut that the kernel lost shows. Arcs are polygons of the same area, so that a
cylinder's volume is exact and only where cuts meet an error of the order of the chord is left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from manifold3d import CrossSection, Error, FillRule, Manifold, OpType

from deskmodel.bends import Bend
from deskmodel.errors import BuildFault
from deskmodel.features import Prism, Removal
from deskmodel.frames import Pose
from deskmodel.part import Blank, Bodies, BoxBlank, FoldedBlank, SheetBlank, TurnedBlank
from deskmodel.profiles import Profile

__all__ = ["CHORD_SHARE", "volume_by_meshes"]

_SEGMENTS = 256  # of a full circle

CHORD_SHARE = 2e-4
"""Share of the removed volume by which meshes may differ from the truth: a polygon of 256 sides and equal area leaves
the circle by at most 7.5e-5 of its radius, inwards and outwards in turn; doubled for the two parts of a meeting."""


def volume_by_meshes(blank: Blank, removals: Sequence[Removal]) -> float | None:
    """mm³ of blank less removals. None for a custom shape, which has no second description."""
    if isinstance(blank, BoxBlank):
        body = Manifold.cube((blank.length, blank.width, blank.height))
    elif isinstance(blank, SheetBlank):
        body = _prism(Prism(blank.outline, Pose(), blank.thickness))
    elif isinstance(blank, FoldedBlank):
        body = Manifold.batch_boolean([*(_prism(Prism(panel.region, panel.pose, panel.thickness))
                                         for panel in blank.folding.panels), *map(_bend, blank.folding.bends)], OpType.Add)
    elif isinstance(blank, TurnedBlank):
        body = _turned(blank.half, Pose())
    elif isinstance(blank, Bodies):
        body = Manifold()
        for prism in blank.bodies:
            body = body + _prism(prism)
    else:
        return None
    if removals:
        tools = Manifold.batch_boolean([_tool(removal) for removal in removals], OpType.Add)
        body = body - tools
    if body.status() != Error.NoError:  # a manifold in error state has volume 0 and says nothing else
        raise BuildFault(f"the mesh boolean failed: {body.status()}")
    return float(body.volume())


def _tool(removal: Removal) -> Manifold:
    return _prism(removal) if isinstance(removal, Prism) else _turned(removal.half, removal.pose)


def _prism(prism: Prism) -> Manifold:
    section = CrossSection([np.array(_outline(prism.profile))], FillRule.Positive)
    return Manifold.extrude(section, prism.depth).transform(_matrix(prism.pose))


def _bend(bend: Bend) -> Manifold:
    """A sector of a ring, in chords of equal area, along the bend's line."""
    count = max(4, math.ceil(_SEGMENTS * bend.angle / 360))
    step = math.radians(bend.angle) / count
    grow = [1.0, *[math.sqrt(step / math.sin(step))] * (count - 1), 1.0]  # its ends lie on the panels

    def arc(rho: float) -> list[tuple[float, float]]:
        radii = [rho * each for each in grow]
        return [(r * math.sin(i * step), -bend.up * r * math.cos(i * step)) for i, r in enumerate(radii)]

    outline = [*arc(bend.radius + bend.thickness), *reversed(arc(bend.radius))]
    section = CrossSection([np.array(outline if bend.up > 0 else outline[::-1])], FillRule.Positive)
    return Manifold.extrude(section, bend.stop - bend.start).transform(_matrix(bend.pose))


def _turned(half: Sequence[tuple[float, float]], pose: Pose) -> Manifold:
    # equal area at every height: radii grow by the same factor
    grow = math.sqrt(2 * math.pi / _SEGMENTS / math.sin(2 * math.pi / _SEGMENTS))
    points = np.array([(r * grow, z) for r, z in half])
    if sum(points[:, 0] * np.roll(points[:, 1], -1) - np.roll(points[:, 0], -1) * points[:, 1]) < 0:
        points = points[::-1]
    return Manifold.revolve(CrossSection([points], FillRule.Positive), _SEGMENTS).transform(_matrix(pose))


def _outline(profile: Profile) -> list[tuple[float, float]]:
    """Points of the outline; a full circle as a polygon of equal area, other arcs in fine chords."""
    found = profile.as_circle
    if found is None:
        return profile.points(2 * math.pi / (4 * _SEGMENTS))
    (x, y), radius = found
    step = 2 * math.pi / _SEGMENTS
    r = radius * math.sqrt(step / math.sin(step))
    return [(x + r * math.cos(i * step), y + r * math.sin(i * step)) for i in range(_SEGMENTS)]


def _matrix(pose: Pose) -> np.ndarray:
    return np.hstack([np.array(pose.rotation), np.array(pose.origin)[:, None]])
