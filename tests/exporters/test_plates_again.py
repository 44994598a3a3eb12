"""From DXF and countersink table alone each plate is made again, and is the kernel's solid."""

from __future__ import annotations

import math

import cadquery as cq
import pytest

from deskmodel.exporters.countersinks_csv import export_countersinks
from deskmodel.exporters.plates_csv import export_plates
from deskmodel.model import DeskModel, freeze
from deskmodel.solids.part_shape import shape_of
from tests.exporters.dxf_reader import Drawing, Shape
from tests.exporters.test_plates import drawings, job, rich, table


@pytest.fixture(scope="module")
def model() -> DeskModel:
    return freeze(rich())[0]


@pytest.mark.parametrize("name", ["under", "tab 1", "bracket"])
def test_drawing_and_table_make_the_solid_again(name: str, model: DeskModel) -> None:
    """Extruded and sunk as the files say, against the kernel's solid: nothing is left over either way. Of the bent plate the
    base."""
    placed = model.part(name)
    made, solid = rebuilt(model, name), cq.Shape.cast(shape_of(placed.part).build())
    if name == "bracket":
        window = cq.Solid.makeBox(116, 57, 1.5, cq.Vector(4, 0, 0))
        made, solid = made.intersect(window), solid.intersect(window)
    assert solid.Volume() > 1000
    assert apart(made, solid) < 1e-3


def test_a_hole_moved_or_sunk_from_the_other_side_is_noticed(model: DeskModel) -> None:
    solid = cq.Shape.cast(shape_of(model.part("under").part).build())
    for change in ("moved", "other side"):
        made = rebuilt(model, "under", change)
        assert apart(made, solid) > 0.05


def apart(a: cq.Shape, b: cq.Shape) -> float:
    """By how much the faces of two solids differ, mm or mm²: each has its like, of the same kind, area and middle.
    (Booleans of equal solids are what the kernel is worst at.)"""
    faces = [sorted(((face.geomType(), face.Center().toTuple(), face.Area()) for face in shape.Faces()), key=repr)
             for shape in (a, b)]
    if len(faces[0]) != len(faces[1]):
        return math.inf
    worst, left = abs(a.Volume() - b.Volume()), list(faces[1])
    for kind, middle, area in faces[0]:
        same = [each for each in left if each[0] == kind]
        like = min(same, key=lambda each: math.dist(each[1], middle) + abs(each[2] - area), default=None)
        if like is None:
            return math.inf
        left.remove(like)
        worst = max(worst, math.dist(like[1], middle), abs(like[2] - area))
    return worst


def rebuilt(model: DeskModel, name: str, change: str = "") -> cq.Shape:
    drawing = drawings(model)[name.replace(" ", "-")]
    order = next(row for row in table(export_plates(job(model))) if name in row["plates"].split("; "))
    thick = float(order["thickness (mm)"])
    wires = sorted((wire_of(shape) for shape in drawing.shapes["CUT"]), key=lambda wire: -wire.BoundingBox().DiagonalLength)
    solid: cq.Shape = cq.Solid.extrudeLinear(wires[0], wires[1:], cq.Vector(0, 0, thick))
    tools = []
    for row in table(export_countersinks(job(model))):
        if row["file"] == order["file"]:
            up = (row["side"] == "drawn side") != (change == "other side")
            x, y = (float(row[f"{axis} from the DXF's origin (mm)"]) for axis in "xy")
            x += 0.1 if change == "moved" and not tools else 0.0
            tool = tool_of(row, drawing, thick)
            tool = tool if up else tool.mirror("XY").translate(cq.Vector(0, 0, thick))
            tools.append(tool if row["work"] == "pocket" else tool.translate(cq.Vector(x, y, 0)))
    if tools:
        solid = solid.cut(*tools)
    ox, oy = (float(value) for value in order["DXF origin in the plate's own x, y (mm)"].split(", "))
    if order["drawn: its face"].startswith("bottom"):
        return solid.rotate(cq.Vector(0, 0, 0), cq.Vector(0, 1, 0), 180).translate(cq.Vector(ox, oy, thick))
    return solid.translate(cq.Vector(ox, oy, 0))


def tool_of(row: dict[str, str], drawing: Drawing, thick: float) -> cq.Shape:
    """What the row takes away below z = thickness, about the origin."""
    if row["work"] == "pocket":
        (shape,) = drawing.shapes["MILL"]
        deep = float(row["depth (mm)"])
        return cq.Solid.extrudeLinear(wire_of(shape), [], cq.Vector(0, 0, deep)).translate(cq.Vector(0, 0, thick - deep))
    if row["work"] == "countersink":
        wide, slope = float(row["diameter at the face (mm)"]) / 2, math.tan(math.radians(float(row["angle (°)"]) / 2))
        deep = min(thick, wide / slope - 1e-9)
        return cq.Solid.makeCone(wide - deep * slope, wide, deep, cq.Vector(0, 0, thick - deep))
    wide = float(row["diameter at the face (mm)"] or row["hole diameter (mm)"])
    deep = float(row["depth (mm)"])
    return cq.Solid.makeCylinder(wide / 2, deep, cq.Vector(0, 0, thick - deep))


def wire_of(shape: Shape) -> cq.Wire:
    if shape.kind == "CIRCLE":
        x, y, r = shape.points[0]
        return cq.Wire.makeCircle(r, cq.Vector(x, y, 0), cq.Vector(0, 0, 1))
    edges = []
    for (x0, y0, b), (x1, y1, _) in zip(shape.points, shape.points[1:] + shape.points[:1], strict=True):
        start, end = cq.Vector(x0, y0, 0), cq.Vector(x1, y1, 0)
        # the middle of the arc stands off the chord by bulge times half of it, to the right for a positive one
        middle = cq.Vector((x0 + x1) / 2 + b * (y1 - y0) / 2, (y0 + y1) / 2 - b * (x1 - x0) / 2, 0)
        edges.append(cq.Edge.makeThreePointArc(start, middle, end) if b else cq.Edge.makeLine(start, end))
    return cq.Wire.assembleEdges(edges)
