"""The glazier's papers: the pane made again from the order alone by shapely, held against the kernel's solid; nothing of
glass on the laser's lists; what is to be agreed stands there."""

from __future__ import annotations

import csv
import io
import math
import re
from pathlib import Path

import cadquery as cq
import pytest
from pypdf import PdfReader
from shapely import Point, Polygon, box

from deskmodel import CutOut, Desk, Hole, Plate, Slot, VentField, circle, polygon, rectangle
from deskmodel.errors import BuildFault
from deskmodel.exporters import ExportJob, Written
from deskmodel.exporters.glass_csv import export_glass
from deskmodel.exporters.glass_pdf import export_glass_order, glass_pages
from deskmodel.exporters.plate_drawings import export_plate_drawings
from deskmodel.exporters.plates_csv import export_plates
from deskmodel.exporters.plates_dxf import export_dxf
from deskmodel.model import freeze
from deskmodel.plans.glass import glass_panes
from deskmodel.solids.part_shape import shape_of
from tests.desks.small import HOSTILE_NAMES
from tests.exporters.test_cut_documents import check_pages, duty
from tests.exporters.test_cut_documents import job as duty_job

DENSITY = 2500.0  # kg/m³, EN 572-1
FINE = 64  # sides of a quarter circle in shapely: 0.01 % of the area

PANES = {
    "plain": Plate("plain", rectangle(542, 334, (3, 4)), 4, "glass"),
    "rounded": Plate("rounded", rectangle(500, 300, (-20, 7), radius=12), 6, "glass", (
        Hole("top", (30, 60), 14), Hole("bottom", (420, 260), 14), CutOut(circle(60, (200, 150)), name="bell push"),
        CutOut(rectangle(80, 40, (300, 60), radius=8), name="window"), Slot("top", (80, 200), 50, 14, angle=30))),
    "odd": Plate("odd", polygon([(5, 5), (305, 5), (305, 155), (205, 205), (5, 205)]), 8, "glass", (
        VentField((60, 60), 3, 2, 40, 10),)),
}


def job(*parts: Plate, unreleased: str | None = None) -> ExportJob:
    d = Desk("glass")
    for i, part in enumerate(parts):
        d.place(part, at=(0, 400 * i, 0))
    return ExportJob(freeze(d)[0], (), 0, unreleased, {}, {})


def rows_of(written: Written) -> list[dict[str, str]]:
    (data,) = written.files.values()
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def shape(text: str) -> Polygon:
    """An outline of the order; bulge: the tangent of a quarter of the arc's angle (DXF reference)."""
    points: list[tuple[float, float]] = []
    corners = [(*map(float, each.split(" bulge ")[0].split()), float([*each.split(" bulge "), "0"][1]))
               for each in text.split(", ")]
    for (x0, y0, b), (x1, y1, _) in zip(corners, corners[1:] + corners[:1], strict=True):
        steps = FINE if b else 1
        turn = 4 * math.atan(b)
        for i in range(steps):
            if not b:
                points.append((x0, y0))
                continue
            chord = math.hypot(x1 - x0, y1 - y0)
            radius = chord / 2 / math.sin(abs(turn) / 2)
            cx = (x0 + x1) / 2 - (y1 - y0) / chord * radius * math.cos(turn / 2) * math.copysign(1, turn)
            cy = (y0 + y1) / 2 + (x1 - x0) / chord * radius * math.cos(turn / 2) * math.copysign(1, turn)
            start = math.atan2(y0 - cy, x0 - cx)
            at = start + turn * i / steps
            points.append((cx + radius * math.cos(at), cy + radius * math.sin(at)))
    return Polygon(points)


def made(rows: list[dict[str, str]]) -> Polygon:
    pane = next(row for row in rows if row["row"] == "pane")
    wide, high = float(pane["length x (mm)"]), float(pane["width y (mm)"])
    body = shape(pane["outline"]) if pane["outline"] else box(0, 0, wide, high)
    for row in rows:
        if row["row"] == "hole":
            at = Point(float(row["x from the left edge (mm)"]), float(row["y from the front edge (mm)"]))
            body = body.difference(at.buffer(float(row["diameter (mm)"]) / 2, FINE))
        elif row["row"] != "pane":
            body = body.difference(shape(row["outline"]))
    return body


@pytest.mark.parametrize("name", PANES)
def test_the_pane_is_made_again_from_the_order(name: str) -> None:
    """Volume and middle against the kernel's solid; a mirrored hole moves the middle."""
    part = PANES[name]
    rows = rows_of(export_glass(job(part)))
    pane, body = rows[0], made(rows)
    solid = cq.Shape.cast(shape_of(part).build())
    low = solid.BoundingBox()
    middle = cq.Shape.centerOfMass(solid)
    assert body.area * part.thickness == pytest.approx(solid.Volume(), rel=1e-4)
    assert (body.centroid.x, body.centroid.y) == pytest.approx((middle.x - low.xmin, middle.y - low.ymin), abs=0.01)
    assert float(pane["mass of one (kg)"]) == pytest.approx(solid.Volume() * 1e-9 * DENSITY, rel=0.01)
    assert float(pane["area of one (m²)"]) == pytest.approx(
        (low.xmax - low.xmin) * (low.ymax - low.ymin) * 1e-6, abs=6e-4)
    assert float(pane["edge to work of one (m)"]) == pytest.approx(body.length * 1e-3, rel=1e-3)
    assert pane["thickness (mm)"] == f"{part.thickness:g}"
    # and one hole on the other side is noticed by that
    for i, row in enumerate(rows):
        if row["row"] == "hole" and name == "rounded" and "bell" in row["remark"]:
            wide = float(pane["length x (mm)"])
            slip = {**row, "x from the left edge (mm)": str(wide - float(row["x from the left edge (mm)"]))}
            assert abs(made([*rows[:i], slip, *rows[i + 1:]]).centroid.x - body.centroid.x) > 0.1


def test_the_laser_gets_no_glass() -> None:
    from deskmodel import Plate as AnyPlate

    model = duty()
    glass = [p.name for p in model.parts if isinstance(p.part, AnyPlate) and p.part.material == "glass"]
    assert glass
    plates = rows_of(export_plates(duty_job()))
    assert not {name for row in plates for name in row["plates"].split("; ")} & set(glass)
    assert not [path for path in export_dxf(duty_job()).files if "glass" in path]
    panes = [row for row in rows_of(export_glass(duty_job())) if row["row"] == "pane"]
    assert {name for row in panes for name in row["part"].split("; ")} == set(glass)
    assert (panes[0]["length x (mm)"], panes[0]["thickness (mm)"]) == ("540", "4")
    drawings = export_plate_drawings(duty_job()).files
    assert all(row["drawing"] in drawings for row in panes)


def test_what_is_to_be_agreed_and_what_to_be_asked() -> None:
    """A hole is at least as wide as the pane is thick, twice that from edge and next hole (EN 12150-1, from memory)."""
    thick = 6.0
    close = Plate("close", rectangle(300, 200), thick, "glass", (
        Hole("top", (2 * thick + 5, 100), 10), Hole("top", (2 * thick + 4.9, 150), 10),
        Hole("top", (100, 100), 10), Hole("top", (100 + 10 + 2 * thick, 100), 10), Hole("top", (200, 100), thick),
        Hole("top", (200, 150), thick - 0.1), Hole("top", (250, 50), 10, 3.0, point=None)))
    asks = glass_panes(job(close).model)[0].asks
    assert len([a for a in asks if "to the edge" in a]) == 1
    assert len([a for a in asks if "between them" in a]) == 0
    assert len([a for a in asks if "than the glass is thick" in a]) == 1
    assert len([a for a in asks if "plain hole" in a]) == 1
    (data,) = export_glass_order(job(close)).files.values()
    told = " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages).split())
    for text in ("To be agreed with the glazier", "Toughened glass cannot be cut, drilled or ground afterwards", "Arrissed",
                 "EN 12150-1, from memory", "300 × 200 × 6", "16.9"):
        assert text in told, text
    for word in ("complies", "safe"):
        assert not re.search(rf"\b{word}\b", told)


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_pages_are_readable_whatever_panes_are_called(name: str) -> None:
    check_pages(glass_pages(job(*(Plate(f"{name[:290]}{i}", each.outline, each.thickness, "glass", each.features)
                                  for i, each in enumerate(PANES.values())))))


def test_read_back_and_nothing_without_glass(tmp_path: Path) -> None:
    for export in (export_glass, export_glass_order):
        written, other = export(job(*PANES.values())), export(job(*PANES.values(), unreleased="3 findings"))
        assert written.files != other.files
        for path, data in written.files.items():
            (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / path).write_bytes(data)
        written.read_back(tmp_path)
        with pytest.raises(BuildFault):
            other.read_back(tmp_path)
        assert export(job(Plate("p", rectangle(100, 50), 2, "steel"))).files == {}
        assert export(job(*PANES.values())).files == written.files
