"""The holes of a part by kind and by number: "B3" is the third hole of the second kind, on the drawing and in its table."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, get_args

from deskmodel.features import Hole, Stage
from deskmodel.part import Member, Plate
from deskmodel.plans._datums import datums_of, from_datums

__all__ = ["HoleKind", "HoleMark", "Move", "hole_kinds"]

_FACES = ("face side", "back side", "face edge", "under edge", "datum end", "far end", "drawn side", "far side", "top",
          "bottom")

Move = Callable[[str, float, float], tuple[str, float, float]]
"""(face, x, y) as the drawing tells them, of those from the part's own datums."""
_STAGES: tuple[str, ...] = get_args(Stage)


@dataclass(frozen=True, slots=True)
class HoleMark:
    """One hole: ``x`` and ``y`` from the datums of its face, mm."""

    number: str
    face: str
    x: float
    y: float
    hole: Hole

    @property
    def widest(self) -> float:
        mouth = self.hole.counterbore or self.hole.countersink
        return max(self.hole.diameter, mouth[0]) if mouth else self.hole.diameter


@dataclass(frozen=True, slots=True)
class HoleKind:
    """Holes that are made alike. ``behind``: thickness under the face."""

    letter: str
    marks: tuple[HoleMark, ...]
    behind: float

    @property
    def hole(self) -> Hole:
        return self.marks[0].hole

    @property
    def depth(self) -> str:
        """"26, to the point 28.31"."""
        hole = self.hole
        if hole.depth is None:
            return "through"
        if hole.point is None:
            return f"{hole.depth:g}"
        return f"{hole.depth:g}, to the point {round(hole.depth + self.tip, 2):g}"

    @property
    def tip(self) -> float:
        hole = self.hole
        return 0.0 if hole.point is None else hole.diameter / 2 / math.tan(math.radians(hole.point / 2))

    @property
    def mouth(self) -> str:
        hole = self.hole
        if hole.counterbore:
            return f"counterbore Ø {hole.counterbore[0]:g}, {hole.counterbore[1]:g} deep"
        if hole.countersink:
            return f"countersink Ø {hole.countersink[0]:g}, {hole.countersink[1]:g}°"
        return ""

    @property
    def plain(self) -> bool:
        """Right through and without a mouth: the circle says it all."""
        return self.hole.depth is None and not self.mouth


def hole_kinds(part: Member | Plate, move: Move | None = None) -> tuple[HoleKind, ...]:
    """By stage, then from the widest; each kind's holes face by face along x. Datums as of the drilling schedule, or as
    ``move`` has them."""
    groups: dict[Any, list[HoleMark]] = {}
    for feature in part.features:
        if isinstance(feature, Hole):
            face = part.blank.face(feature.face)
            x, y = from_datums(part, face, feature.at)
            spec = (_STAGES.index(feature.stage), -feature.diameter, feature.depth is None, feature.depth or 0.0,
                    feature.point or 0.0, feature.counterbore or (), feature.countersink or (), feature.purpose,
                    feature.face if feature.countersink or feature.counterbore else "", round(face.behind, 6))
            told, x, y = move(feature.face, x, y) if move else (feature.face, x, y)
            groups.setdefault(spec, []).append(HoleMark("", told, round(x, 3) + 0.0, round(y, 3) + 0.0, feature))
    kinds = []
    for i, spec in enumerate(sorted(groups, key=repr_key)):
        letter = _letter(i)
        marks = sorted(groups[spec], key=lambda m: (_face_order(m.face), m.x, m.y))
        numbered = tuple(HoleMark(f"{letter}{n}", m.face, m.x, m.y, m.hole) for n, m in enumerate(marks, 1))
        kinds.append(HoleKind(letter, numbered, part.blank.face(numbered[0].hole.face).behind))
    return tuple(kinds)


def repr_key(spec: Sequence[Any]) -> tuple[Any, ...]:
    return (*spec[:2], repr(spec[2:]))


def measured_from(part: Member | Plate, face: str) -> str:
    return " and ".join(datums_of(part, face))


def _face_order(face: str) -> tuple[int, str]:
    return (_FACES.index(face) if face in _FACES else len(_FACES), face)


def _letter(i: int) -> str:
    return ("" if i < 26 else _letter(i // 26 - 1)) + "ABCDEFGHIJKLMNOPQRSTUVWXYZ"[i % 26]
