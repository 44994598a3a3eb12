"""The desk seen from above with covers and top plate taken off: members, bays with their clear sizes, equipment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import median

from deskmodel.drawing._shapes import from_above, openings, removal_from_above, shape_cuts
from deskmodel.drawing._sheet import Frame, scale_for, sheet
from deskmodel.drawing.dimensions import arrow, figure, height_dimension, polyline, ruler, width_dimension
from deskmodel.drawing.labels import Avoid, Block, Box, Labels, Line, shared
from deskmodel.drawing.lettering import clipped, plain, wrapped
from deskmodel.drawing.records import LAYERS, Colour, Drawing, LayerName, Outline, Path, Record, Text
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import Box3
from deskmodel.model import DeskModel
from deskmodel.plans import BayRow

__all__ = ["plan_view", "size_text"]

_LEFT, _RIGHT, _TOP, _BOTTOM = 24.0, 4.0, 24.0, 12.0  # paper for dimensions about the view, mm
_WIDEST, _HIGHEST = 340.0, 230.0
_WOOD: Colour = (240, 224, 194)
_PLATE: Colour = (246, 247, 248)
_BOX: Colour = (206, 220, 236)
_BAY: Colour = (150, 60, 10)
_NAME, _TEXT, _SMALL = 3.5, 2.5, 1.8
_LARGE = 4.0  # mm on paper, the longer side: such an opening is cut out of the plate that is drawn
_FINEST = 3.0  # mm in the desk; smaller openings than this on paper are not worth a line


def plan_view(model: DeskModel, rows: Sequence[BayRow], stamp: str, unreleased: bool) -> Drawing:
    """``rows``: the bay table of the model; ``stamp``: the remark that goes into the file and below the view."""
    boxes = {placed.name: placed_box(placed) for placed in model.parts}
    shown = [placed for placed in model.parts if placed.role != "hardware"]
    if not shown:
        return sheet(model.name, "plan", ["This desk holds no part."], [], [], (0, 0), stamp, unreleased)
    low, high = _extent([boxes[placed.name] for placed in shown])
    scale = max(scale_for(high[0] - low[0], _WIDEST), scale_for(high[1] - low[1], _HIGHEST))
    frame = Frame(_LEFT, _BOTTOM, low, scale, scale)
    view = _View(frame, boxes, _level(shown, boxes))
    records = [*view.parts(shown), *_dimensions(frame, low, high, rows)]
    numbered, labels = view.labels(shown, rows)
    wide, deep = ((b - a) / scale for a, b in zip(low, high, strict=True))
    what = f"plan, covers and top plate taken off, 1 : {scale}, mm, {stamp}"
    remarks = ["Bays: clear length × width × height between members, floor and ceiling. Dashed: hidden edges and bores."]
    return sheet(model.name, what, remarks, numbered, [*records, *labels],
                 (_LEFT + wide + _RIGHT, _BOTTOM + deep + _TOP), stamp, unreleased)


def size_text(row: BayRow) -> str:
    """"184 × 188 × 54.5"; a side without a wall is open."""
    return " × ".join("open" if side is None else figure(side) for side in row.clear)


def _extent(boxes: Sequence[Box3]) -> tuple[tuple[float, float], tuple[float, float]]:
    return ((min(b[0][0] for b in boxes), min(b[0][1] for b in boxes)),
            (max(b[1][0] for b in boxes), max(b[1][1] for b in boxes)))


def _level(parts: Sequence[PlacedPart], boxes: dict[str, Box3]) -> float:
    """Half way up the frame: plates above it are taken off."""
    members = [boxes[p.name] for p in parts if p.role == "member"] or [boxes[p.name] for p in parts]
    return median((box[0][2] + box[1][2]) / 2 for box in members)


class _View:
    def __init__(self, frame: Frame, boxes: dict[str, Box3], level: float) -> None:
        self._frame = frame
        self._boxes = boxes
        self._level = level

    def parts(self, parts: Sequence[PlacedPart]) -> Iterator[Record]:
        """What is below is drawn first."""
        ordered = sorted(parts, key=lambda p: (self._boxes[p.name][1][2], p.name))
        plates = [p for p in ordered if p.role == "plate" and not self._taken_off(p)]
        for placed in plates:
            yield from self._plate(placed)
        members = [p for p in ordered if p.role == "member"]
        legs = [p for p in members if self._boxes[p.name][1][2] < min((self._boxes[q.name][0][2] for q in plates),
                                                                      default=-1e9)]
        for placed in members:
            if placed not in legs:
                yield self._path("visible", from_above(placed), _WOOD)
        for placed in members:
            if placed not in legs:
                yield from self._cuts(placed)
        for placed in legs:
            yield self._path("hidden", from_above(placed))
        equipment = [p for p in ordered if p.role in ("component", "custom")]
        for placed in equipment:
            for outline in from_above(placed):
                yield self._path("visible", [outline], _BOX)
        for i, placed in enumerate(equipment):
            if any(shared(self._area(placed), self._area(over)) > 0 for over in equipment[i + 1:]):
                for outline in from_above(placed):
                    yield self._path("hidden", [outline])

    def _taken_off(self, placed: PlacedPart) -> bool:
        low, high = self._boxes[placed.name]
        return (low[2] + high[2]) / 2 >= self._level

    def _plate(self, placed: PlacedPart) -> Iterator[Record]:
        holes = openings(placed)
        large = [hole for hole in holes if self._side(hole) >= _LARGE]
        yield Path("thin", tuple(self._mapped(outline) for outline in (*from_above(placed), *large)), _PLATE)
        for hole in holes:
            if _FINEST / self._frame.scale <= self._side(hole) < _LARGE:
                yield self._path("vents", [hole])

    def _side(self, outline: Outline) -> float:
        """mm on paper, the longer side."""
        x0, y0, x1, y1 = _box(outline)
        return max(x1 - x0, y1 - y0) / self._frame.scale

    def _cuts(self, placed: PlacedPart) -> Iterator[Record]:
        """Notches and grooves that are open above: their edges; what is cut below or inside: dashed."""
        top = self._boxes[placed.name][1][2]
        for _, removal in shape_cuts(placed):
            corners = [placed.pose.apply((x, y, z)) for x in _ends(removal.bounds, 0) for y in _ends(removal.bounds, 1)
                       for z in _ends(removal.bounds, 2)]
            above = max(corner[2] for corner in corners) >= top - 1e-6
            yield self._path("thin" if above else "hidden", [removal_from_above(placed.pose, removal)])

    def _path(self, layer: LayerName, outlines: Sequence[Outline], fill: Colour | None = None) -> Path:
        return Path(layer, tuple(self._mapped(outline) for outline in outlines), fill)

    def _mapped(self, outline: Outline) -> Outline:
        return tuple((*self._frame.at(x, y), bulge) for x, y, bulge in outline)

    def _area(self, placed: PlacedPart) -> Box:
        low, high = self._boxes[placed.name]
        return (*self._frame.at(low[0], low[1]), *self._frame.at(high[0], high[1]))

    def labels(self, parts: Sequence[PlacedPart], rows: Sequence[BayRow]) -> tuple[list[str], list[Record]]:
        """(names that had no room and got a number, lettering). Bays first: each needs its place."""
        equipment = sorted((p for p in parts if p.role in ("component", "custom")),
                           key=lambda p: (-self._boxes[p.name][1][2], p.name))
        blocks = {name for row in rows for name in row.blocks}
        occupied: list[Avoid] = [(self._area(p), 1.0) for p in equipment]
        occupied += [(self._area(p), 0.6) for p in parts if p.name in blocks]
        occupied += [(_box(self._mapped(hole)), 0.4) for p in parts if p.role == "plate" and not self._taken_off(p)
                     for hole in openings(p) if self._side(hole) >= _LARGE]
        labels, records, numbered = Labels(), [], []
        for row in rows:
            (x0, x1), (y0, y1) = row.bay.x, row.bay.y
            area = (*self._frame.at(x0, y0), *self._frame.at(x1, y1))
            records += labels.put(area, _bay_blocks(row, area), occupied, (0.0, 1.0), _BAY, _PLATE, forced=True) or []
        for i, placed in enumerate(equipment):
            area = self._area(placed)
            over: list[Avoid] = [(self._area(p), 1.0) for p in equipment[:i]]
            over += [(self._area(p), 0.7) for p in equipment[i + 1:]]  # hidden below: room for its own name
            found = labels.put(area, _name_blocks(plain(placed.name), area), over, ground=_BOX)
            if found is None:
                numbered.append(placed.name)
                found = labels.put(area, [Block((Line(str(len(numbered)), _TEXT),)),
                                          Block((Line(str(len(numbered)), _SMALL),))], over, ground=_BOX, forced=True) or []
            records += found
        return numbered, records


def _box(outline: Outline) -> Box:
    xs, ys = [x for x, _, _ in outline], [y for _, y, _ in outline]
    return min(xs), min(ys), max(xs), max(ys)


def _ends(box: Box3, axis: int) -> tuple[float, float]:
    return box[0][axis], box[1][axis]


def _bay_blocks(row: BayRow, area: Box) -> list[Block]:
    """The name large, the clear size below it; smaller and turned where that does not go."""
    name, size = plain(row.bay.name), size_text(row)
    blocks = []
    for turn, room in ((0, area[2] - area[0]), (90, area[3] - area[1])):
        for title, text in ((_NAME, _TEXT), (_NAME, _SMALL), (_TEXT, _SMALL)):
            lines = (Line(clipped(name, room - 1.2, title, bold=True), title, True), Line(size, text))
            blocks.append(Block(lines, turn))  # type: ignore[arg-type]  # 0 or 90
        three = (Line(clipped(name, room - 1.2, _TEXT, bold=True), _TEXT, True), Line(size.rpartition(" × ")[0], _SMALL),
                 Line(f"× {size.rpartition(' × ')[2]}", _SMALL))
        blocks.append(Block(three, turn))  # type: ignore[arg-type]
        one = f"{clipped(name, room / 3, _TEXT, bold=True)}: {size}"
        blocks.append(Block((Line(one, _SMALL, True),), turn))  # type: ignore[arg-type]
    return blocks


def _name_blocks(name: str, area: Box) -> list[Block]:
    blocks = []
    for height in (_TEXT, _SMALL):
        for turn, room in ((0, area[2] - area[0]), (90, area[3] - area[1])):
            lines = wrapped(name, room - 1.2, height, 3)
            if lines:
                blocks.append(Block(tuple(Line(line, height) for line in lines), turn))  # type: ignore[arg-type]
    return blocks or [Block((Line(name, _SMALL),))]


def _dimensions(frame: Frame, low: tuple[float, float], high: tuple[float, float],
                rows: Sequence[BayRow]) -> Iterator[Record]:
    (left, front), (right, back) = frame.at(*low), frame.at(*high)
    xs = sorted({round(v, 2) for row in rows for v in row.bay.x})
    ys = sorted({round(v, 2) for row in rows for v in row.bay.y})
    yield from ruler([(frame.at(x, 0)[0], figure(x)) for x in xs], back, 4.0, upright=True)
    yield from ruler([(frame.at(0, y)[1], figure(y)) for y in ys], left, -4.0, upright=False)
    yield from width_dimension(left, right, back + (16.0 if rows else 8.0), figure(high[0] - low[0]), _TEXT, back)
    yield from height_dimension(left - (16.0 if rows else 8.0), front, back, figure(high[1] - low[1]), _TEXT, left)
    colour, middle = LAYERS["dimension"].colour, (left + right) / 2
    yield polyline("dimension", (middle, front - 7.5), (middle, front - 2))
    yield arrow((middle, front - 1.5), (0, 1))
    yield Text("front, the chair's side", (middle + 2.5, front - 6), _TEXT, colour=colour)
