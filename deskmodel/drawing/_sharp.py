"""Which stretches of curves are edges of a solid.

A candidate is every edge of every piece and cut, and every curve in which two of them cross. Whether it is an edge is asked
of the material round it: all air, all wood or half and half is none. Points speak for the stretches between the places where
anything can change.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial

import numpy as np

from deskmodel.drawing._crossings import crossings
from deskmodel.drawing._curves import Arc3, Curve, Line3, candidates
from deskmodel.drawing._many import holds
from deskmodel.drawing._parted import Stretches, parted
from deskmodel.drawing._rays import Bools, Floats
from deskmodel.drawing._solids import Body, Solid
from deskmodel.frames import Vec

__all__ = ["edges_of", "on_surface"]

_NEAR = 1e-3  # mm round an edge at which the material is asked
_ROUND = 16  # points round an edge
_FINE = 144  # where those cannot tell a flat corner from none
_TURN = 2 * math.pi


def edges_of(solid: Solid) -> list[Curve]:
    """The sharp edges of a solid, each stretch once or, where two of its pieces share one, more often."""
    sources: list[tuple[Body | None, Curve]] = [(own, curve) for own in (*solid.adds, *solid.cuts)
                                                for curve in candidates(own)]
    sources += [(None, curve) for a, b in solid.meeting() for curve in crossings(a, b)]
    asked = []
    for (own, curve), around in zip(sources, solid.near_each([curve.box for _, curve in sources]), strict=True):
        lone = own in around.cuts and len(around.adds) == len(around.cuts) == 1  # a cut lies within its blank
        places = [0.0, 1.0] if lone else _places(curve, [b for b in (*around.adds, *around.cuts) if b is not own])
        asked.append(Stretches(places))
    found = parted([curve for _, curve in sources], asked, partial(_sharp, solid))
    return [part for parts in found for part, sharp in parts if sharp]


def on_surface(solid: Solid, points: Floats, along: Floats) -> Bools:
    """Whether there is both air and material round each point (n, 3) of curves that run ``along`` (n, 3) there."""
    inside = _asked(solid, points, along, _ROUND).sum(axis=1)
    found: Bools = (inside > 0) & (inside < _ROUND)
    return found


def _sharp(solid: Solid, points: Floats, along: Floats) -> Bools:
    answers = _asked(solid, points, along, _ROUND)
    inside = answers.sum(axis=1)
    changes = (answers != np.roll(answers, -1, axis=1)).sum(axis=1)
    found: Bools = (inside > 0) & (inside < _ROUND)
    level = np.flatnonzero(found & (changes <= 2) & (inside == _ROUND // 2))
    fine = _asked(solid, points[level], along[level], _FINE).sum(axis=1)
    found[level] = np.abs(fine - _FINE // 2) > 1
    return found


def _asked(solid: Solid, points: Floats, along: Floats, count: int) -> Bools:
    """(n, count): round each point, square to ``along``; never just in the plane of a face at right angles or at 45°."""
    other = np.where(np.abs(along[:, :1]) < 0.9, [[1.0, 0.0, 0.0]], [[0.0, 1.0, 0.0]])
    u = np.cross(along, other)
    u /= np.sqrt((u * u).sum(axis=1))[:, None]
    v = np.cross(along, u)
    angles = _TURN * (np.arange(count) + 0.5) / count
    c, s = (_NEAR * np.cos(angles))[None, :, None], (_NEAR * np.sin(angles))[None, :, None]
    ring = points[:, None] + c * u[:, None] + s * v[:, None]
    return holds(solid, ring.reshape(-1, 3)).reshape(-1, count)


def _places(curve: Curve, others: Sequence[Body]) -> list[float]:
    """Where on the curve something may begin or end."""
    if not others:
        return [0.0, 1.0]
    if isinstance(curve, Arc3):
        n = max(4, math.ceil(24 * curve.sweep / _TURN))
        return [i / n for i in range(n + 1)]
    return _crossed(curve, [body.box for body in others], (0, 1, 2))


def _crossed(line: Line3, boxes: Sequence[tuple[Vec, Vec]], axes: Sequence[int]) -> list[float]:
    found = {0.0, 1.0}
    for low, high in boxes:
        for i in axes:
            step = line.b[i] - line.a[i]
            if abs(step) > 1e-12:
                found |= {t for limit in (low[i], high[i]) if 1e-9 < (t := (limit - line.a[i]) / step) < 1 - 1e-9}
    return sorted(found)
