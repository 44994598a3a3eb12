"""A section through the desk across the bays: the stack of plates, members, what stands in the bays and how high."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from deskmodel.drawing._section_cuts import Cut, equipment_boxes, hatching, holes_cut, member_cut, slab_cuts
from deskmodel.drawing._sheet import Frame, scale_for, sheet
from deskmodel.drawing.dimensions import (
    figure,
    height_dimension,
    polyline,
    rectangle_path,
    ruler,
    width_dimension,
)
from deskmodel.drawing.labels import Block, Box, Labels, Line
from deskmodel.drawing.lettering import clipped, plain, width_of, wrapped
from deskmodel.drawing.records import Colour, Drawing, LayerName, Path, Record
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import Box3
from deskmodel.model import DeskModel
from deskmodel.plans import BayRow

__all__ = ["section_at", "section_view"]

_LEFT, _TOP, _BOTTOM = 24.0, 4.0, 24.0  # paper for dimensions about the view, mm
_WIDEST, _HIGHEST = 340.0, 90.0
_TEXT, _SMALL, _NAME = 2.5, 1.8, 3.5
_WOOD: Colour = (240, 224, 194)
_BEHIND: Colour = (250, 245, 234)
_BOX: Colour = (206, 220, 236)
_BOX_BEHIND: Colour = (230, 237, 245)
_PLACES = 20  # across a bay, tried for its clear height
_SLABS: dict[str, Colour] = {"metal": (120, 128, 136), "ply": (220, 190, 140), "timber": (232, 205, 160),
                             "veneer": (232, 205, 160), "glass": (170, 214, 214), "plastic": (150, 180, 210)}
_BAY: Colour = (150, 60, 10)
_WHITE: Colour = (255, 255, 255)


def section_at(model: DeskModel, rows: Sequence[BayRow]) -> float:
    """y of the plane: through the middle of the bay from which it passes through the most others; the one nearest to the
    middle of the desk, where several do. Without bays, the middle of the desk."""
    boxes = [placed_box(placed) for placed in model.parts]
    middle = (min(box[0][1] for box in boxes) + max(box[1][1] for box in boxes)) / 2
    planes = {sum(row.bay.y) / 2 for row in rows} or {middle}

    def through(y: float) -> int:
        return sum(row.bay.y[0] < y < row.bay.y[1] for row in rows)

    return min(planes, key=lambda y: (-through(y), abs(y - middle), y))


def section_view(model: DeskModel, rows: Sequence[BayRow], stamp: str, unreleased: bool) -> Drawing:
    """As ``plan_view``. Seen from the front, along y."""
    if not model.parts:
        return sheet(model.name, "section", ["This desk holds no part."], [], [], (0, 0), stamp, unreleased)
    plane = section_at(model, rows)
    view = _View(model, [row for row in rows if row.bay.y[0] < plane < row.bay.y[1]], plane)
    numbered, records = view.records()
    frame = view.frame
    scales = f"1 : {frame.scale:g}"
    if frame.tall != frame.scale:
        larger = figure(frame.scale / frame.tall)
        scales = f"widths {scales}, heights 1 : {frame.tall:g} (drawn {larger} times larger)"
    what = f"section at y = {figure(plane)}, seen from the front; {scales}, mm, {stamp}"
    remarks = ["Hatched: members that are cut. Dashed: equipment of a cut bay that stands before the plane."]
    if view.below:
        remarks.append("What hangs below the desk is not drawn.")
    return sheet(model.name, what, remarks, numbered, records, view.size, stamp, unreleased)


@dataclass(frozen=True, slots=True)
class _Labelled:
    name: str
    box: Box


class _View:
    def __init__(self, model: DeskModel, rows: Sequence[BayRow], plane: float) -> None:
        self._rows, self._plane = rows, plane
        self._kinds = {material.name: material.kind for material in model.materials}
        parts = [placed for placed in model.parts if placed.role != "hardware"] or list(model.parts)
        self._boxes = {placed.name: placed_box(placed) for placed in parts}
        self._parts = [placed for placed in parts if self._of_the_desk(placed, parts)]
        self.below = len(self._parts) < len(parts)
        self._slabs = list(slab_cuts(self._parts, plane))
        boxes = [self._boxes[placed.name] for placed in self._parts]
        heights = [(slab.cut[1], slab.cut[3]) for slab in self._slabs]
        heights += [(box[0][2], box[1][2]) for box in (self._boxes[p.name] for p in self._parts if self._is_seen(p))]
        heights = heights or [(box[0][2], box[1][2]) for box in boxes]
        low = (min(box[0][0] for box in boxes), min(z for z, _ in heights))
        high = (max(box[1][0] for box in boxes), max(z for _, z in heights))
        scale, tall = scale_for(high[0] - low[0], _WIDEST), scale_for(high[1] - low[1], _HIGHEST)
        self.frame = Frame(_LEFT, _BOTTOM, low, scale, min(scale, tall))
        self._low, self._high = low, high
        self._stack_texts = list(self._stack())
        right = 6.0 + max((width_of(text, _SMALL) for _, text in self._stack_texts), default=0.0) + 2
        end = self.frame.at(*high)
        self.size = (end[0] + right, end[1] + _TOP)

    def _of_the_desk(self, placed: PlacedPart, parts: Sequence[PlacedPart]) -> bool:
        """A leg is a member that is much longer upright than the frame is high."""
        heights = [self._tall(p) for p in parts if p.role == "member"]
        return placed.role != "member" or not heights or self._tall(placed) <= 2 * median(heights) + 1

    def _is_seen(self, placed: PlacedPart) -> bool:
        """A member that is cut or stands behind the plane, equipment of a bay that is cut."""
        if placed.role == "member":
            return self._boxes[placed.name][1][1] > self._plane
        return any(placed.name in row.equipment for row in self._rows)

    def _tall(self, placed: PlacedPart) -> float:
        low, high = self._boxes[placed.name]
        return high[2] - low[2]

    def records(self) -> tuple[list[str], list[Record]]:
        """(numbered names, everything). Paint in order: what is behind first, then the equipment, then what is cut."""
        records: list[Record] = []
        members = sorted((p for p in self._parts if p.role == "member"), key=lambda p: (-self._boxes[p.name][0][1], p.name))
        for placed in members:
            if self._boxes[placed.name][0][1] >= self._plane:
                records.append(self._rectangle("thin", self._flat(self._boxes[placed.name]), _BEHIND))
        labelled = list(self._equipment(records))
        for placed in members:
            cut = member_cut(placed, self._plane)
            if cut is not None:
                records += self._member(placed, cut)
        for slab in self._slabs:
            fill = _SLABS.get(self._kinds.get(slab.material, ""), (200, 200, 200))
            records.append(self._rectangle("visible", slab.cut, fill))
        numbered, labels = self._labels(labelled)
        return numbered, [*records, *self._dimensions(), *labels]

    def _equipment(self, records: list[Record]) -> Iterator[_Labelled]:
        """What stands in the bays that are cut. The farthest is drawn first, what stands before the plane is dashed."""
        names = {name for row in self._rows for name in row.equipment}
        parts = sorted((p for p in self._parts if p.name in names), key=lambda p: (-self._boxes[p.name][0][1], p.name))
        in_front: list[Record] = []
        for placed in parts:
            low, high = self._boxes[placed.name]
            cut, front = low[1] < self._plane < high[1], high[1] <= self._plane
            for body in equipment_boxes(placed):
                if front:
                    in_front.append(self._rectangle("hidden", body))
                else:
                    records.append(self._rectangle("visible" if cut else "thin", body, _BOX if cut else _BOX_BEHIND))
            yield _Labelled(placed.name, self._on_paper(self._flat((low, high))))
        records += in_front

    def _member(self, placed: PlacedPart, cut: Cut) -> Iterator[Record]:
        box = self._on_paper(cut)
        yield self._rectangle("fill", cut, _WOOD)
        yield from hatching(box)
        yield self._rectangle("cut", cut)
        for hole in holes_cut(placed, self._plane):
            yield self._rectangle("visible", hole, _WHITE)

    def _flat(self, box: Box3) -> Cut:
        return box[0][0], box[0][2], box[1][0], box[1][2]

    def _on_paper(self, cut: Cut) -> Box:
        return (*self.frame.at(cut[0], cut[1]), *self.frame.at(cut[2], cut[3]))

    def _rectangle(self, layer: LayerName, cut: Cut, fill: Colour | None = None) -> Path:
        return rectangle_path(layer, *self._on_paper(cut), fill)

    def _labels(self, equipment: Sequence[_Labelled]) -> tuple[list[str], list[Record]]:
        labels, records, numbered = Labels(), [], []
        occupied = [(each.box, 1.0) for each in equipment]
        for row in self._rows:
            area = self._room(row)
            x = self._height_at(row)
            labels.taken.append((x - _TEXT - 1.2, area[1], x + 1, area[3]))
            name = plain(row.bay.name)
            wide = max(x - _TEXT - 1.2 - area[0], area[2] - x - 1) - 1.2
            blocks = [Block((Line(clipped(name, wide, size, bold=True), size, True),))
                      for size in (_NAME, _TEXT)]
            records += labels.put(area, blocks, occupied, (0.5, 1.0), _BAY, forced=True) or []
        for i, each in enumerate(equipment):
            low, high = self._boxes[each.name][0][2], self._boxes[each.name][1][2]
            others = [(other.box, 1.0) for j, other in enumerate(equipment) if j != i]
            found = labels.put(each.box, _equipment_blocks(plain(each.name), figure(high - low), each.box), others,
                               ground=_BOX_BEHIND)
            if found is None:
                numbered.append(f"{each.name}, {figure(high - low)} high")
                found = labels.put(each.box, [Block((Line(str(len(numbered)), size),)) for size in (_TEXT, _SMALL)], others,
                                   ground=_BOX_BEHIND, forced=True) or []
            records += found
        return numbered, records

    def _height_at(self, row: BayRow) -> float:
        """Where on paper the clear height stands: beside the equipment where there is room, else on as little as can be."""
        x0, _, x1, _ = self._room(row)
        taken = [self._on_paper(self._flat(self._boxes[name])) for name in row.equipment]
        places = [x0 + 4.5 + (x1 - x0 - 6.5) * i / _PLACES for i in range(_PLACES + 1)]
        return min(places, key=lambda x: (sum(box[0] < x + 1.2 and x - _TEXT - 1.4 < box[2] for box in taken), x))

    def _room(self, row: BayRow) -> Box:
        low = row.floor if row.floor is not None else self._low[1]
        high = row.ceiling if row.ceiling is not None else self._high[1]
        return self._on_paper((row.bay.x[0], low, row.bay.x[1], high))

    def _dimensions(self) -> Iterator[Record]:
        (left, foot), (right, top) = self.frame.at(*self._low), self.frame.at(*self._high)
        for row in self._rows:
            x0, y0, x1, y1 = self._room(row)
            height = row.clear[2]
            if height is not None:
                yield from height_dimension(self._height_at(row), y0, y1, figure(height), _TEXT, ground=_BEHIND)
            length = row.clear[0]
            yield from width_dimension(x0, x1, foot - 7, "open" if length is None else figure(length), _TEXT, foot)
        yield from width_dimension(left, right, foot - 15, figure(self._high[0] - self._low[0]), _TEXT, foot)
        cuts = [slab.cut for slab in self._slabs] + [c for p in self._parts if p.role == "member"
                                                     and (c := member_cut(p, self._plane))]
        levels = sorted({round(z, 2) for cut in cuts for z in (cut[1], cut[3])} | {round(self._low[1], 2),
                                                                                   round(self._high[1], 2)})
        yield from ruler([(self.frame.at(0, z)[1], figure(z)) for z in levels], left, -4.0, upright=False)
        yield from height_dimension(left - 16, foot, top, figure(self._high[1] - self._low[1]), _TEXT)
        for z in (foot, top):  # short: all the way to the view they would run through the figures of the levels
            yield polyline("dimension", (left - 17.5, z), (left - 14.5, z))
        yield from ruler([(self.frame.at(0, z)[1], text) for z, text in self._stack_texts], right, 4.0, upright=False)

    def _stack(self) -> Iterator[tuple[float, str]]:
        """(z, text) of each layer that the plane cuts, from below. Several parts in one layer are told by what they are."""
        layers: dict[tuple[float, float, str], dict[str, set[str]]] = {}
        cuts = [(p.role, p.name, p.part.material, cut) for p in self._parts
                if p.role == "member" and (cut := member_cut(p, self._plane))]
        for role, name, material, cut in [*cuts, *((s.role, s.name, s.material, s.cut) for s in self._slabs)]:
            layers.setdefault((round(cut[1], 3), round(cut[3], 3), material), {}).setdefault(role, set()).add(name)
        for (low, high, material), roles in sorted(layers.items()):
            what = ", ".join(f"{role}s" if len(names) > 1 else clipped(plain(*names), 40, _SMALL)
                             for role, names in sorted(roles.items()))
            yield (low + high) / 2, f"{what}: {figure(high - low)} {material}"


def _equipment_blocks(name: str, height: str, box: Box) -> list[Block]:
    blocks = []
    for size in (_TEXT, _SMALL):
        for turn, room in ((0, box[2] - box[0]), (90, box[3] - box[1])):
            lines = wrapped(name, room - 1.2, size, 3)
            if lines:
                told = [*(Line(line, size) for line in lines), Line(f"{height} high", _SMALL)]
                blocks.append(Block(tuple(told), turn))  # type: ignore[arg-type]  # 0 or 90
    return blocks or [Block((Line(name, _SMALL),))]
