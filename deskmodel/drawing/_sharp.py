"""Which stretches of curves are edges of a solid.

A candidate is every edge of every piece and cut, and every curve in which two of them cross. Whether it is an edge is asked
of the material round it: all air, all wood or half and half is none. Points speak for the stretches between the places where
anything can change.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial

from deskmodel.drawing._crossings import crossings
from deskmodel.drawing._curves import Arc3, Curve, Line3, candidates, parted
from deskmodel.drawing._solids import Body, Solid
from deskmodel.frames import Vec, cross, unit

__all__ = ["edges_of", "on_surface"]

_NEAR = 1e-3  # mm round an edge at which the material is asked
_ROUND = 16  # points round an edge
_FINE = 144  # where those cannot tell a flat corner from none
_TURN = 2 * math.pi


def edges_of(solid: Solid) -> list[Curve]:
    """The sharp edges of a solid, each stretch once or, where two of its pieces share one, more often."""
    found: list[Curve] = []
    sources: list[tuple[Body | None, Curve]] = [(own, curve) for own in (*solid.adds, *solid.cuts)
                                                for curve in candidates(own)]
    sources += [(None, curve) for a, b in solid.meeting() for curve in crossings(a, b)]
    for own, curve in sources:
        around = solid.near(*curve.box)
        lone = own in around.cuts and len(around.adds) == len(around.cuts) == 1  # a cut lies within its blank
        places = [0.0, 1.0] if lone else _places(curve, [b for b in (*around.adds, *around.cuts) if b is not own])
        found += [part for part, sharp in parted(curve, places, partial(_sharp, around)) if sharp]
    return found


def on_surface(solid: Solid, p: Vec, along: Vec) -> bool:
    """Whether there is both air and material round the point."""
    answers = _asked(solid, p, along, _ROUND)
    return any(answers) and not all(answers)


def _sharp(solid: Solid, p: Vec, along: Vec) -> bool:
    answers = _asked(solid, p, along, _ROUND)
    inside = sum(answers)
    if inside in (0, _ROUND):
        return False
    changes = sum(a != b for a, b in zip(answers, answers[1:] + answers[:1], strict=True))
    if changes > 2 or inside != _ROUND // 2:
        return True
    fine = _asked(solid, p, along, _FINE)
    return abs(sum(fine) - _FINE // 2) > 1


def _asked(solid: Solid, p: Vec, along: Vec, count: int) -> list[bool]:
    """Round the point, square to ``along``; never just in the plane of a face at right angles or at 45°."""
    other = (1.0, 0.0, 0.0) if abs(along[0]) < 0.9 else (0.0, 1.0, 0.0)
    u = unit(cross(along, other))
    v = cross(along, u)
    answers = []
    for i in range(count):
        angle = _TURN * (i + 0.5) / count
        c, s = _NEAR * math.cos(angle), _NEAR * math.sin(angle)
        answers.append(solid.holds((p[0] + c * u[0] + s * v[0], p[1] + c * u[1] + s * v[1], p[2] + c * u[2] + s * v[2])))
    return answers


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
