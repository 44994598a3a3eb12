"""A flat sheet folded at all of its bend lines, as the drawing tells them: each bend is a strip of the flat, half of its
allowance on either side of its line, that becomes part of a ring; the fibre at K of the thickness from the inside keeps its
length. What lies between the strips is carried along, bend after bend, from the largest panel on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cadquery as cq
from ezdxf.document import Drawing

__all__ = ["folded"]

FAR = 1e-3  # mm beyond a strip, where the panel beside it is looked for
SAMPLES = 9


@dataclass(frozen=True)
class Bend:
    """From ``a`` to ``b`` of the flat; ``up`` towards the viewer. mm, radians."""

    a: cq.Vector
    b: cq.Vector
    up: bool
    turn: float
    radius: float
    allowance: float

    @property
    def along(self) -> cq.Vector:
        return (self.b - self.a).normalized()

    @property
    def across(self) -> cq.Vector:
        """To the right of the line, in the sheet."""
        return self.along.cross(cq.Vector(0, 0, 1))

    def strip(self, thick: float) -> cq.Solid:
        half = self.across * (self.allowance / 2)
        corners = [self.a - half, self.b - half, self.b + half, self.a + half]
        low = cq.Vector(0, 0, -1)
        wire = cq.Wire.makePolygon([corner + low for corner in corners], close=True)
        return cq.Solid.extrudeLinear(wire, [], cq.Vector(0, 0, thick + 2))

    def panel(self, panels: list[cq.Shape], side: float, thick: float) -> int:
        """Which panel lies on that side of the strip: +1 to the right."""
        off = self.across * (side * (self.allowance / 2 + FAR)) + cq.Vector(0, 0, thick / 2)
        found = {i for k in range(1, SAMPLES + 1) for i, panel in enumerate(panels)
                 if panel.isInside(self.a + (self.b - self.a) * (k / (SAMPLES + 1)) + off, 1e-6)}
        assert len(found) == 1, "a bend with no panel beside it, or several"
        return found.pop()


def folded(flat: cq.Shape, drawing: Drawing, thick: float) -> cq.Shape:
    bends = _bends(drawing, thick)
    panels: list[cq.Shape] = list(flat.cut(*(bend.strip(thick) for bend in bends)).Solids())
    assert len(panels) == len(bends) + 1, "a sheet that does not fall into one panel more than it has bends"
    sides = [(bend.panel(panels, -1.0, thick), bend.panel(panels, 1.0, thick)) for bend in bends]
    root = max(range(len(panels)), key=lambda i: panels[i].Volume())
    places: dict[int, cq.Location] = {root: cq.Location()}
    pieces: list[cq.Shape] = [panels[root]]
    left = set(range(len(bends)))
    while left:
        i = next(i for i in left if places.keys() & set(sides[i]))
        left.remove(i)
        left_side, right_side = sides[i]
        side = 1.0 if left_side in places else -1.0
        home, away = (left_side, right_side) if side > 0 else (right_side, left_side)
        assert away not in places, "bends in a ring"
        ring, carried = _turned(bends[i], side, thick)
        pieces.append(ring.moved(places[home]))
        places[away] = places[home] * carried
        pieces.append(panels[away].moved(places[away]))
    return pieces[0].fuse(*pieces[1:])


def _turned(bend: Bend, side: float, thick: float) -> tuple[cq.Shape, cq.Location]:
    """The bent strip where its panel at home lies flat, and how what lies beyond is moved."""
    way = bend.across * side
    start = bend.a - way * (bend.allowance / 2)  # the strip begins here
    height = thick + bend.radius if bend.up else -bend.radius
    on_axis = start + cq.Vector(0, 0, height)
    # about this axis a positive turn lifts what lies beyond: way × up
    axis = way.cross(cq.Vector(0, 0, 1)) * (1.0 if bend.up else -1.0)
    end = start + (bend.b - bend.a)
    up = cq.Vector(0, 0, thick)
    section = cq.Face.makeFromWires(cq.Wire.makePolygon([start, end, end + up, start + up], close=True))
    ring = cq.Solid.revolve(section, math.degrees(bend.turn), on_axis, on_axis + axis)
    back = cq.Location(way * -bend.allowance)
    return ring, _about(on_axis, axis, math.degrees(bend.turn)) * back


def _about(point: cq.Vector, axis: cq.Vector, degrees: float) -> cq.Location:
    return cq.Location(point) * cq.Location(cq.Vector(0, 0, 0), axis, degrees) * cq.Location(point * -1.0)


def _bends(drawing: Drawing, thick: float) -> list[Bend]:
    """Each line with the note that stands at its lower left end: "up 90 deg, R 2, K 0.42"."""
    notes = [text for text in drawing.modelspace().query("TEXT") if text.dxf.text.startswith(("up ", "down "))]
    found = []
    for line in drawing.modelspace():
        if line.dxf.layer not in ("BEND-UP", "BEND-DOWN"):
            continue
        assert line.dxftype() == "LINE"
        a, b = (cq.Vector(p.x, p.y, 0) for p in (line.dxf.start, line.dxf.end))
        corner = cq.Vector(min(a.x, b.x), min(a.y, b.y), 0)
        note = min(notes, key=lambda n: (cq.Vector(n.dxf.insert.x, n.dxf.insert.y, 0) - corner).Length)
        notes.remove(note)
        way, angle, _, _, radius, _, k = note.dxf.text.replace(",", "").split()
        assert way == ("up" if line.dxf.layer == "BEND-UP" else "down")
        turn = math.radians(float(angle))
        found.append(Bend(a, b, way == "up", turn, float(radius), turn * (float(radius) + float(k) * thick)))
    return found
