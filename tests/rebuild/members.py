"""A member, or a board, from its rows of the cut list and of the drilling schedule.

Own frame: x from the datum end (left edge), y from the face side (front edge), z up to the face edge (top).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cadquery as cq

from tests.rebuild.papers import Papers, Row, names
from tests.rebuild.shapes import Point, box, cone, cylinder, drawn, less, parsed, prism

__all__ = ["STAGES", "WORDS", "marks_of", "rebuilt"]

# face: (axis, whether it is the far one)
FACES = {"datum end": (0, False), "far end": (0, True), "face side": (1, False), "back side": (1, True),
         "under edge": (2, False), "face edge": (2, True), "bottom": (2, False), "top": (2, True)}
DATUMS = {"datum end": 0, "face side": 1, "face edge": 2, "left edge": 0, "front edge": 1}
STAGES = ("plane", "crosscut", "drill", "laminate", "bevel and notch", "glue-up", "spot inserts", "finish", "fit out")
WORDS = {"left": (-1.0, 0.0, 0.0), "right": (1.0, 0.0, 0.0), "front": (0.0, -1.0, 0.0), "back": (0.0, 1.0, 0.0),
         "down": (0.0, 0.0, -1.0), "up": (0.0, 0.0, 1.0)}


@dataclass(frozen=True)
class Side:
    """A face of a blank of ``size``, with what is measured on it."""

    size: Point
    face: str
    x_from: str
    y_from: str

    @property
    def axis(self) -> int:
        return FACES[self.face][0]

    @property
    def into(self) -> Point:
        way = [0.0, 0.0, 0.0]
        way[self.axis] = -1.0 if FACES[self.face][1] else 1.0
        return way[0], way[1], way[2]

    def point(self, x: float, y: float) -> Point:
        p = [0.0, 0.0, 0.0]
        p[self.axis] = self.size[self.axis] if FACES[self.face][1] else 0.0
        for value, datum in ((x, self.x_from), (y, self.y_from)):
            i = DATUMS[datum]
            p[i] = self.size[i] - value if datum == "face edge" else value
        return p[0], p[1], p[2]


def rebuilt(papers: Papers, name: str, after: str = STAGES[-1]) -> cq.Shape:
    """In its own frame, as it is after that stage."""
    done = STAGES[:STAGES.index(after) + 1]
    piece = next(row for row in papers.cuts if row["row"] == "piece" and name in names(row["part"]))
    sizes = [float(piece[f"finished {what} (mm)"]) for what in ("length", "width", "thickness")]
    size = (sizes[0], sizes[1], sizes[2])
    if piece["outline"]:
        side = Side(size, "bottom", "left edge", "front edge")
        blank: cq.Shape = prism(drawn(parsed(piece["outline"]), side.point), (0.0, 0.0, size[2]))
    else:
        blank = box((0.0, 0.0, 0.0), size)
    tools: list[cq.Shape] = []
    for row in papers.cuts:
        if row["depth (mm)"] and name in names(row["part"]) and row["stage"] in done:
            tools += _cut(size, row)
    for row in papers.holes:
        if name in names(row["part"]) and row["stage"] in done:
            tools += _hole(size, row)
    return less(blank, tools)


def marks_of(papers: Papers, name: str) -> dict[str, str]:
    """Where the marked faces of a member look in the desk: {"face side": "front", …}."""
    text = next(row["marks in the desk"] for row in papers.cuts if row["row"] == "piece" and name in names(row["part"]))
    if text.startswith(f"{name}: ") or f"; {name}: " in text:
        text = text[text.index(f"{name}: ") + len(name) + 2:].split("; ")[0]
    return {mark.rsplit(" ", 1)[0]: mark.rsplit(" ", 1)[1] for mark in text.split(", ")}


def _cut(size: Point, row: Row) -> list[cq.Shape]:
    side = Side(size, row["face"], row["x measured from"], row["y measured from"])
    x0, x1, y0, y1 = (float(row[f"{axis} {end} (mm)"]) for axis in "xy" for end in ("from", "to"))
    depth = float(row["depth (mm)"])
    way = (side.into[0] * depth, side.into[1] * depth, side.into[2] * depth)
    if row["second face"]:
        return [_wedge(side, (x0, x1), (y0, y1), row["second face"], depth)]
    if row["outline"]:
        return [prism(drawn(parsed(each), side.point), way) for each in row["outline"].split(" / ")]
    a, b = side.point(x0, y0), side.point(x1, y1)
    corners = (a, b, tuple(p + w for p, w in zip(b, way, strict=True)))
    low, high = ([pick(c[i] for c in corners) for i in range(3)] for pick in (min, max))
    return [box((low[0], low[1], low[2]), (high[0], high[1], high[2]))]


def _wedge(side: Side, x: tuple[float, float], y: tuple[float, float], second: str, depth: float) -> cq.Solid:
    """Nothing deep along the far side of the span, ``depth`` deep at the face ``second``."""
    axis, far = FACES[second]
    at = side.size[axis] if far else 0.0
    a, b = side.point(x[0], y[0]), side.point(x[1], y[1])
    assert any(math.isclose(p[axis], at, abs_tol=1e-6) for p in (a, b)), "the span does not reach the second face"
    away = next(p[axis] for p in (a, b) if not math.isclose(p[axis], at, abs_tol=1e-6))
    along = 3 - axis - side.axis
    corners = []
    for on, deep in ((at, 0.0), (away, 0.0), (at, depth)):
        p = [0.0, 0.0, 0.0]
        p[axis], p[along] = on, min(a[along], b[along])
        p[side.axis] = a[side.axis] + deep * side.into[side.axis]
        corners.append(cq.Vector(*p))
    way = [0.0, 0.0, 0.0]
    way[along] = abs(b[along] - a[along])
    return cq.Solid.extrudeLinear(cq.Wire.makePolygon(corners, close=True), [], cq.Vector(*way))


def _hole(size: Point, row: Row) -> list[cq.Shape]:
    side = Side(size, row["face"], row["x from"], row["y from"])
    at, diameter = side.point(float(row["x (mm)"]), float(row["y (mm)"])), float(row["diameter (mm)"])
    thick = size[side.axis]
    through = row["right through"] == "yes"
    deep = thick if through else float(row["depth to the shoulder (mm)"])
    tools: list[cq.Shape] = [cylinder(at, side.into, diameter, deep)]
    if not through and float(row["depth to the point (mm)"]) > deep:
        shoulder = tuple(p + deep * i for p, i in zip(at, side.into, strict=True))
        tools.append(cone((shoulder[0], shoulder[1], shoulder[2]), side.into, diameter, 0.0,
                          float(row["depth to the point (mm)"]) - deep))
    if row["counterbore diameter (mm)"]:
        tools.append(cylinder(at, side.into, float(row["counterbore diameter (mm)"]), float(row["counterbore depth (mm)"])))
    if row["countersink diameter (mm)"]:
        tools.append(sink(at, side.into, float(row["countersink diameter (mm)"]), float(row["countersink angle (°)"]),
                          diameter, thick))
    return tools


def sink(at: Point, into: Point, diameter: float, angle: float, hole: float, thick: float) -> cq.Solid:
    """A countersink down to its hole, or right through a plate that is thinner."""
    slope = math.tan(math.radians(angle / 2))
    depth = min((diameter - hole) / 2 / slope, thick)
    return cone(at, into, diameter, diameter - 2 * depth * slope, depth)
