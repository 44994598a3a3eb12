"""Which views a member needs, and what is to be dimensioned in each; what it shares with the sheets of ``plate_views``.

Paper axes of a view are turned so that first angle (ISO 5456-2) comes out: what is seen from above stands below the front
view, what is seen from the left stands to its right.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from deskmodel._edges import Point
from deskmodel.drawing._part_solids import solid_of
from deskmodel.drawing._sharp import edges_of
from deskmodel.drawing._solids import Solid
from deskmodel.drawing.dimensions import figure
from deskmodel.drawing.hidden_lines import Seen, View, look
from deskmodel.drawing.hole_marks import HoleKind, HoleMark, hole_kinds
from deskmodel.errors import BuildFault
from deskmodel.flat import BendLine
from deskmodel.part import Member, Plate
from deskmodel.plans.works import Work, works_of

__all__ = ["Ordinate", "PartView", "figures_of", "flat_box", "member_views", "solid_or_fault"]

Box = tuple[float, float, float, float]
Place = Literal["row", "left", "right"]

_X, _Y, _Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
_MINUS_X, _MINUS_Y = (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0)

_MEMBER: dict[str, tuple[View, str]] = {
    "face side": (View(_X, _Z), "seen from the front of the piece"), "back side": (View(_MINUS_X, _Z), ""),
    "face edge": (View(_X, _Y), ""), "under edge": (View(_X, _MINUS_Y), ""),
    "datum end": (View(_MINUS_Y, _Z), ""), "far end": (View(_Y, _Z), "")}


@dataclass(frozen=True, slots=True)
class Ordinate:
    """A place along an axis of the view, and its distance from the datum."""

    at: float
    value: float

    @property
    def text(self) -> str:
        return figure(self.value)


@dataclass(frozen=True, slots=True)
class PartView:
    """``seen`` and ``box`` in the view's own axes, mm of the piece. ``marks``: hole mouths with their place in the view.
    Figures stand above (``xs``) and to the left (``ys``); where they are many, also below and to the right.
    ``place``: a row of its own, or beside the first row. ``runs``: along the piece's length, 1 with it, -1 against it, 0
    neither."""

    title: str
    view: View
    seen: Seen
    box: Box
    place: Place
    runs: int
    marks: tuple[tuple[HoleMark, Point], ...] = ()
    xs: tuple[Ordinate, ...] = ()
    ys: tuple[Ordinate, ...] = ()
    xs_below: tuple[Ordinate, ...] = ()
    ys_right: tuple[Ordinate, ...] = ()
    bends: tuple[BendLine, ...] = ()
    notes: tuple[tuple[str, Point], ...] = field(default=())


def member_views(part: Member) -> tuple[tuple[PartView, ...], tuple[HoleKind, ...], tuple[Work, ...]]:
    """Face side, face edge and datum end always; other faces where something is cut into them."""
    solid = solid_or_fault(part)
    edges = edges_of(solid)
    kinds, works = hole_kinds(part), works_of(part)
    cut = {mark.face for kind in kinds for mark in kind.marks} | {work.face for work in works}
    views = []
    for name in ("under edge", "face side", "face edge", "back side", "far end", "datum end"):
        if name not in cut and name not in ("face side", "face edge", "datum end"):
            continue
        view = _MEMBER[name][0]
        end = name in ("datum end", "far end")
        runs = 0 if end else -1 if name == "back side" else 1
        marks = [mark for kind in kinds for mark in kind.marks if mark.face == name]
        mine = [work for work in works if work.face == name]
        across, up = (part.section[0], part.section[1]) if end else (part.length, part.section[name not in _EDGES])
        placed = tuple((mark, _on_member(part, name, mark.x, mark.y)) for mark in marks)
        xs, ys = figures_of(marks, mine, across, up)
        views.append(PartView(
            name, view, look([solid], view, edges=[edges]), flat_box(solid, view),
            "left" if name == "far end" else "right" if end else "row", runs, placed,
            tuple(Ordinate(_on_member(part, name, x, 0.0)[0], x) for x in xs),
            tuple(Ordinate(_on_member(part, name, 0.0, y)[1], y) for y in ys)))
    return tuple(views), kinds, works


_EDGES = ("face edge", "under edge")


def figures_of(marks: Sequence[HoleMark], works: Iterable[Work], across: float, up: float,
             corners: tuple[Iterable[float], Iterable[float]] = ((), ())) -> tuple[list[float], list[float]]:
    """Distances from the datums that the view has to tell, ascending: ends, cuts, centres of holes."""
    xs = {0.0, across, *corners[0], *(mark.x for mark in marks)}
    ys = {0.0, up, *corners[1], *(mark.y for mark in marks)}
    for work in works:
        if work.outlines and work.kind == "vent field":
            centres = [outline.as_circle[0] for outline in work.outlines if outline.as_circle]
            xs |= {min(c[0] for c in centres), max(c[0] for c in centres)}
            ys |= {min(c[1] for c in centres), max(c[1] for c in centres)}
        elif work.outlines and work.outlines[0].as_circle:
            xs.add(work.outlines[0].as_circle[0][0])
            ys.add(work.outlines[0].as_circle[0][1])
        else:
            xs |= set(work.x)
            ys |= set(work.y)
            for outline in work.outlines:
                if len(outline.vertices) > 4:
                    straight = [edge for edge in outline.edges() if not edge[2]]
                    xs |= {p[0] for edge in straight for p in edge[:2]}
                    ys |= {p[1] for edge in straight for p in edge[:2]}
    return _apart(xs), _apart(ys)


def _apart(values: Iterable[float]) -> list[float]:
    found: list[float] = []
    for value in sorted(round(v, 3) + 0.0 for v in values):
        if not found or value - found[-1] > 0.004:
            found.append(value)
    return found


def _on_member(part: Member, face: str, x: float, y: float) -> Point:
    """(x, y) from the datums of a face, in the axes of its view."""
    u = -x if face in ("back side", "datum end") else x
    if face == "face edge":
        return u, y
    return u, -y if face == "under edge" else part.section[1] - y


def flat_box(solid: Solid, view: View) -> Box:
    box = solid.seen_from(view.pose).box
    return box[0][0], box[0][1], box[1][0], box[1][1]


def solid_or_fault(part: Member | Plate) -> Solid:
    solid = solid_of(part)
    if solid is None:
        raise BuildFault(f"{part.name}: no view of a shape that only the kernel knows")
    return solid
