"""What is worth a template at 1:1: shapes up to 200 mm that are cut by hand, and the faces of fascia panels.

    window of a member, its faces laid flat about their common arrises:

        | face edge  |      printed side outwards; fold where two faces meet
        +- - fold - -+
        | face side  |      x to the right on all of them, from the datum end
        +- - fold - -+
        | under edge |

Positions along a piece are figures; a template tells at which distance from the datum its reference lines lie.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deskmodel._edges import Point
from deskmodel.component import Component
from deskmodel.drawing._part_solids import solid_of
from deskmodel.drawing._solids import Solid
from deskmodel.drawing._strokes import Stroke
from deskmodel.drawing._template import FaceArea, Template, drilled, upright, within
from deskmodel.drawing.dimensions import figure
from deskmodel.drawing.hidden_lines import View, look
from deskmodel.drawing.template_fascia import fascias
from deskmodel.features import Bevel, CutOut, Feature, Groove, Hole, Notch, Pocket, Slot
from deskmodel.features._base import span
from deskmodel.model import DeskModel
from deskmodel.part import Member, Plate
from deskmodel.plans.pieces import pieces

__all__ = ["LARGEST", "FaceArea", "Template", "templates"]

LARGEST = 200.0
"""mm. A larger shape is marked out by its figures; of fascia panels the whole face is drawn, on several sheets if needed."""

_MARGIN = 15.0
_X, _Y, _Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
_DOWN, _FORTH = (0.0, 0.0, -1.0), (0.0, -1.0, 0.0)

_ROUND: tuple[tuple[str, View], ...] = (("face edge", View(_X, _Y)), ("face side", View(_X, _Z)),
                                        ("under edge", View(_X, _FORTH)), ("back side", View(_X, _DOWN)))
"""The long faces in the order in which a strip of paper goes round the member, from the top of the page down."""


def templates(model: DeskModel) -> tuple[Template, ...]:
    """In the order of the pieces, then the fascia panels. What is too large for one has its figures on the drawing."""
    found: list[Template] = []
    mounted = {joint.name for joint in model.joints if any(
        isinstance(model.part(name).part, Component) for name in (joint.a, joint.b))}
    for piece in pieces(model):
        if piece.number[0] not in "MS":
            continue
        part = piece.part
        group = f"{piece.number}, {piece.names[0]}"
        for what, features in _shapes(part, mounted):
            of = _of_member if isinstance(part, Member) else _of_plate
            made = of(part, features, group, what)  # type: ignore[arg-type]  # each gets its own kind of part
            if made is not None:
                found.append(made)
    return (*found, *fascias(model))


def _shapes(part: Member | Plate, mounted: set[str]) -> Iterator[tuple[str, list[Feature]]]:
    """Shapes that are cut by hand, each alone; holes of one fixed component together."""
    patterns: dict[str, list[Feature]] = {}
    for feature in part.features:
        if isinstance(feature, Hole):
            joint = feature.name.rpartition(", ")[0]
            if joint in mounted:
                patterns.setdefault(joint, []).append(feature)
        elif isinstance(feature, Notch | Groove | Pocket | Slot | CutOut | Bevel):
            yield feature.name, [feature]
    yield from ((name, holes) for name, holes in patterns.items() if len(holes) > 1)


def _of_member(part: Member, features: Sequence[Feature], group: str, what: str) -> Template | None:
    solid = solid_of(part)
    assert solid is not None
    removals = [cut for feature in features for cut in feature.removals(part.blank)]
    low = min(cut.bounds[0][0] for cut in removals)
    high = max(cut.bounds[1][0] for cut in removals)
    if high - low > LARGEST:
        if high - low >= part.length - 1e-6:
            return _section(part, solid, group, what)
        return None
    start, stop = max(0.0, low - _MARGIN), min(part.length, high + _MARGIN)
    touched = {name for name, _ in _ROUND for cut in removals if _reaches(part, name, cut.bounds)}
    names = _run(touched)
    strokes: list[Stroke] = []
    areas: list[FaceArea] = []
    centres: list[tuple[Point, float, str]] = []
    heights = [part.section[0] if name in ("face edge", "under edge") else part.section[1] for name in names]
    top = sum(heights)
    views = dict(_ROUND)
    for name, height in zip(names, heights, strict=True):
        view = views[name]
        _, foot = min(((0.0, v) for v in _rise(part, view)), key=lambda each: each[1])
        shift = (-start, top - height - foot)
        seen = look([solid], view, hidden=False)
        strokes += [piece for stroke in seen.visible for piece in within(stroke, start, stop, shift)]
        for feature in features:
            if isinstance(feature, Hole) and feature.face == name:
                face = part.blank.face(name)
                u, v = view.flat(face.point(*feature.at))
                centres.append(((u + shift[0], v + shift[1]), feature.diameter, drilled(feature)))
        areas.append(FaceArea(name, top - height, top))
        top -= height
    total = sum(heights)
    for x in (start, stop):  # the paper ends where the window does
        if 1e-6 < x < part.length - 1e-6:
            strokes.append(Stroke((x - start, 0.0), (x - start, total)))
    references = [(x - start, f"{figure(x)} from the datum end") for x in (low, high)]
    return Template(group, what, (stop - start, total), tuple(strokes), tuple(areas),
                    tuple(area.low for area in areas[:-1]), tuple(references), tuple(centres))


def _section(part: Member, solid: Solid, group: str, what: str) -> Template:
    """What runs along the whole piece: its profile, for the ends."""
    view = View(_Y, _Z)
    seen = look([solid], view, hidden=False)
    width, height = part.section
    return Template(group, f"{what}, profile", (width, height), seen.visible, (FaceArea("far end", 0.0, height),), (),
                    ((0.0, "face side"),), (), "As the far end is seen; on the datum end turn the sheet over.")


def _of_plate(part: Plate, features: Sequence[Feature], group: str, what: str) -> Template | None:
    solid = solid_of(part)
    assert solid is not None
    removals = [cut for feature in features for cut in feature.removals(part.blank)]
    x0, y0 = (min(cut.bounds[0][i] for cut in removals) for i in (0, 1))
    x1, y1 = (max(cut.bounds[1][i] for cut in removals) for i in (0, 1))
    if max(x1 - x0, y1 - y0) > LARGEST:
        return None
    a, b, c, d = part.outline.bounds
    start, foot = max(a, x0 - _MARGIN), max(b, y0 - _MARGIN)
    stop, top = min(c, x1 + _MARGIN), min(d, y1 + _MARGIN)
    seen = look([solid], View(_X, _Y), hidden=False)
    strokes = [piece for stroke in seen.visible for piece in within(stroke, start, stop, (-start, -foot))]
    strokes = [piece for stroke in strokes for piece in upright(stroke, 0.0, top - foot)]
    strokes += [Stroke((x, 0.0), (x, top - foot)) for x in (0.0, stop - start)]
    strokes += [Stroke((0.0, y), (stop - start, y)) for y in (0.0, top - foot)]
    references = [(x - start, f"{figure(x - a)} from the left edge") for x in (x0, x1)]
    holes = [((hole.at[0] - start, hole.at[1] - foot), hole.diameter, drilled(hole)) for hole in features
             if isinstance(hole, Hole)]
    note = f"Its lower edge lies {figure(foot - b)} from the front edge."
    return Template(group, what, (stop - start, top - foot), tuple(strokes), (FaceArea("top", 0.0, top - foot),), (),
                    tuple(references), tuple(holes), note)


def _reaches(part: Member, face: str, box: tuple[tuple[float, float, float], tuple[float, float, float]]) -> bool:
    normal = part.blank.face(face).normal
    origin = part.blank.face(face).origin
    return span(box, normal, origin)[1] >= -1e-6


def _run(touched: set[str]) -> list[str]:
    """The shortest run round the member that has all of the faces, from the top of the page down."""
    names = [name for name, _ in _ROUND]
    runs = [[names[(i + k) % 4] for k in range(n)] for n in range(1, 5) for i in range(4)]
    return next(run for run in runs if touched <= set(run))


def _rise(part: Member, view: View) -> Iterator[float]:
    for corner in ((0.0, y, z) for y in (0.0, part.section[0]) for z in (0.0, part.section[1])):
        yield view.flat(corner)[1]
