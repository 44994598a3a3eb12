"""A plate as the cutting service gets it: the flat seen on one of its faces, closed contours to cut, bend lines, and what is
left to do that a laser cannot.

        y ^                       X to the right, Y up, from the lower left corner of the flat's box;
          |   seen on the top:    X = x - x0, Y = y - y0
          |   on the bottom:      X = x1 - x, Y = y - y0, the sheet turned over about the vertical
          +-----> x
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from deskmodel._edges import Point
from deskmodel._remembered import Kept
from deskmodel.contours import length_of, mirrored
from deskmodel.cut_away import cut_away, groups
from deskmodel.errors import InputFault
from deskmodel.features import CutOut, Feature, Hole, Pocket, Purpose, VentField
from deskmodel.flat import BendLine, FlatPattern, flat_pattern
from deskmodel.frames import Vec
from deskmodel.part import Plate
from deskmodel.profiles import Profile, circle, rectangle
from deskmodel.service import Operation

__all__ = ["Cut", "CutSheet", "Side", "Work", "cut_sheet"]

Side = Literal["top", "bottom"]


@dataclass(frozen=True, slots=True)
class Cut:
    """A closed contour within the outline; ``name`` and ``purpose`` of its feature."""

    outline: Profile
    name: str
    purpose: Purpose


@dataclass(frozen=True, slots=True)
class Work:
    """What is done besides cutting, at ``at`` (X, Y): on the ``drawn`` side, or on the other. ``diameter`` of the hole, cut
    where it is ``through``; ``wide`` and ``angle``, or ``wide`` and ``depth``, of its countersink or counterbore; ``depth``
    of a blind hole to its shoulder and ``point`` of its drill; ``outline`` and ``depth`` of a pocket. mm, degrees."""

    kind: Operation
    drawn: bool
    at: Point
    name: str
    diameter: float | None = None
    through: bool = False
    wide: float | None = None
    angle: float | None = None
    depth: float | None = None
    point: float | None = None
    outline: Profile | None = None


@dataclass(frozen=True)
class CutSheet:
    """One plate in the flat, seen on its face ``seen``. Outline and cuts run anticlockwise."""

    name: str
    material: str
    thickness: float
    seen: Side
    outline: Profile
    cuts: tuple[Cut, ...]
    bends: tuple[BendLine, ...]
    works: tuple[Work, ...]
    pattern: FlatPattern

    @property
    def size(self) -> tuple[float, float]:
        _, _, x1, y1 = self.outline.bounds
        return x1, y1

    @property
    def area(self) -> float:
        """mm² of metal that is left."""
        return self.outline.area - sum(cut.outline.area for cut in self.cuts)

    @property
    def cut_length(self) -> float:
        return length_of(self.outline) + sum(length_of(cut.outline) for cut in self.cuts)

    @property
    def pierces(self) -> int:
        return 1 + len(self.cuts)

    def to_flat(self, p: Point) -> Point:
        """(x, y) of the flat, which is the plate's own where it has no bends, of a point (X, Y)."""
        x0, y0, x1, _ = self.pattern.outline.bounds
        return (x0 + p[0] if self.seen == "top" else x1 - p[0]), y0 + p[1]

    def to_part(self, p: Point) -> Vec:
        """The point of the plate's frame, on the face that is seen."""
        height = self.thickness if self.seen == "top" else 0.0
        try:
            return self.pattern.fold(self.to_flat(p), height)
        except InputFault:  # beside the sheet: of its box's corner, or across a slit
            return (*self.to_flat(p), height)


_KNOWN = Kept()
"""By the identity of the plate: checks, documents and the order list ask for the same sheets."""


def cut_sheet(plate: Plate, seen: Side) -> CutSheet:
    """The plate in the flat, seen on that face. InputFault where a feature is not square to the sheet."""
    known = _KNOWN.get((id(plate), seen))
    sheet: CutSheet = _made(plate, seen) if known is None else known[1]
    if known is None:
        _KNOWN.put((id(plate), seen), plate, sheet)
    return sheet


def _made(plate: Plate, seen: Side) -> CutSheet:
    # round holes of an unbent plate are in the flat what they are: hundreds of vents need not be worked out
    flat = [each for each in plate.features if isinstance(each, Hole | VentField) and not plate.flanges]
    rest = tuple(each for each in plate.features if plate.flanges or not isinstance(each, Hole | VentField))
    pattern = flat_pattern(replace(plate, features=rest))
    view = _View(pattern, seen)
    cuts: list[Cut] = []
    works: list[Work] = []
    for feature in (*flat, *pattern.features):
        if isinstance(feature, VentField):
            cuts += [Cut(circle(feature.diameter, view.point(at)), feature.name, feature.purpose)
                     for at in feature.centres()]
        elif isinstance(feature, Hole):
            at, drawn = view.point(feature.at), feature.face == seen
            if feature.depth is None:
                cuts.append(Cut(circle(feature.diameter, at), feature.name, feature.purpose))
            works += _works_of(feature, at, drawn)
        elif isinstance(feature, CutOut):
            cuts.append(Cut(view.outline(feature.outline), feature.name, feature.purpose))
        else:
            works.append(_pocket(feature, view))
    outline, cuts = _contours(view.outline(pattern.outline), cuts)
    cuts.sort(key=lambda cut: (cut.outline.vertices, cut.name))
    works.sort(key=lambda work: (work.at, work.kind, work.name))
    bends = tuple(view.bend(line) for line in pattern.bend_lines)
    return CutSheet(plate.name, plate.material, pattern.thickness, seen, outline, tuple(cuts), bends,
                    tuple(works), pattern)


def _contours(outline: Profile, cuts: list[Cut]) -> tuple[Profile, list[Cut]]:
    """Outline and cuts as the laser follows them: cuts that meet the edge are part of the outline, cuts that meet or cover
    each other are one. InputFault where the plate falls to pieces."""
    border, meeting = groups(outline, [cut.outline for cut in cuts])
    if not border and not meeting:
        return outline, cuts
    left = set(range(len(cuts))) - set(border) - {i for group in meeting for i in group}
    made = [cuts[i] for i in left]
    edge = outline
    for numbers, within in [(border, outline), *((group, None) for group in meeting)]:
        if not numbers:
            continue
        shapes = [cuts[i].outline for i in numbers]
        pieces, openings = cut_away(within or _round(shapes), shapes)
        if len(pieces) != 1:
            raise InputFault(f"cut to {len(pieces) or 'no'} pieces" if within else "openings round what would fall out",
                             allowed="openings that leave one piece")
        if within:
            edge = _settled(pieces[0])
        first = cuts[numbers[0]]
        made += [Cut(_settled(opening), first.name, first.purpose) for opening in openings]
    return edge, made


def _round(shapes: list[Profile]) -> Profile:
    """A rectangle with room about them all."""
    boxes = [shape.bounds for shape in shapes]
    x0, y0 = min(box[0] for box in boxes) - 1, min(box[1] for box in boxes) - 1
    return rectangle(max(box[2] for box in boxes) + 1 - x0, max(box[3] for box in boxes) + 1 - y0, (x0, y0))


def _settled(outline: Profile) -> Profile:
    return Profile(tuple((round(x, 6) + 0.0, round(y, 6) + 0.0, round(b, 9) + 0.0) for x, y, b in outline.vertices))


class _View:
    def __init__(self, pattern: FlatPattern, seen: Side) -> None:
        self._x0, self._y0, self._x1, _ = pattern.outline.bounds
        self._over = seen == "bottom"

    def point(self, p: Point) -> Point:
        x = self._x1 - p[0] if self._over else p[0] - self._x0
        return round(x, 6) + 0.0, round(p[1] - self._y0, 6) + 0.0

    def outline(self, outline: Profile) -> Profile:
        if outline.as_circle:
            centre, radius = outline.as_circle
            return circle(round(2 * radius, 6), self.point(centre))
        shape = mirrored(outline, self._x1 / 2).moved(0.0, -self._y0) if self._over else outline.moved(-self._x0, -self._y0)
        return _settled(shape)

    def bend(self, line: BendLine) -> BendLine:
        start, stop = self.point(line.start), self.point(line.stop)
        other: Literal["up", "down"] = "down" if line.direction == "up" else "up"
        return replace(line, start=start, stop=stop, direction=other if self._over else line.direction)


def _works_of(hole: Hole, at: Point, drawn: bool) -> list[Work]:
    through = hole.depth is None
    made = []
    if hole.depth is not None:
        made.append(Work("blind hole", drawn, at, hole.name, hole.diameter, depth=hole.depth, point=hole.point))
    if hole.counterbore is not None:
        wide, depth = hole.counterbore
        made.append(Work("counterbore", drawn, at, hole.name, hole.diameter, through, wide, depth=depth))
    if hole.countersink is not None:
        wide, angle = hole.countersink
        made.append(Work("countersink", drawn, at, hole.name, hole.diameter, through, wide, angle))
    return made


def _pocket(feature: Feature, view: _View) -> Work:
    assert isinstance(feature, Pocket)  # flat_pattern gives holes, cut-outs and pockets
    outline = view.outline(feature.outline)
    x0, y0, x1, y1 = outline.bounds
    at = round((x0 + x1) / 2, 6), round((y0 + y1) / 2, 6)
    return Work("pocket", (feature.face == "bottom") == view._over, at, feature.name, depth=feature.depth, outline=outline)
