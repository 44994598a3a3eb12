"""From outline and flanges to panels and bends: the folded sheet and its flat, worked out once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from deskmodel._edges import Point
from deskmodel._numbers import told
from deskmodel.bends._clash import check_clear
from deskmodel.bends._edge import (
    Corner,
    Line,
    Strip,
    base_lines,
    corners_of,
    edge_number,
    path,
    strips_of,
    takes_corner,
)
from deskmodel.bends._pieces import Bend, Panel
from deskmodel.bends.allowance import turn_of
from deskmodel.bends.flange import SIDES, Flange, edge_told
from deskmodel.errors import InputFault
from deskmodel.frames import add, scale
from deskmodel.profiles import Profile, check_outline
from deskmodel.tolerances import LENGTH

__all__ = ["Folding", "folding"]

_SQUARE = Corner(90.0, True)


@dataclass(frozen=True)
class Folding:
    """``panels``: the base first, then the leg of each flange; ``bends``: one for each leg. ``flat``: the outline of the
    flat sheet, in the base's x, y."""

    panels: tuple[Panel, ...]
    bends: tuple[Bend, ...]
    flat: Profile


@lru_cache(maxsize=256)
def folding(outline: Profile, thickness: float, flanges: tuple[Flange, ...]) -> Folding:
    """InputFault where the flanges don't fit the outline or each other. ``flanges`` are resolved."""
    return _Maker(outline, thickness, flanges).made()


class _Maker:
    def __init__(self, outline: Profile, thickness: float, flanges: tuple[Flange, ...]) -> None:
        self._outline, self._thickness = outline, thickness
        self._panels: list[Panel] = []
        self._bends: list[Bend] = []
        titles = [flange.title for flange in flanges]
        for title in titles:
            if titles.count(title) > 1:
                raise InputFault(f"two flanges {title!r}", allowed="a name for each: name=…")
        self._on: dict[str, list[Flange]] = {}
        for flange in flanges:
            on_base = isinstance(flange.edge, int) or flange.edge in SIDES
            if not on_base and flange.edge not in titles:
                others = [title for title in titles if title != flange.title]
                raise InputFault(f"{edge_told(flange)} on edge {told(flange.edge)}",
                                 allowed=", ".join([*SIDES, "the number of an edge", *others]))
            self._on.setdefault("base" if on_base else str(flange.edge), []).append(flange)
        self._flanges = flanges
        self._reached: set[str] = set()

    def made(self) -> Folding:
        flat = self._base()
        if len(self._bends) < len(self._flanges):
            left = next(f for f in self._flanges if f.title not in self._reached)
            raise InputFault(f"{edge_told(left)} on {left.edge!r}, which hangs on no side of the plate",
                             allowed="flanges on flanges that begin at the base")
        _whole(flat, "in the flat, flanges overlap each other or the base")
        made = Folding(tuple(self._panels), tuple(self._bends), flat)
        check_clear(made.panels, made.bends)
        return made

    def _base(self) -> Profile:
        """Adds the base, with all that hangs on it. Answers with the flat."""
        lines, corners = base_lines(self._outline), corners_of(self._outline)
        n = len(lines)
        at: dict[int, list[tuple[Flange, float | None, float | None]]] = {}
        for flange in self._on.get("base", ()):
            number = edge_number(flange, self._outline)
            line = lines[number]
            assert line is not None
            low, high = flange.start, flange.stop
            if flange.edge in ("back", "left"):  # told against the outline's direction
                low, high = (None if s is None else line.length - s for s in (flange.stop, flange.start))
            at.setdefault(number, []).append((flange, low, high))
        strips = {}
        for number, flanges in at.items():
            line = lines[number]
            assert line is not None
            before = _nearest(at.get((number - 1) % n), lines[(number - 1) % n], at_end=True)
            after = _nearest(at.get((number + 1) % n), lines[(number + 1) % n], at_end=False)
            ends = replace(corners[number], other=before[0], apart=before[1]), \
                replace(corners[(number + 1) % n], other=after[0], apart=after[1])
            strips[number] = strips_of(line, flanges, ends, self._thickness)
        base = Panel("base", self._thickness, (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0),
                     (0.0, 0.0), (1.0, 0.0), (0.0, 1.0), self._round(lines, strips))
        _whole(base.region, "the flanges leave nothing whole of the base")
        self._panels.append(base)
        ways: dict[str, list[Point]] = {}
        for number, own in strips.items():
            line = lines[number]
            assert line is not None
            ways |= {strip.flange.title: self._leg(base, line, 0.0, strip) for strip in own}
        return self._round(lines, strips, ways)

    def _round(self, lines: list[Line | None], strips: dict[int, list[Strip]],
               ways: dict[str, list[Point]] | None = None) -> Profile:
        """The base less its bends; with the ways round the flanges, the flat."""
        around: list[tuple[float, float, float]] = []
        for i, (x, y, bulge) in enumerate(self._outline.vertices):
            line, own = lines[i], strips.get(i, [])
            gone = takes_corner(strips.get((i - 1) % len(lines), []), at_start=False)
            if line is None or not own:
                around += [] if gone else [(x, y, bulge)]
            else:
                points = path(line, own, ways)
                around += [(px, py, 0.0) for px, py in points[gone and not takes_corner(own, at_start=True):]]
        return Profile(tuple(_tidy(around)))

    def _leg(self, parent: Panel, line: Line, shift: float, strip: Strip) -> list[Point]:
        """Adds the bend and the leg of a flange, with all that hangs on it. Answers with the way round its far end in
        the parent's flattened (u, v). The leg's u runs against the edge; ``shift`` is its value at the edge's end."""
        flange, t = strip.flange, self._thickness
        assert flange.radius is not None
        assert flange.k is not None
        up = self._up(flange, parent)
        end = line.at(line.length + shift, 0.0)  # where the leg's u is 0
        back = (-line.along[0], -line.along[1])
        u = _direction(parent, back)
        e = _direction(parent, line.out)
        c, s = turn_of(flange.angle)
        v = add(scale(e, c), scale(parent.w, up * s))
        w = add(scale(parent.w, c), scale(e, -up * s))
        outer = 0.0 if up > 0 else t
        corner = parent.point(*end, outer)
        u0, u1 = line.length - strip.s1 + shift, line.length - strip.s0 + shift
        axis = (end[0] - strip.setback * line.out[0], end[1] - strip.setback * line.out[1])
        flat_u, flat_v = _flat_direction(parent, back), _flat_direction(parent, line.out)
        ex, ey = parent.to_flat(*end)
        self._bends.append(Bend(
            f"{flange.title} bend", flange.title, u0, u1, flange.angle, flange.radius, flange.k, t, up,
            parent.point(*axis, t + flange.radius if up > 0 else -flange.radius), u, e, parent.w,
            parent.to_flat(*axis), flat_u, flat_v))
        far = Line((u1, flange.length), (-1.0, 0.0), u1 - u0, (0.0, 1.0))
        mirror = (line.length if flange.edge not in ("back", "left") else None) if not parent.inside else parent.mirror
        further = []
        for child in self._on.get(flange.title, ()):
            given = [None if value is None else u1 - (value if mirror is None else mirror - value)
                     for value in (child.start, child.stop)]
            low, high = given if mirror is not None else given[::-1]
            further.append((child, low, high))
        strips = strips_of(far, further, (_SQUARE, _SQUARE), t)
        self._reached.add(flange.title)
        deepest = max((each.setback for each in strips), default=0.0)
        if strips and flange.length - deepest - strip.setback < LENGTH:
            raise InputFault(f"{edge_told(flange)} {flange.length:g} mm long, with bends at both ends",
                             allowed=f"over {deepest + strip.setback:.4g} mm")
        region = [(u0, strip.setback), (u1, strip.setback), *path(far, strips)]
        if not takes_corner(strips, at_start=False):
            region.append((u0, flange.length))
        outline = Profile(tuple(_tidy([(x, y, 0.0) for x, y in region])))
        _whole(outline, f"the bends of {edge_told(flange)} leave nothing whole of it")
        leg = Panel(flange.title, t, add(corner, scale(w, -outer)), u, v, w,
                    (ex - strip.deduction * flat_v[0], ey - strip.deduction * flat_v[1]), flat_u, flat_v, outline, mirror,
                    inside=up)
        self._panels.append(leg)
        way = path(far, strips, {each.flange.title: self._leg(leg, far, u0, each) for each in strips})
        if not takes_corner(strips, at_start=False):
            way.append((u0, flange.length))
        return [(end[0] + x * back[0] + (y - strip.deduction) * line.out[0],
                 end[1] + x * back[1] + (y - strip.deduction) * line.out[1]) for x, y in way]

    def _up(self, flange: Flange, parent: Panel) -> int:
        ways = {"top": 1, "bottom": -1} if not parent.inside else {"inside": parent.inside, "outside": -parent.inside}
        if flange.towards is None:
            return next(iter(ways.values()))
        if flange.towards not in ways:
            raise InputFault(f"{edge_told(flange)} towards {flange.towards!r}", allowed=" or ".join(ways))
        return ways[flange.towards]


def _nearest(flanges: Sequence[tuple[Flange, float | None, float | None]] | None, line: Line | None,
             at_end: bool) -> tuple[Flange | None, float | None]:
    """The flange of an edge that comes nearest to one of its ends, and how far from it, None: as near as can be."""
    if not flanges or line is None:
        return None, None
    away = [(flange, (None if high is None else line.length - high) if at_end else low) for flange, low, high in flanges]
    return min(away, key=lambda each: -1.0 if each[1] is None else each[1])


def _direction(panel: Panel, way: Point) -> tuple[float, float, float]:
    return add(scale(panel.u, way[0]), scale(panel.v, way[1]))


def _flat_direction(panel: Panel, way: Point) -> Point:
    return (way[0] * panel.flat_u[0] + way[1] * panel.flat_v[0], way[0] * panel.flat_u[1] + way[1] * panel.flat_v[1])


def _tidy(vertices: list[tuple[float, float, float]]) -> list[tuple[float, float, float]]:
    """Without points met twice in a row, and without those in the middle of a straight stretch."""
    # of two in one place the second stays: its bulge is that of the edge to come
    points = [p for p, after in zip(vertices, [*vertices[1:], vertices[0]], strict=True)
              if max(abs(p[0] - after[0]), abs(p[1] - after[1])) > LENGTH]
    kept = []
    for i, p in enumerate(points):
        before, after = points[i - 1], points[(i + 1) % len(points)]
        ax, ay, bx, by = p[0] - before[0], p[1] - before[1], after[0] - p[0], after[1] - p[1]
        straight = not before[2] and not p[2] and ax * bx + ay * by > 0
        if not (straight and abs(ax * by - ay * bx) <= 1e-9 * max(1.0, abs(ax * bx + ay * by))):
            kept.append(p)
    return kept


def _whole(outline: Profile, problem: str) -> None:
    """InputFault unless the outline is one piece."""
    try:
        check_outline("outline", outline)
    except InputFault as fault:
        raise InputFault(f"{problem}: its {fault.problem}",
                         allowed="shorter flanges, or start and stop that keep them apart") from None
