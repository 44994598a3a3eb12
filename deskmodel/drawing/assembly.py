"""The whole desk on sheets: plan with balloons, drawn apart with balloons, and the parts list that their numbers lead to."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from deskmodel._edges import Point
from deskmodel.drawing._strokes import outline_of
from deskmodel.drawing.crowd import Crowd
from deskmodel.drawing.dimensions import polyline, rectangle_path
from deskmodel.drawing.flow import lines_of
from deskmodel.drawing.hidden_lines import Seen, View, view_of
from deskmodel.drawing.layers import rises
from deskmodel.drawing.lettering import plain
from deskmodel.drawing.paper import Paper
from deskmodel.drawing.part_sheet import SCALES, scale_text
from deskmodel.drawing.parts_list import ListItem, hardware_counts, parts_list
from deskmodel.drawing.pdf import drawable
from deskmodel.drawing.piece_drawing import Made
from deskmodel.drawing.records import Drawing, LayerName, Path, Record, Text
from deskmodel.drawing.scene import Scene, scene_of
from deskmodel.drawing.shelf import HEIGHT, Grid, shelved
from deskmodel.drawing.title_block import BLOCK, Title, area_of, drawn_sheet
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.hardware import Hardware
from deskmodel.model import DeskModel

__all__ = ["assembly_sheets"]

_PAPER: Paper = "A3 landscape"
_PLAN = View((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
_APART = view_of((-0.42, -0.78, 0.72), (0.0, 0.0, 1.0))
_ROUND = 22.0  # mm of paper about a view for balloons
_FINEST = 1.2  # mm on paper: what is smaller is left out
_NAMES = 62.0  # mm for the names of a row
_REMARK = 2.5
_DOT = 0.8  # mm, half of the room about the end of a leader


def assembly_sheets(model: DeskModel, made: Made) -> tuple[Drawing, ...]:
    """Plan, exploded view, parts list. A desk without parts has a parts list only."""
    items = parts_list(model)
    number = {name: item.number for item in items for name in item.names}
    bodies: list[tuple[list[Record], str, str]] = []
    told: set[str] = set()
    if items:
        plan, scale, seen = _plan(model, number)
        told |= seen
        bodies.append((plan, "assembly, plan", scale))
        apart, seen = _exploded(model, number, told)
        told |= seen
        bodies.append((apart, "exploded view", "none"))
    bodies += [(page, "parts list", "none") for page in _list(items, model, told)]
    pages = []
    for i, (records, title, scale) in enumerate(bodies, 1):
        head = Title(made.desk, title, "assembly drawing", "A1", "see parts list", "1", scale, made.made_from,
                     "see the parts", made.unreleased)
        pages.append(drawn_sheet(_PAPER, head, records, i, len(bodies)))
    return tuple(pages)


def _taken_off(model: DeskModel) -> set[str]:
    """Covers and what lies on the frame."""
    rise = rises(model)
    return {placed.name for placed in model.parts if rise[placed.name] > 0}


def _plan(model: DeskModel, number: Mapping[str, str]) -> tuple[list[Record], str, set[str]]:
    """(records, scale, numbers that have a balloon)."""
    off = _taken_off(model)
    x0, y0, x1, y1 = area_of(_PAPER)
    below = y0 + BLOCK[1]
    shown = [p for p in model.parts if p.name not in off and not isinstance(p.part, Hardware)]
    if not shown:
        shown = [p for p in model.parts if not isinstance(p.part, Hardware)]
    box = scene_of(shown, 1e9)
    low, high = _box(box)
    scale = next((s for s in SCALES if (high[0] - low[0]) / s <= x1 - x0 - 2 * _ROUND
                  and (high[1] - low[1]) / s <= y1 - below - 2 * _ROUND), SCALES[-1])
    scene = scene_of(shown, _FINEST * scale)
    corner = ((x0 + x1 - (high[0] - low[0]) / scale) / 2, (y1 + below - (high[1] - low[1]) / scale) / 2)

    def at(p: Point) -> Point:
        return corner[0] + (p[0] - low[0]) / scale, corner[1] + (p[1] - low[1]) / scale

    strokes = scene.seen(_PLAN, None)
    records = [record for placed, seen in zip(_parts(model, scene), strokes, strict=True)
               for record in _drawn(seen, at, scale, "visible" if placed.role == "member" else "thin")]
    wanted = []
    for name, place in scene.places(_PLAN).items():
        if place is not None:
            wanted.append((number[name], at(place)))
        elif model.part(name).role == "component":  # below other equipment
            (a, b, _), (c, d, _) = placed_box(model.part(name))
            records.append(rectangle_path("hidden", *at((a, b)), *at((c, d))))
            wanted.append((number[name], at(((a + c) / 2, (b + d) / 2))))
    balloons, told = _balloons(records, (x0, y0 + 4, x1, y1 - 4), wanted)
    remark = [Text("Seen from above; covers, top plate and what lies on it are taken off. Dashed: below other equipment.",
                   (x0 + 1, y0 + 5.0), _REMARK),
              Text("Balloons lead to the parts list.", (x0 + 1, y0 + 1.0), _REMARK)]
    return [*records, *balloons, *remark], scale_text(scale), told


def _exploded(model: DeskModel, number: Mapping[str, str], told: set[str]) -> tuple[list[Record], set[str]]:
    """Layers drawn apart, hidden edges left out. Balloons for what the plan does not show, those of one stack in one."""
    x0, y0, x1, y1 = area_of(_PAPER)
    rise = rises(model)
    parts = [p for p in model.parts if not isinstance(p.part, Hardware)]
    low, high = _flat_box(scene_of(parts, 1e9, rise), _APART)
    room = (x1 - x0 - 2 * _ROUND, y1 - y0 - 26.0)
    scale = max((high[0] - low[0]) / room[0], (high[1] - low[1]) / room[1], 1e-3)
    scene = scene_of(parts, _FINEST * scale, rise)
    wide = (high[0] - low[0]) / scale
    strokes = scene.seen(_APART, 1.2 * scale)
    ends = [(point[0] - low[0], (point[1] - low[1]) / scale) for seen in strokes for stroke in seen.visible
            for point in (stroke.at(0.0), stroke.at(1.0))]
    foot = (y0 + y1 - (high[1] - low[1]) / scale) / 2
    lowest = max((x / scale for x, y in ends if foot + y < y0 + BLOCK[1] + 4), default=0.0)  # beside the title block
    corner = (min((x0 + x1 - wide) / 2, x1 - BLOCK[0] - lowest - 6), foot)

    def at(p: Point) -> Point:
        return corner[0] + (p[0] - low[0]) / scale, corner[1] + (p[1] - low[1]) / scale

    records = [record for placed, seen in zip(_parts(model, scene), strokes, strict=True)
               for record in _drawn(seen, at, scale, "thin" if placed.role == "component" else "visible")]
    places = scene.places(_APART)
    wanted = []
    have = set(told)
    for stack in _stacks(model):
        numbers = [number[name] for name in stack if number[name] not in have]
        spots = [place for name in stack if (place := places.get(name)) is not None]
        if numbers and spots:
            wanted.append((", ".join(dict.fromkeys(numbers)), at(spots[0])))
            have |= set(numbers)
    balloons, shown = _balloons(records, (x0, y0, x1, y1), wanted)
    remark = [Text("Layers drawn apart; not to scale. Equipment and members that the plan names have their balloons there.",
                   (x0 + 1, y0 + 1.0), _REMARK)]
    return [*records, *balloons, *remark], shown


def _stacks(model: DeskModel) -> Iterator[list[str]]:
    """What lies on each other and leaves together, uppermost first; then all that is alone."""
    rise = rises(model)
    stacks: dict[str, list[PlacedPart]] = {}
    for placed in model.parts:
        if not isinstance(placed.part, Hardware):
            stacks.setdefault(placed.group or placed.name, []).append(placed)
    order = sorted(stacks.values(), key=lambda stack: (-max(rise[p.name] for p in stack), stack[0].name))
    rank = {"veneer": 0, "cover": 1, "plate": 1, "backing": 2}
    for stack in order:
        yield [p.name for p in sorted(stack, key=lambda p: (rank.get(p.role, 3), p.name))]


def _list(items: Sequence[ListItem], model: DeskModel, told: set[str]) -> list[list[Record]]:
    rows: list[tuple[str, ...]] = []
    for item in items:
        lines = lines_of(drawable(plain(", ".join(item.names))), _NAMES, HEIGHT)
        drawing = item.number if item.number[0] in "MPS" else "none"
        seen = "" if item.number in told else "not seen"
        rows.append((item.number, f"{len(item.names)}", lines[0], item.material, item.size, drawing, seen))
        rows += [("", "", line, "", "", "", "") for line in lines[1:]]
    head = ("item", "number", "part", "material", "size (mm)", "drawing", "balloon")
    if not any(row[-1] for row in rows):
        return _set([Grid("Parts", head[:-1], tuple(row[:-1] for row in rows), frozenset({1})), *_hardware(model)])
    return _set([Grid("Parts", head, tuple(rows), frozenset({1})), *_hardware(model)])


def _hardware(model: DeskModel) -> Iterator[Grid]:
    rows = tuple((f"{count}", designation) for designation, count in hardware_counts(model))
    if rows:
        yield Grid("Hardware by kind", ("number", "what"), rows, frozenset({0}))


def _set(grids: Sequence[Grid]) -> list[list[Record]]:
    """Pages of tables."""
    left = grids
    x0, y0, x1, y1 = area_of(_PAPER)
    block = (x1 + 2 - BLOCK[0], y0 - 2, x1 + 2, y0 - 2 + BLOCK[1])
    pages = []
    while True:
        page, rest = shelved(left, (x0, y0, x1, y1), block)
        pages.append(page)
        if not rest:
            return pages
        left = [each for each in rest if isinstance(each, Grid)]


def _parts(model: DeskModel, scene: Scene) -> list[PlacedPart]:
    return [model.part(name) for name in scene.names]


def _drawn(seen: Seen, at: Callable[[Point], Point], scale: float, layer: LayerName) -> Iterator[Record]:
    for stroke in seen.visible:
        if stroke.length / scale < 0.05:
            continue
        if not stroke.radius:
            yield polyline(layer, at(stroke.a), at(stroke.b))
            continue
        outline, closed = outline_of(stroke)
        yield Path(layer, (tuple((*at((x, y)), bulge) for x, y, bulge in outline),), closed=closed)


def _balloons(records: Sequence[Record], area: tuple[float, float, float, float],
              wanted: Sequence[tuple[str, Point]]) -> tuple[list[Record], set[str]]:
    crowd = Crowd(area)
    crowd.add(records)
    crowd.take((area[2] + 2 - BLOCK[0], 0.0, area[2] + 12, 10.0 + BLOCK[1]))  # the title block, and remarks beside it
    crowd.take((0.0, 0.0, area[2] + 2 - BLOCK[0], area[1] + 8.0))
    found: list[Record] = []
    told: set[str] = set()
    # from the left: leaders side by side cross least
    ordered = sorted(wanted, key=lambda each: (round(each[1][0] / 12), each[1][1], each[0]))
    dots = [(x - _DOT, y - _DOT, x + _DOT, y + _DOT) for _, (x, y) in ordered]
    for dot in dots:  # no balloon may come to lie on what another one tells of
        crowd.take(dot)
    for (text, place), dot in zip(ordered, dots, strict=True):
        crowd.give_back(dot)
        made = crowd.balloon(text, place)
        if not made:
            continue
        crowd.take(dot)
        found += made
        told |= set(text.split(", "))
    lines = [record for record in found if isinstance(record, Path) and not record.closed]
    return [*lines, *(record for record in found if record not in lines)], told


def _box(scene: Scene) -> tuple[Point, Point]:
    return _flat_box(scene, _PLAN)


def _flat_box(scene: Scene, view: View) -> tuple[Point, Point]:
    boxes = [solid.seen_from(view.pose).box for solid in scene.solids]
    return ((min(b[0][0] for b in boxes), min(b[0][1] for b in boxes)),
            (max(b[1][0] for b in boxes), max(b[1][1] for b in boxes)))
