"""Areas in a plane, bounded by polygons: united, cut, shared. Nothing here knows of solids.

What is drawn of a section is an area; the library for booleans of meshes does them in the plane as well.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

from manifold3d import CrossSection, FillRule

__all__ = ["Area", "Point", "Ring", "area_of"]

Point = tuple[float, float]
Ring = Sequence[Point]
"""Corners in turn; the last is joined to the first."""


class Area:
    """Material in a plane, mm. Not made directly: ``area_of``."""

    def __init__(self, section: CrossSection) -> None:
        self._section = section

    @cached_property
    def size(self) -> float:
        """mm²."""
        return float(self._section.area())

    @cached_property
    def rings(self) -> tuple[tuple[Point, ...], ...]:
        """Its borders: outer ones anticlockwise, those of holes clockwise."""
        return tuple(tuple((float(x), float(y)) for x, y in ring) for ring in self._section.to_polygons())

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """(x low, y low, x high, y high); of an empty area all 0."""
        points = [p for ring in self.rings for p in ring] or [(0.0, 0.0)]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return min(xs), min(ys), max(xs), max(ys)

    def simplified(self, within: float) -> Area:
        """Without the corners whose loss moves the border by less than ``within`` mm."""
        return Area(self._section.simplify(within))

    def shared(self, other: Area) -> Area:
        return Area(self._section ^ other._section)


def area_of(adds: Iterable[Sequence[Ring]], cuts: Iterable[Sequence[Ring]] = (),
            window: tuple[float, float, float, float] | None = None) -> Area:
    """All ``adds`` united, less all ``cuts``, within ``window`` (x low, y low, x high, y high). Each of them is what its
    rings enclose an odd number of times, whichever way they run."""
    whole = _united(adds) - _united(cuts)
    if window is not None:
        x0, y0, x1, y1 = window
        whole = whole ^ _section([((x0, y0), (x1, y0), (x1, y1), (x0, y1))])
    return Area(whole)


def _united(pieces: Iterable[Sequence[Ring]]) -> CrossSection:
    whole = CrossSection()
    for rings in pieces:
        whole = whole + _section(rings)
    return whole


def _section(rings: Sequence[Ring]) -> CrossSection:
    usable = [[(float(x), float(y)) for x, y in ring] for ring in rings if len(ring) > 2]
    return CrossSection(usable, FillRule.EvenOdd) if usable else CrossSection()
