"""Two solids as one: what is in either and not in the other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import permutations, product

import cadquery as cq

from tests.rebuild.members import WORDS
from tests.rebuild.shapes import box, turned

__all__ = ["MANY", "NIL", "STANDING", "as_large", "as_marked", "difference", "laid"]

NIL = 1e-6
"""Share of the part's volume. Papers round to a micrometre or so; a hole 0.1 mm off leaves a thousand times as much."""

MANY = 200
"""Faces."""

TOUCHING = 1e-6
"""mm; for the kernel's booleans."""

EQUAL = 1e-5
"""mm, and share of an area: what the kernel's integrals of two equal faces may differ by."""

Axes = tuple[tuple[float, float, float], tuple[float, float, float], tuple[float, float, float]]


def difference(a: cq.Shape, b: cq.Shape) -> float:
    """mm³ of the symmetric difference, by the kernel's booleans; volumes are asked first, they are told at once.

    A plate with hundreds of holes takes the kernel minutes. There the faces that both have are set aside, and the booleans
    are asked in boxes about the others: where both have the same faces they are the same solid."""
    by_volume = abs(a.Volume() - b.Volume())
    if by_volume > NIL * max(a.Volume(), b.Volume()):
        return by_volume  # at least
    if max(len(a.Faces()), len(b.Faces())) <= MANY:
        return max(by_volume, _apart(a, b))
    found = by_volume
    for spot in _spots(a, b):
        found = max(found, _apart(a.intersect(spot), b.intersect(spot)))
        if found > NIL * b.Volume():
            break
    return found


def _apart(a: cq.Shape, b: cq.Shape) -> float:
    """The papers round to a micrometre, so faces that are one lie a little apart: without a tolerance the kernel's boolean
    (OCP 7.9.3) fails on some such pair and tells two equal bodies as altogether apart."""
    return float(a.cut(b, tol=TOUCHING).Volume() + b.cut(a, tol=TOUCHING).Volume())


def _spots(a: cq.Shape, b: cq.Shape) -> list[cq.Solid]:
    """Boxes about the faces that only one of two solids has; of a sheet's large faces nothing where a small one differs."""
    alone = _unmatched(a.Faces(), b.Faces())
    found = []
    for face in [face for face in alone if face.geomType() != "PLANE"] or alone:
        at = face.BoundingBox()
        found.append(box((at.xmin - 2, at.ymin - 2, at.zmin - 2), (at.xmax + 2, at.ymax + 2, at.zmax + 2)))
    return found


def _unmatched(mine: list[cq.Face], theirs: list[cq.Face]) -> list[cq.Face]:
    """Faces of either solid without an equal one in the other: kind of surface, area and middle of the area."""
    waiting: dict[tuple[int, ...], list[tuple[cq.Face, cq.Vector]]] = {}
    for face in theirs:
        middle = face.Center()
        waiting.setdefault(_cell(middle), []).append((face, middle))
    alone = []
    for face in mine:
        middle = face.Center()
        near = [each for step in product((-1, 0, 1), repeat=3)
                for each in waiting.get(tuple(c + s for c, s in zip(_cell(middle), step, strict=True)), ())]
        twin = next((each for each in near if each[0].geomType() == face.geomType() and (each[1] - middle).Length < EQUAL
                     and abs(each[0].Area() - face.Area()) < EQUAL * max(1.0, face.Area())), None)
        if twin is None:
            alone.append(face)
        else:
            waiting[_cell(twin[1])].remove(twin)
    return alone + [face for left in waiting.values() for face, _ in left]


def _cell(p: cq.Vector) -> tuple[int, ...]:
    return round(p.x), round(p.y), round(p.z)


def as_marked(shape: cq.Shape, marks: dict[str, str]) -> cq.Shape:
    """A member laid as its marks look in the desk."""
    side, edge, end = (WORDS[marks[face]] for face in ("face side", "face edge", "datum end"))
    x, y = (tuple(-c + 0.0 for c in way) for way in (end, side))
    return turned(shape, (x[0], x[1], x[2]), (y[0], y[1], y[2]), edge)


def laid(shape: cq.Shape, on: cq.Shape) -> cq.Shape:
    """Moved so that the boxes about both begin in the same corner."""
    a, b = shape.BoundingBox(), on.BoundingBox()
    return shape.translate(cq.Vector(b.xmin - a.xmin, b.ymin - a.ymin, b.zmin - a.zmin))


def as_large(a: cq.Shape, b: cq.Shape) -> bool:
    """Whether the boxes about both are equal: where not, the solids are not."""
    one, other = a.BoundingBox(), b.BoundingBox()
    return all(abs(getattr(one, axis) - getattr(other, axis)) < 0.01 for axis in ("xlen", "ylen", "zlen"))


def _turns() -> Iterator[Axes]:
    for order in permutations(range(3)):
        for signs in product((1.0, -1.0), repeat=3):
            rows = [tuple(sign if i == axis else 0.0 for i in range(3)) for axis, sign in zip(order, signs, strict=True)]
            x, y, z = (cq.Vector(*row) for row in rows)
            if x.cross(y).dot(z) > 0:
                yield rows[0], rows[1], rows[2]  # type: ignore[misc]


STANDING: Iterable[Axes] = tuple(_turns())
"""All 24 ways in which a piece can stand at right angles."""
