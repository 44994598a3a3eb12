"""A plate from its DXF, its line in the list of plates and its rows of the countersink table.

Frame of the drawing: x and y as drawn, z towards whoever looks at it, 0 on the far side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import cadquery as cq
import ezdxf
from ezdxf.document import Drawing

from tests.rebuild.folding import folded
from tests.rebuild.members import sink
from tests.rebuild.papers import Papers, Row, names
from tests.rebuild.shapes import Outline, cone, cylinder, drawn, less

__all__ = ["drawing_of", "rebuilt_plate", "to_own_frame"]


def drawing_of(papers: Papers, name: str) -> tuple[Row, Drawing]:
    """The plate's line of the list, and its drawing."""
    line = next(row for row in papers.plates if name in names(row["plates"]))
    return line, ezdxf.readfile(str(Path(papers.drawings) / line["file"]))


def rebuilt_plate(papers: Papers, name: str, drawing: Drawing | None = None) -> cq.Shape:
    """As drawn; where it has a bend, folded. ``drawing``: instead of the one on disk."""
    line, on_disk = drawing_of(papers, name)
    drawing = drawing or on_disk
    assert drawing.header["$INSUNITS"] == 4, "not in mm"  # 4: millimetres, DXF reference
    thick = float(line["thickness (mm)"])
    contours = sorted(_contours(drawing), key=_width)
    outer, *inner = (drawn(outline, _flat).outerWire() for outline in reversed(contours))
    blank: cq.Shape = cq.Solid.extrudeLinear(outer, inner, cq.Vector(0, 0, thick))
    assert blank.isValid(), "contours that meet"
    tools: list[cq.Shape] = []
    for row in papers.sinks:
        if row["file"] == line["file"]:
            tools += _by_hand(row, thick)
    flat = less(blank, tools)
    bends = [entity for entity in drawing.modelspace() if entity.dxf.layer in ("BEND-UP", "BEND-DOWN")]
    assert len(bends) == int(line["bends of one"])
    return folded(flat, drawing, thick) if bends else flat


def to_own_frame(line: Row, shape: cq.Shape) -> cq.Shape:
    """From the drawing's frame to the plate's own: seen from below it is turned about y."""
    x, y = (float(each) for each in line["DXF origin in the plate's own x, y (mm)"].split(", "))
    if line["x in the DXF runs"] == "against the plate's own x":
        assert line["drawn: its face"].startswith("bottom")
        shape = shape.rotate(cq.Vector(0, 0, 0), cq.Vector(0, 1, 0), 180).translate(
            cq.Vector(0, 0, float(line["thickness (mm)"])))
    else:
        assert line["drawn: its face"].startswith("top")
    return shape.translate(cq.Vector(x, y, 0))


def _width(outline: Outline) -> float:
    """Of its corners: that about all others is the widest."""
    return max(x for x, _, _ in outline) - min(x for x, _, _ in outline)


def _flat(x: float, y: float) -> tuple[float, float, float]:
    return x, y, 0.0


def _contours(drawing: Drawing) -> Iterator[Outline]:
    """What is cut: closed contours and circles on the layer CUT. In DXF a bulge above 0 turns left; so it does outwards
    where the contour runs anticlockwise, and either way to the right of the way here."""
    for entity in drawing.modelspace():
        if entity.dxf.layer != "CUT":
            continue
        if entity.dxftype() == "CIRCLE":
            (x, y, _), r = entity.dxf.center, entity.dxf.radius
            yield [(x + r, y, 1.0), (x - r, y, 1.0)]
        else:
            assert entity.dxftype() == "LWPOLYLINE", f"{entity.dxftype()} on the cutting layer"
            assert entity.closed, "a contour that is not closed"
            yield [(x, y, bulge) for x, y, bulge in entity.get_points("xyb")]


def _by_hand(row: Row, thick: float) -> list[cq.Shape]:
    """A countersink, a counterbore or a hole that does not go through, on the drawn or on the far side."""
    near = row["side"] == "drawn side"
    assert near or row["side"] == "far side"
    at = (float(row["x from the DXF's origin (mm)"]), float(row["y from the DXF's origin (mm)"]), thick if near else 0.0)
    into = (0.0, 0.0, -1.0 if near else 1.0)
    hole = float(row["hole diameter (mm)"])
    tools: list[cq.Shape] = []
    if row["right through"] == "no":
        depth = float(row["depth (mm)"])
        tools.append(cylinder(at, into, hole, depth))
        if row["point angle (°)"]:
            end = (at[0], at[1], at[2] + into[2] * depth)
            tools.append(cone(end, into, hole, 0.0, hole / 2 / math.tan(math.radians(float(row["point angle (°)"]) / 2))))
    elif row["angle (°)"]:
        tools.append(sink(at, into, float(row["diameter at the face (mm)"]), float(row["angle (°)"]), hole, thick))
    else:
        tools.append(cylinder(at, into, float(row["diameter at the face (mm)"]), float(row["depth (mm)"])))
    return tools
