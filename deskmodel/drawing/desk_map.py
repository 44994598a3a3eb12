"""The whole desk from above, small: where a place is, which parts it is about. Members, equipment, bays; no figures."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from deskmodel.bay import Bay
from deskmodel.drawing._shapes import from_above
from deskmodel.drawing.dimensions import polyline
from deskmodel.drawing.labels import Block, Box, Labels, Line
from deskmodel.drawing.lettering import clipped, plain
from deskmodel.drawing.place_marks import ring
from deskmodel.drawing.records import LAYERS, Colour, Drawing, LayerName, Path, Point, Record, Text
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.frames import Vec
from deskmodel.meshes.areas import Area, area_of
from deskmodel.model import DeskModel
from deskmodel.profiles import Profile, circle

__all__ = ["DeskMap", "Pin", "spread_pins"]

Placing = Callable[[float, float], Point]

_WOOD: Colour = (236, 224, 202)
_PLATE: Colour = (247, 247, 246)
_BOX: Colour = (222, 228, 234)
_BAY: Colour = (110, 62, 20)
_MARKS: tuple[tuple[LayerName, Colour], ...] = (("first", (196, 218, 240)), ("second", (253, 219, 176)))
_PIN, _NAME = 2.4, 2.3
_AIR = 1.0
_MOST = 0.4  # of the desk; a larger part is drawn as its outline, else it would hide all others


@dataclass(frozen=True, slots=True)
class Pin:
    """A numbered place on the map; ``stops``: filled, else an open disc."""

    number: str
    at: Vec
    stops: bool


class DeskMap:
    """A desk's map, its areas worked out once."""

    def __init__(self, model: DeskModel) -> None:
        self._parts = model.parts
        self._bays: Sequence[Bay] = model.bays
        self._shown = [placed for placed in model.parts if placed.role != "hardware"] or list(model.parts)
        self._boxes = {placed.name: placed_box(placed) for placed in self._shown}

    @cached_property
    def _extent(self) -> Box:
        boxes = list(self._boxes.values())
        return (min(b[0][0] for b in boxes), min(b[0][1] for b in boxes), max(b[1][0] for b in boxes),
                max(b[1][1] for b in boxes))

    def size(self, wide: float, most: float) -> tuple[float, float]:
        """(width, height) on paper of a map at most ``wide`` × ``most`` mm; (0, 0) for a desk without parts."""
        if not self._shown:
            return 0.0, 0.0
        x0, y0, x1, y1 = self._extent
        scale = min(wide / max(x1 - x0, 1.0), most / max(y1 - y0, 1.0))
        return (x1 - x0) * scale, (y1 - y0) * scale

    def locator(self, wide: float, most: float, marked: Sequence[str], at: Vec | None) -> list[Record]:
        """The map with ``marked`` parts coloured in turn and a ring about a place."""
        if not self._shown:
            return []
        place = self._place(wide, most)
        records = list(self._ground(place))
        named = {placed.name: placed for placed in self._parts}
        for i, name in enumerate(marked):
            if name in named:
                layer, fill = _MARKS[i % 2]
                area = _above([named[name]])
                records += _areas(layer, area, place, fill if area.size < _MOST * self._whole else None)
        if at is not None:
            middle = place(at[0], at[1])
            records.append(ring(middle, 2.2))
            x, y = middle
            records += [polyline("warning", (x + a * 2.2, y + b * 2.2), (x + a * 3.4, y + b * 3.4))
                        for a, b in ((1, 0), (-1, 0), (0, 1), (0, -1))]
        return records

    def overview(self, wide: float, most: float, pins: Sequence[Pin], title: str, remark: str) -> Drawing:
        """The map with the names of bays and a pin at each place."""
        size = self.size(wide, most)
        paper = size[0] + 2 * _AIR, size[1] + 2 * _AIR
        if not self._shown:
            return Drawing((wide, 8.0), plain(title), remark, (Text("This desk holds no part.", (0.0, 3.0), _NAME),))
        flat = self._place(wide, most)

        def place(x: float, y: float) -> Point:
            px, py = flat(x, y)
            return px + _AIR, py + _AIR

        records = list(self._ground(place))
        radius = _PIN if all(len(pin.number) < 3 for pin in pins) else 1.35 * _PIN
        spots = spread_pins([place(pin.at[0], pin.at[1]) for pin in pins], paper, radius)
        labels = Labels([(x - radius, y - radius, x + radius, y + radius) for x, y in spots])
        for bay in self._bays:
            (x0, y0), (x1, y1) = place(bay.x[0], bay.y[0]), place(bay.x[1], bay.y[1])
            name = clipped(plain(bay.name), x1 - x0 - 1.2, _NAME, bold=True)
            records += labels.put((x0, y0, x1, y1), [Block((Line(name or "…", _NAME, True),))], (), (0.0, 1.0), _BAY,
                                  _PLATE) or []
        for pin, spot in zip(pins, spots, strict=True):
            if math.dist(place(pin.at[0], pin.at[1]), spot) > 0.2:
                records.append(polyline("measured", place(pin.at[0], pin.at[1]), spot))
        for pin, spot in zip(pins, spots, strict=True):
            records += _pin(pin, spot, radius)
        return Drawing(paper, plain(title), remark, tuple(records))

    @property
    def _whole(self) -> float:
        x0, y0, x1, y1 = self._extent
        return (x1 - x0) * (y1 - y0)

    def _place(self, wide: float, most: float) -> _Placing:
        x0, y0, x1, _ = self._extent
        return _Placing(x0, y0, self.size(wide, most)[0] / max(x1 - x0, 1.0))

    def _ground(self, place: Placing) -> Iterable[Record]:
        for area, layer, fill in self._areas:
            yield from _areas(layer, area, place, fill)

    @cached_property
    def _areas(self) -> tuple[tuple[Area, LayerName, Colour], ...]:
        """Plates as one, then members, then equipment."""
        found: list[tuple[Area, LayerName, Colour]] = []
        kinds: Mapping[str, tuple[tuple[str, ...], LayerName, Colour]] = {
            "plates": (("plate", "cover"), "rule", _PLATE), "members": (("member",), "rule", _WOOD),
            "equipment": (("component", "custom"), "rule", _BOX)}
        for roles, layer, fill in kinds.values():
            parts = [placed for placed in self._shown if placed.role in roles]
            if parts:
                found.append((_above(parts), layer, fill))
        return tuple(found)


@dataclass(frozen=True, slots=True)
class _Placing:
    x: float
    y: float
    scale: float

    def __call__(self, x: float, y: float) -> Point:
        return (x - self.x) * self.scale, (y - self.y) * self.scale


def _above(parts: Sequence[PlacedPart]) -> Area:
    return area_of([[Profile(outline).points()] for placed in parts for outline in from_above(placed)])


def _areas(layer: LayerName, area: Area, place: Placing, fill: Colour | None) -> list[Record]:
    outlines = tuple(tuple((*place(x, y), 0.0) for x, y in each) for each in area.rings)
    return [Path(layer, outlines, fill)] if outlines else []


def spread_pins(points: Sequence[Point], paper: tuple[float, float], radius: float) -> list[Point]:
    """Places near the points at which discs do not cover each other, within the paper."""
    found: list[Point] = []
    for x, y in points:
        best = None
        for step in range(12):
            for turn in range(max(8 * step, 1)):
                away, angle = step * radius * 1.1, math.tau * turn / max(8 * step, 1)
                spot = (min(max(x + away * math.cos(angle), radius + 0.2), paper[0] - radius - 0.2),
                        min(max(y + away * math.sin(angle), radius + 0.2), paper[1] - radius - 0.2))
                if all((spot[0] - a) ** 2 + (spot[1] - b) ** 2 >= (2.15 * radius) ** 2 for a, b in found):
                    best = spot
                    break
            if best:
                break
        found.append(best or (x, y))
    return found


def _pin(pin: Pin, spot: Point, radius: float) -> Iterable[Record]:
    red = LAYERS["measured"].colour
    yield Path("measured", (circle(2 * radius, spot).vertices,), red if pin.stops else (255, 255, 255))
    tall = 2.2
    yield Text(pin.number, (spot[0], spot[1] - tall / 2), tall, "middle", bold=True,
               colour=(255, 255, 255) if pin.stops else red)
