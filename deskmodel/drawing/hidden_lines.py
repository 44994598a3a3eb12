"""What an eye far away sees of a solid: visible and hidden edges as lines on paper, in closed form.

    look at a part          right, up: axes of the paper in the solid's frame
        eye                 towards the eye: right x up
         |
      +--v--+   An edge is visible where on one side of it at least nothing lies over it. Edges that fall on each other
      |     |   are drawn once, and a visible one hides a hidden one.
      +-----+

Lines stay lines, circles square to the eye stay circles; other circles become chords.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np

from deskmodel._edges import Point
from deskmodel.drawing._curves import Arc3, Curve, Line3, outlines_of
from deskmodel.drawing._many import blocked
from deskmodel.drawing._parted import Stretches, parted, sampled
from deskmodel.drawing._rays import Bools, Floats
from deskmodel.drawing._sharp import edges_of, on_surface
from deskmodel.drawing._solids import Solid
from deskmodel.drawing._strokes import Stroke, chords, merged
from deskmodel.frames import Pose, Vec, cross, unit

__all__ = ["Seen", "View", "look", "look_each", "view_of"]

_ASIDE = 1e-4  # mm beside an edge, where its surroundings are looked at
_OVER = 1e-2  # mm towards the eye, from where on something lies over it: slopes up to 100 : 1 beside it do not count
_WHOLE, _EIGHTHS = Stretches((0.0, 1.0)), Stretches(tuple(i / 8 for i in range(9)))


@dataclass(frozen=True, slots=True)
class View:
    """``right`` and ``up`` of the paper in the solid's frame, unit vectors square to each other."""

    right: Vec
    up: Vec

    @property
    def towards_eye(self) -> Vec:
        return cross(self.right, self.up)

    @property
    def pose(self) -> Pose:
        """From the solid's frame to x right, y up, z to the eye."""
        return Pose((self.right, self.up, self.towards_eye))

    def flat(self, p: Vec) -> Point:
        x, y, _ = self.pose.apply(p)
        return x, y


@dataclass(frozen=True, slots=True)
class Seen:
    """Strokes in the plane of the view, mm of the solid."""

    visible: tuple[Stroke, ...]
    hidden: tuple[Stroke, ...]


def view_of(towards_eye: Vec, up: Vec) -> View:
    """InputFault where ``up`` has no part square to the eye."""
    d = unit(towards_eye)
    right = unit(cross(up, d))
    return View(right, cross(d, right))


def look(solids: Sequence[Solid], view: View, step: float | None = None, edges: Sequence[Sequence[Curve]] | None = None,
         *, hidden: bool = True) -> Seen:
    """``step``: mm, the longest stretch for which one point speaks, changes found to a hundredth of it; None: what lies at
    right angles, where the boxes about the pieces say enough. ``edges``: of each solid, where they are known already."""
    each = look_each(solids, view, step, edges, hidden=hidden)
    visible = merged([stroke for seen in each for stroke in seen.visible])
    return Seen(tuple(visible), tuple(merged([stroke for seen in each for stroke in seen.hidden], visible)))


def look_each(solids: Sequence[Solid], view: View, step: float | None = None,
              edges: Sequence[Sequence[Curve]] | None = None, *, hidden: bool = True) -> tuple[Seen, ...]:
    """As ``look``, the strokes of each solid apart."""
    pose = view.pose
    turned = [solid.seen_from(pose) for solid in solids]
    curves: list[Curve] = []
    ends = []
    for i, (solid, own) in enumerate(zip(solids, turned, strict=True)):
        sharp = edges_of(solid) if edges is None else edges[i]
        curves += (curve for curve in (*(edge.moved(pose) for edge in sharp), *_rims(own)) if not _from_its_end(curve))
        ends.append(len(curves))
    shown = list(_visible(curves, turned, step))
    found = []
    for start, stop in pairwise([0, *ends]):
        strokes = [(stroke, seen) for parts in shown[start:stop] for curve, seen in parts if seen or hidden
                   for stroke in _on_paper(curve)]
        seen = merged([stroke for stroke, visible in strokes if visible])
        found.append(Seen(tuple(seen), tuple(merged([stroke for stroke, visible in strokes if not visible], seen))))
    return tuple(found)


def _rims(solid: Solid) -> Iterator[Curve]:
    """Where round faces turn away from the eye, as far as there is a face."""
    lines = [line for body in (*solid.adds, *solid.cuts) for line in outlines_of(body, (0.0, 0.0, 1.0))]
    asked = [_WHOLE if len(around.adds) + len(around.cuts) <= 2 else _EIGHTHS
             for around in solid.near_each([line.box for line in lines])]
    for parts in parted(lines, asked, partial(on_surface, solid)):
        yield from (part for part, there in parts if there)


def _from_its_end(curve: Curve) -> bool:
    return all(math.hypot(*curve.along(t)[:2]) < 1e-9 for t in (0.0, 0.2, 0.5))


def _visible(curves: Sequence[Curve], solids: Sequence[Solid], step: float | None) -> Iterator[list[tuple[Curve, bool]]]:
    """Each curve in stretches that are seen or not."""
    def free(points: Floats, along: Floats) -> Bools:
        """Whether on one side at least nothing lies over the curve."""
        wide = np.hypot(along[:, 0], along[:, 1])
        rows = np.flatnonzero(wide >= 1e-9)
        aside = np.zeros((len(rows), 3))
        aside[:, 0], aside[:, 1] = -along[rows, 1] / wide[rows] * _ASIDE, along[rows, 0] / wide[rows] * _ASIDE
        raised = points[rows] + (0.0, 0.0, _OVER)
        over = np.flatnonzero(blocked(solids, raised + aside))
        over = over[blocked(solids, raised[over] - aside[over])]
        found = wide >= 1e-9
        found[rows[over]] = False
        return found

    if step is not None:
        return sampled(curves, step, free)
    return parted(curves, list(map(_stretches, curves, _over(curves, solids))), free)


def _over(curves: Sequence[Curve], solids: Iterable[Solid]) -> list[list[Solid]]:
    """What may lie over each curve, and beside it."""
    boxes = [(low, (high[0], high[1], math.inf)) for low, high in (curve.box for curve in curves)]
    found: list[list[Solid]] = [[] for _ in curves]
    for solid in solids:
        for over, near in zip(found, solid.near_each(boxes), strict=True):
            if near.adds:
                over.append(near)
    return found


def _stretches(curve: Curve, over: Sequence[Solid]) -> Stretches:
    """Places at which something may come to lie over the curve or leave it, and whether it may also do so between two. What
    looks like a rectangle begins and ends at the sides of its box; what looks round or askew does so somewhere within."""
    bodies = [body for solid in over for body in (*solid.adds, *solid.cuts)]
    if isinstance(curve, Arc3):
        return _WHOLE if len(bodies) <= 2 else _EIGHTHS
    found = {0.0, 1.0}
    round_: list[tuple[float, float]] = []
    for body in bodies:
        low, high = body.box
        inner, outer = 0.0, 1.0
        for i in (0, 1):
            length = curve.b[i] - curve.a[i]
            if abs(length) > 1e-9:
                ends = sorted(((low[i] - curve.a[i]) / length, (high[i] - curve.a[i]) / length))
                found |= {t for t in ends if 1e-9 < t < 1 - 1e-9}
                inner, outer = max(inner, ends[0]), min(outer, ends[1])
        if outer > inner and not body.is_level:
            round_.append((inner, outer))
    places = sorted(found)
    return Stretches(places, [any(a < stop and b > start for a, b in round_) for start, stop in pairwise(places)])


def _on_paper(curve: Curve) -> Iterator[Stroke]:
    if isinstance(curve, Line3):
        yield Stroke(curve.a[:2], curve.b[:2])
        return
    normal = unit(cross(curve.x, curve.y))
    if abs(normal[2]) > 1 - 1e-9 and curve.is_circle:  # square to the eye
        forward = normal[2] > 0
        start = curve.start if forward else curve.start + curve.sweep
        at = math.cos(start), math.sin(start)
        from_angle = math.atan2(curve.x[1] * at[0] + curve.y[1] * at[1], curve.x[0] * at[0] + curve.y[0] * at[1])
        yield Stroke((0.0, 0.0), (0.0, 0.0), curve.centre[:2], curve.radius, from_angle, curve.sweep)
    elif abs(normal[2]) < 1e-9:  # seen from its edge: a line, as far as it reaches
        ends = [curve.at(t)[:2] for t in (0.0, 1.0, *_turns(curve))]
        k = max((0, 1), key=lambda k: max(p[k] for p in ends) - min(p[k] for p in ends))  # where it reaches farther
        yield Stroke(min(ends, key=lambda p: p[k]), max(ends, key=lambda p: p[k]))
    else:
        yield from chords([curve.at(t)[:2] for t in _even(curve)])


def _turns(curve: Arc3) -> Iterator[float]:
    """Where an arc seen from its edge reaches farthest."""
    for i in (0, 1):
        angle = math.atan2(curve.y[i], curve.x[i])
        for each in (angle, angle + math.pi):
            t = (each - curve.start) % (2 * math.pi) / curve.sweep
            if t <= 1.0:
                yield t


def _even(curve: Arc3) -> list[float]:
    n = max(2, math.ceil(curve.sweep / math.radians(6)))
    return [i / n for i in range(n + 1)]


