"""A field of round vent holes through a plate."""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel._numbers import told, vector
from deskmodel.errors import InputFault
from deskmodel.features._base import (
    BlankFaces,
    Purpose,
    Removal,
    Stage,
    check_inside,
    check_length,
    prism_into,
)
from deskmodel.profiles import circle

__all__ = ["MOST", "VentField"]

MOST = 10_000
"""Holes of one field: more is a slip, and would keep the kernel busy for minutes."""


@dataclass(frozen=True, slots=True)
class VentField:
    """``columns`` by ``rows`` holes at ``pitch``, the first one's centre at ``at`` = (u, v). ``staggered`` shifts
    every other row by half a pitch. ``left_out``: (column, row), counted from 0, of holes that are not cut, where a screw
    goes through. mm."""

    at: tuple[float, float]
    columns: int
    rows: int
    pitch: float = 8.0
    diameter: float = 5.0
    staggered: bool = False
    face: str = "top"
    name: str = "vent field"
    purpose: Purpose = "vent"
    stage: Stage = "crosscut"
    left_out: tuple[tuple[int, int], ...] = ()

    def centres(self) -> list[tuple[float, float]]:
        """(u, v) of every hole, row by row."""
        return [(self.at[0] + self.pitch * (i + (0.5 if self.staggered and j % 2 else 0.0)), self.at[1] + self.pitch * j)
                for j in range(self.rows) for i in range(self.columns) if (i, j) not in self.left_out]

    def removals(self, blank: BlankFaces) -> tuple[Removal, ...]:
        face = blank.face(self.face)
        check_length("pitch", self.pitch)
        check_length("diameter", self.diameter, below=self.pitch)
        vector("centre of the first vent hole", self.at, 2)
        if not isinstance(self.staggered, bool):
            raise InputFault(f"staggered {told(self.staggered)}", allowed="True or False")
        for name, count in (("columns", self.columns), ("rows", self.rows)):
            if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= 1000:
                raise InputFault(f"{name} {told(count)}", allowed="a whole number, 1 to 1000")
        if self.columns * self.rows > MOST:
            raise InputFault(f"a vent field of {self.columns} × {self.rows} holes", allowed=f"{MOST} holes at most")
        self._check_left_out()
        removals = []
        for centre in self.centres():
            outline = circle(self.diameter, centre)
            check_inside(f"vent field {self.name!r}", outline, face)
            removals.append(prism_into(face, outline, face.behind))
        return tuple(removals)

    def _check_left_out(self) -> None:
        given = self.left_out
        if not isinstance(given, tuple | list) or not all(
                isinstance(each, tuple | list) and len(each) == 2 and all(type(k) is int for k in each) for each in given):
            raise InputFault(f"left out {told(given)}", allowed="pairs of whole numbers, ((column, row), …), from 0")
        for column, row in given:
            if not (0 <= column < self.columns and 0 <= row < self.rows):
                raise InputFault(f"left out hole ({column}, {row})",
                                 allowed=f"a column below {self.columns} and a row below {self.rows}, counted from 0")
        if len(set(map(tuple, given))) >= self.columns * self.rows:
            raise InputFault("all holes of a vent field left out", allowed="one hole or more")
