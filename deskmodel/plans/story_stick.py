"""Story sticks: the places along a member, all from its datum end, on one stick that is laid along it.

A stick serves every member that is alike. Its tiles are the stretches that go onto sheets of paper, each overlapping the
next, with a place in the overlap where the two are joined.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["OVERLAP", "StickMark", "StorySticks", "Tile", "tiles_of"]

OVERLAP = 20.0
"""mm by which one tile goes on under the next (common practice)."""

_BEYOND = 5.0  # of paper before the datum end and behind the far end


@dataclass(frozen=True, slots=True)
class StickMark:
    """A line across the face ``place``, ``at`` mm from the datum end.

    ``towards``: the end towards which the part lies that is joined there, ``breadth`` mm wide; None: the line is the axis of
    a hole. ``names``: of each member that the stick serves, what is joined there or what the hole is for. ``jig``: number of
    the jig that is laid to the line, "" for none. ``holes``: what is drilled, "2 × Ø 8, 16 deep"."""

    at: float
    place: str
    towards: str | None
    breadth: float | None
    names: tuple[str, ...]
    jig: str
    holes: str

    @property
    def span(self) -> tuple[float, float]:
        """From and to, mm from the datum end, of what is joined there; the line alone without it."""
        if self.towards is None or self.breadth is None:
            return self.at, self.at
        return (self.at - self.breadth, self.at) if self.towards == "datum end" else (self.at, self.at + self.breadth)


@dataclass(frozen=True, slots=True)
class StorySticks:
    """The sticks of ``members``, which are alike: one for each face, named as in ``StickMark.place``. ``length``: of the
    members. ``marks`` by face, then by place. ``faces``: by member, where its marked faces look in the desk."""

    members: tuple[str, ...]
    stock: str
    length: float
    marks: tuple[StickMark, ...]
    faces: tuple[str, ...]

    @property
    def places(self) -> tuple[str, ...]:
        """The faces that have marks."""
        return tuple(dict.fromkeys(mark.place for mark in self.marks))

    def on(self, place: str) -> tuple[StickMark, ...]:
        return tuple(mark for mark in self.marks if mark.place == place)


@dataclass(frozen=True, slots=True)
class Tile:
    """The stretch ``start`` to ``stop``, mm from the datum end; ``joins``: where it meets its neighbours."""

    start: float
    stop: float
    joins: tuple[float, ...]


def tiles_of(length: float, room: float) -> tuple[Tile, ...]:
    """As few tiles, none longer than ``room`` mm, as show 0 to ``length`` with a little paper at both ends: equal but for
    the last, and joined at whole millimetres that end in 5. ``room`` is more than two overlaps."""
    most = math.floor(room / 10 + 1e-9) * 10.0
    whole = length + 2 * _BEYOND
    count = max(1, math.ceil((whole - OVERLAP) / (most - OVERLAP) - 1e-9))
    each = math.ceil((whole + (count - 1) * OVERLAP) / count / 10 - 1e-9) * 10.0
    starts = [-_BEYOND + i * (each - OVERLAP) for i in range(count)]
    stops = [*(start + each for start in starts[:-1]), length + _BEYOND]
    joins = [start + OVERLAP / 2 for start in starts[1:]]
    return tuple(Tile(start, stop, tuple(joins[max(0, i - 1):i + 1]))
                 for i, (start, stop) in enumerate(zip(starts, stops, strict=True)))
