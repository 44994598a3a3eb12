"""A small picture of one place in a desk: where it is, and two sections right through it with the parts in question marked.

    +-----------------+ +------------------+ +------------------+
    | map of the desk | | section          | | another section  |   the sections at one scale, one letter a part
    +-----------------+ +------------------+ +------------------+
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from deskmodel.desk import PlacedKeepOut
from deskmodel.drawing.cross_sections import CutDesk, cut_shape
from deskmodel.drawing.desk_map import DeskMap
from deskmodel.drawing.dimensions import figure, rectangle_path
from deskmodel.drawing.hidden_lines import View
from deskmodel.drawing.labels import Box
from deskmodel.drawing.lettering import plain
from deskmodel.drawing.place import Place
from deskmodel.drawing.place_marks import figure_beside, hatched, inmost, letter, measured_line, ring
from deskmodel.drawing.records import Colour, Drawing, LayerName, Path, Point, Record, Text, moved
from deskmodel.faces import placed_box
from deskmodel.features import Prism
from deskmodel.frames import Vec
from deskmodel.meshes.areas import Area, area_of
from deskmodel.model import DeskModel

__all__ = ["LETTERS", "PlaceViews", "scale_said"]

LETTERS = "ABCD"
"""Of the marked parts in turn; a picture marks no more."""

_SCALES = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)  # 1 : n of ISO 5455 (from memory)
_WIDE, _HIGH, _MAP, _BETWEEN, _HEAD = 59.0, 39.0, 52.0, 3.0, 4.6
_EDGE = 0.4  # for lines that lie on a border
_FOOT = 5.4  # below the map, for its figures
_SINK = 3.0  # of the map below its title: its ring may stand out of it
_TITLE = 2.2
_OTHER: Colour = (232, 232, 229)
_PLAIN: Colour = (246, 246, 244)
_FILLS: tuple[tuple[LayerName, Colour], ...] = (("first", (214, 230, 246)), ("second", (254, 231, 203)))
_RED: Colour = (200, 30, 30)
_BESIDE = (0.0, 0.05, -0.05, 0.3, -0.3, 1.0, -1.0, 3.0, -3.0)  # mm off the place, where the plane cuts more of the parts
_LEAST = 1.2  # mm on paper that what is measured should have
_FINEST = 0.02  # mm on paper


@dataclass(frozen=True, slots=True)
class _Plane:
    """``axis`` of the desk that the plane is square to."""

    title: str
    axis: int
    view: View

    def said(self, at: float) -> str:
        return f"{self.title}, {'xyz'[self.axis]} = {figure(at)}"


_PLANES = (_Plane("from above", 2, View((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))),
           _Plane("from the front", 1, View((1.0, 0.0, 0.0), (0.0, 0.0, 1.0))),
           _Plane("from the right", 0, View((0.0, 1.0, 0.0), (0.0, 0.0, 1.0))))


@dataclass(frozen=True, slots=True)
class _Cut:
    """A plane through a place, with what it cuts. ``level`` in the frame of the view, ``at`` along the desk's axis."""

    plane: _Plane
    at: float
    level: float
    window: Box
    marked: tuple[Area | None, ...]
    rooms: tuple[Area, ...]
    overlap: tuple[Area, ...]

    @property
    def worth(self) -> float:
        return 2.0 * sum(area is not None for area in self.marked[:2]) + 1.5 * bool(self.overlap)


class PlaceViews:
    """Pictures of places in one desk."""

    def __init__(self, model: DeskModel) -> None:
        self._model = model
        self.map = DeskMap(model)
        self._boxes = {placed.name: placed_box(placed) for placed in model.parts}
        hardware = {placed.name for placed in model.parts if placed.role == "hardware"}
        self._order = sorted(self._boxes, key=lambda name: (name in hardware, name))

    @cached_property
    def _desks(self) -> tuple[CutDesk, ...]:
        return tuple(CutDesk(self._model.parts, plane.view) for plane in _PLANES)

    def marked(self, place: Place) -> list[str]:
        """The parts that get a letter, in turn; a name may also be that of a bay or a keep-out."""
        return [name for name in place.parts if name in self._boxes][:len(LETTERS)]

    def picture(self, place: Place, title: str, remark: str) -> Drawing:
        """Sections of the two planes that show most of it. ``title`` and ``remark`` go into the file."""
        most = _HIGH - _SINK - _FOOT
        high = self.map.size(_MAP, most)[1]
        marked = self.marked(place)
        locator = self.map.locator(_MAP, most, marked, place.point)
        top = _HIGH - _SINK
        if place.point is None:
            records = [*_title("where in the desk, from above", 0.0, high + _SINK), *locator]
            return _framed(records, (_MAP, high + _SINK + _HEAD), title, remark)
        scale = self._scale(place, marked)
        cuts = [self._best(i, place, marked, scale) for i in range(3)]
        shown = sorted(sorted(range(3), key=lambda i: -round(self._worth(cuts[i], place), 6))[:2])
        records = [*_title("where in the desk, from above", 0.0, _HIGH)]
        records += [moved(record, (0.0, top - high)) for record in locator]
        x, y, z = (figure(round(v, 1)) for v in place.point)
        records.append(Text(f"x {x}, y {y}, z {z}", (0.0, top - high - _FOOT + 0.2), _TITLE))
        for n, i in enumerate(shown):
            left = _MAP + _BETWEEN + n * (_WIDE + _BETWEEN)
            records += _title(f"{cuts[i].plane.said(cuts[i].at)}; {scale_said(scale)}", left, _HIGH)
            records += [moved(record, (left, 0.0)) for record in self._drawn(cuts[i], i, place, marked, scale)]
        return _framed(records, (_MAP + 2 * (_BETWEEN + _WIDE), _HIGH + _HEAD), title, remark)

    def _scale(self, place: Place, marked: Sequence[str]) -> float:
        """1 : 2, finer where what matters would not be seen, coarser where it would not go in."""
        sizes = [sorted(b - a for a, b in zip(*self._boxes[name], strict=True)) for name in marked]
        small = min((size[2] for size in sizes), default=100.0)
        wanted = next((s for s in (2.0, 1.0) if small / s >= 12.0 and (not place.least or place.least / s >= _LEAST)), 0.5)
        room = _HIGH * (0.75 if place.end else 1.6)  # a line with both its ends; a long overlap may run on outside
        extent = place.extent
        if not place.least and len(sizes) == 1:  # nothing but the part itself is to be seen
            extent, room = sizes[0][2], 0.8 * _HIGH
        return next((s for s in _SCALES if s >= wanted and extent / s <= room), _SCALES[-1])

    def _best(self, i: int, place: Place, marked: Sequence[str], scale: float) -> _Cut:
        """The plane nearest to the place that cuts most of what is in question."""
        best: _Cut | None = None
        for off in _BESIDE:
            cut = self._cut(i, place, marked, scale, off)
            if best is None or cut.worth > best.worth:
                best = cut
            if best.worth >= 2.0 * min(2, len(marked)) + 1.5 * (place.box is not None):
                break
        assert best is not None
        return best

    def _cut(self, i: int, place: Place, marked: Sequence[str], scale: float, off: float) -> _Cut:
        assert place.point is not None
        plane, desk = _PLANES[i], self._desks[i]
        middle = _middle(place)
        at = middle[plane.axis] + off
        x, y, level = plane.view.pose.apply(tuple(at if k == plane.axis else middle[k] for k in range(3)))  # type: ignore[arg-type]
        half = _WIDE / 2 * scale, _HIGH / 2 * scale
        window = x - half[0], y - half[1], x + half[0], y + half[1]
        areas = tuple(desk.cut(name, level, window) for name in marked)
        rooms = tuple(area for room in place.rooms if (area := _room(room, plane.view, level, window)).size > 0)
        over: list[Area] = []
        if place.rooms:  # what stands in them is named last
            own = [area for area in areas[-1:] if area is not None]
            over = [a.shared(room) for a in own for room in rooms] + [a.shared(b) for a, b in combinations(rooms, 2)]
        elif place.box is not None:
            over = [a.shared(b) for a, b in combinations([area for area in areas if area is not None], 2)]
        return _Cut(plane, at, level, window, areas, rooms, tuple(area for area in over if area.size > 1e-6))

    def _worth(self, cut: _Cut, place: Place) -> float:
        """What the plane shows; one that the measured line leaves shows less."""
        flat = 0.0
        if place.end is not None and place.point is not None:
            along = abs(place.end[cut.plane.axis] - place.point[cut.plane.axis])
            flat = 2.0 * (1.0 - along / max(place.extent, 1e-9))
        elif place.box is not None:  # the plane that shows the narrow side
            sides = [b - a for a, b in zip(*place.box, strict=True)]
            flat = 1.0 if sides[cut.plane.axis] > min(sides) + 1e-6 else 0.0
        return cut.worth + flat - 0.01 * _PLANES.index(cut.plane)

    def _drawn(self, cut: _Cut, i: int, place: Place, marked: Sequence[str], scale: float) -> Iterator[Record]:
        to_paper = _Paper(cut.window, scale)
        window = 0.0, 0.0, _WIDE, _HIGH
        yield rectangle_path("fill", *window, _PLAIN)
        areas = dict(zip(marked, cut.marked, strict=True))
        desk = self._desks[i]
        for name in self._order:
            area = areas[name] if name in areas else desk.cut(name, cut.level, cut.window)
            if area is None:
                continue
            rings = to_paper.rings(area)
            if name in areas:
                layer, fill = _FILLS[marked.index(name) % 2]
                yield _path("visible", rings, fill)
                yield from hatched(rings, layer, falling=marked.index(name) % 2 == 1)
            else:
                yield _path("rule", rings, _OTHER)
        for area in cut.rooms:
            yield _path("hidden", to_paper.rings(area), None)
        for area in cut.overlap:
            yield _path("fill", to_paper.rings(area), _RED)
        yield from _marks(cut, place, marked, to_paper)
        yield rectangle_path("rule", *window)


@dataclass(frozen=True, slots=True)
class _Paper:
    window: Box
    scale: float

    def point(self, p: Point) -> Point:
        return (p[0] - self.window[0]) / self.scale, (p[1] - self.window[1]) / self.scale

    def rings(self, area: Area) -> list[list[Point]]:
        return [[self.point(p) for p in each] for each in area.simplified(_FINEST * self.scale).rings]


def scale_said(scale: float) -> str:
    return f"{figure(1 / scale)} : 1" if scale < 1 else f"1 : {figure(scale)}"


def _framed(records: Sequence[Record], size: Point, title: str, remark: str) -> Drawing:
    return Drawing((size[0] + 2 * _EDGE, size[1] + 2 * _EDGE), plain(title), remark,
                   tuple(moved(record, (_EDGE, _EDGE)) for record in records))


def _title(text: str, x: float, y: float) -> list[Record]:
    return [Text(text, (x, y + 1.4), _TITLE, bold=True)]


def _marks(cut: _Cut, place: Place, marked: Sequence[str], to_paper: _Paper) -> Iterator[Record]:
    window = 0.3, 0.3, _WIDE - 0.3, _HIGH - 0.3
    flat = [to_paper.point(cut.plane.view.flat(p)) for p in _ends(place)]
    middle = sum(x for x, _ in flat) / len(flat), sum(y for _, y in flat) / len(flat)
    reach = max(math.dist(middle, p) for p in flat)
    line = place.end is not None and reach > 0.05
    radius = max(2.4, reach + 1.0) if reach < 9.0 and not line else 0.0
    air = radius + 0.5 if radius else 1.0
    xs, ys = [x for x, _ in flat], [y for _, y in flat]
    taken: list[Box] = [(min(xs) - air, min(ys) - air, max(xs) + air, max(ys) + air)]
    if line:  # with the arrows at its ends
        u, v = (6.0 * abs(flat[1][k] - flat[0][k]) / (2 * reach) for k in (0, 1))
        taken = [(min(xs) - u - 1.2, min(ys) - v - 1.2, max(xs) + u + 1.2, max(ys) + v + 1.2)]
    elif radius:
        taken = [(middle[0] - air, middle[1] - air, middle[0] + air, middle[1] + air)]
    away = [(p, 3.5) for p in (middle, *flat)]
    for name, area in zip(marked, cut.marked, strict=True):
        found = inmost(to_paper.rings(area), away) if area else None
        if found:
            records = list(letter(LETTERS[marked.index(name)], found[0], found[1], _FILLS[marked.index(name) % 2][0],
                                  window, taken))
            x0, y0, x1, y1 = taken[-1]
            away.append((((x0 + x1) / 2, (y0 + y1) / 2), 5.0))
            yield from records
    if line:
        yield from measured_line(flat[0], flat[1])
    elif radius:
        yield ring(middle, radius)
    if place.figure and (line or place.end is None):
        yield from figure_beside(place.figure, middle, radius, window, taken)


def _path(layer: LayerName, rings: Sequence[Sequence[Point]], fill: Colour | None) -> Path:
    return Path(layer, tuple(tuple((x, y, 0.0) for x, y in each) for each in rings), fill)


def _middle(place: Place) -> Vec:
    """Of what is to be seen."""
    assert place.point is not None
    if place.box is not None:
        (a, b, c), (d, e, f) = place.box
        return (a + d) / 2, (b + e) / 2, (c + f) / 2
    end = place.end or place.point
    x, y, z = ((a + b) / 2 for a, b in zip(place.point, end, strict=True))
    return x, y, z


def _ends(place: Place) -> list[Vec]:
    """What the marks go round: both ends of the line, the corners of the box, or the point alone."""
    assert place.point is not None
    if place.box is not None:
        return list(place.box)
    return [place.point] if place.end is None else [place.point, place.end]


def _room(room: PlacedKeepOut, view: View, level: float, window: Box) -> Area:
    prism = room.keep_out.room
    turned = Prism(prism.profile, view.pose @ room.pose @ prism.pose, prism.depth)
    return area_of([cut_shape(turned, level)], (), window)
