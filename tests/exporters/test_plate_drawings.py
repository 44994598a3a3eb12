"""A plate's drawing against its DXF: as two strangers hold them side by side, the PDF read by pypdf, the DXF by ezdxf. Same
face, same corner at nought, every hole of the table where the DXF has it, every circle of the DXF where the view has it."""

from __future__ import annotations

import csv
import io
import math
import re
from pathlib import Path

import ezdxf
import pytest
from ezdxf.document import Drawing
from pypdf import PdfReader

from deskmodel import CutOut, Desk, Finish, Flange, Hole, Plate, Slot, polygon, rectangle
from deskmodel.drawing.plate_views import plate_views
from deskmodel.exporters import slug
from deskmodel.exporters.countersinks_csv import export_countersinks
from deskmodel.exporters.plate_drawings import export_plate_drawings
from deskmodel.exporters.plates_dxf import export_dxf
from deskmodel.model import DeskModel, freeze, read_json
from deskmodel.plans import sent_plates
from deskmodel.session.script import load_script
from tests.exporters.test_plates import job, rich

ROOT = Path(__file__).parent.parent.parent
EXACT = 0.0051  # mm: the table tells hundredths
ROW = re.compile(r"^([A-Z]+\d+)\s+(drawn side|far side|top|bottom)\s+(-?[\d.]+)\s+(-?[\d.]+)$", re.MULTILINE)
KIND = re.compile(r"^([A-Z]+)\s+(\d+)\s+([\d.]+)\s+(through|[\d.]+(?:, to the point [\d.]+)?)\b", re.MULTILINE)


@pytest.fixture(scope="module")
def desks() -> dict[str, DeskModel]:
    return {"rich": freeze(rich())[0], "duty desk": read_json(load_script(ROOT / "parts" / "desk.py").model),
            "odd": freeze(odd())[0]}


def odd() -> Desk:
    """One plate on either side of the same; one shown by its finish; bent ones seen from both sides; none at nought."""
    d = Desk("odd")
    shape = polygon([(7, 3), (147, 3), (147, 83), (87, 103), (7, 103)])
    cuts = (Hole("top", (27, 23), 5, countersink=(9, 90)), Hole("bottom", (100, 40), 6, countersink=(10, 90)),
            Hole("bottom", (60, 60), 7), Hole("top", (120, 70), 8, 1.0, point=None), Slot("top", (70, 30), 30, 6, angle=20),
            CutOut(polygon([(30, 50), (50, 50), (30, 80)])))
    for n, seen in enumerate(("top", "bottom", None)):
        d.place(Plate(f"sheet {n}", shape, 2, "steel", cuts, finish=None if seen is None else Finish(seen=seen)),
                at=(200 * n, 0, 0))
        d.place(Plate(f"angle {n}", rectangle(70, 40, (5, 6)), 2, "aluminium",
                      finish=None if seen is None else Finish(seen=seen), flanges=(
                          Flange("back", 25, angle=70), Flange("left", 15, towards="bottom")), features=(
                              Hole("top", (20, 14), 5, countersink=(8, 90)), Hole("back flange outside", (20, 15), 6))),
                at=(200 * n, 300, 0))
    return d


def read_pdf(data: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)


def pairs(model: DeskModel) -> list[tuple[str, str, Drawing, str]]:
    """(name, text of its PDF, its DXF, name of that) of every plate that is sent."""
    pdfs = {Path(path).stem.split("-", 1)[1]: data for path, data in export_plate_drawings(job(model)).files.items()
            if Path(path).name.startswith("p")}
    found = []
    for path, data in export_dxf(job(model)).files.items():
        name = Path(path).name.split("_")[0]
        found.append((name, read_pdf(pdfs[name]), ezdxf.read(io.StringIO(data.decode("cp1252"))), Path(path).name))
    return found


def circles(drawing: Drawing) -> list[tuple[float, float, float]]:
    return [(e.dxf.center.x, e.dxf.center.y, 2 * e.dxf.radius) for e in drawing.modelspace()
            if e.dxftype() == "CIRCLE" and e.dxf.layer == "CUT"]


@pytest.mark.parametrize("name", ["rich", "odd", "duty desk"])
def test_every_hole_of_the_table_is_where_the_dxf_has_it(name: str, desks: dict[str, DeskModel]) -> None:
    """Right through: a circle of that diameter there, and each circle taken once. Else, and where it is sunk: a row of the
    countersink table there, on the side that the drawing tells."""
    (data,) = export_countersinks(job(desks[name])).files.values()
    sinks = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    looked = 0
    for plate, told, drawing, file in pairs(desks[name]):
        kinds = {letter: (int(count), float(size), depth == "through") for letter, count, size, depth in KIND.findall(told)}
        rows = ROW.findall(told)
        assert len(rows) == sum(count for count, _, _ in kinds.values()), plate
        left = circles(drawing)
        sunk = [(row["side"], float(row["x from the DXF's origin (mm)"]), float(row["y from the DXF's origin (mm)"]))
                for row in sinks if row["file"] == file and row["work"] != "pocket"]
        for number, side, *places in rows:
            x, y = map(float, places)
            _, size, through = kinds[number.rstrip("0123456789")]
            assert side in ("drawn side", "far side")
            if through:
                there = [c for c in left if math.dist(c[:2], (x, y)) < 2 * EXACT and abs(c[2] - size) < EXACT]
                assert there, (plate, number, x, y)
                left.remove(there[0])
            else:
                assert any(s == side and math.dist(p, (x, y)) < 2 * EXACT for s, *p in sunk), (plate, number)
            looked += 1
        for side, *p in sunk:  # and the table of the drawing has each of them, on that side
            assert any(s == side and math.dist((float(x), float(y)), p) < 2 * EXACT for _, s, x, y in rows), (plate, p)
    assert looked >= {"rich": 11, "odd": 18, "duty desk": 100}[name]


@pytest.mark.parametrize("name", ["rich", "odd", "duty desk"])
def test_what_is_drawn_is_what_is_cut(name: str, desks: dict[str, DeskModel]) -> None:
    """Every circle of the DXF stands in the view, from its lower left corner; turned over, they would not.
    (Sizes are told by the table: of a hole sunk right through a thin plate nothing is left of the cylinder.)"""
    model = desks[name]
    drawings = {plate: drawing for plate, _, drawing, _ in pairs(model)}
    other_way_round = 0
    for plate in sent_plates(model):
        view = plate_views(plate.first.plate, plate.sheet.seen)[0][0]
        drawing = drawings[slug(plate.names[0])]
        rings = [(s.centre[0] - view.box[0], s.centre[1] - view.box[1])
                 for s in (*view.seen.visible, *view.seen.hidden) if s.radius and s.sweep > 6.28]
        for x, y, _ in circles(drawing):
            assert min(math.dist(ring, (x, y)) for ring in rings) < 1e-5, (plate.names, x, y)
        wide = view.box[2] - view.box[0]
        other_way_round += any(min(math.dist(ring, (wide - x, y)) for ring in rings) > 0.1
                               for x, y, _ in circles(drawing))
        bends = sorted((b.start[0] - view.box[0], b.start[1] - view.box[1], f"BEND-{b.direction.upper()}")
                       for b in view.bends)
        lines = sorted((e.dxf.start.x, e.dxf.start.y, e.dxf.layer)
                       for e in drawing.modelspace() if e.dxftype() == "LINE")
        assert [b[2] for b in bends] == [each[2] for each in lines]
        assert [c for b in bends for c in b[:2]] == pytest.approx([c for each in lines for c in each[:2]], abs=1e-5)
    assert other_way_round >= (2 if name == "rich" else 3)


def test_the_sheet_says_which_face_is_seen(desks: dict[str, DeskModel]) -> None:
    for plate, told, _, _ in pairs(desks["odd"]):
        seen = "bottom" if plate.endswith("1") else "top"
        face = f"the {seen} of its base" if plate.startswith("angle") else f"its {seen}"
        assert f"seen on {face}" in told
        flat = " ".join(told.split())
        assert f"Seen on {face}, the finished face" in flat
        assert ("begin at the right edge here" in flat) == (seen == "bottom")


def test_equal_plates_seen_from_two_sides_have_two_drawings() -> None:
    """A plate at the front and its like at the back of a frame: each shows the face that looks away from the members."""
    from deskmodel import Member

    d = Desk("two")
    for y in (0, 100):
        d.place(Member(f"rail {y}", (22, 60), 300, "ash"), at=(0, y, 0))
    shape = polygon([(0, 0), (300, 0), (300, 40), (200, 60), (0, 60)])
    for name, z in (("below", -2), ("above", 60)):
        d.place(Plate(name, shape, 2, "steel", (Hole("top", (30, 20), 6),)), at=(0, 0, z))
    made = export_plate_drawings(job(freeze(d)[0])).files
    assert sorted(made) == ["plates/p1-above.pdf", "plates/p1-below.pdf"]
    places = {path: ROW.findall(read_pdf(data))[0] for path, data in made.items()}
    assert places["plates/p1-above.pdf"] == ("A1", "drawn side", "30", "20")
    assert places["plates/p1-below.pdf"] == ("A1", "far side", "270", "20")


def test_what_is_not_sent_is_seen_on_its_top() -> None:
    d = Desk("ply")
    d.place(Plate("board", rectangle(200, 100), 9, "birch ply", (Hole("bottom", (30, 20), 6, 4),)), at=(0, 0, 0))
    (data,) = export_plate_drawings(job(freeze(d)[0])).files.values()
    told = read_pdf(data)
    assert ROW.findall(told) == [("A1", "bottom", "30", "20")]
    assert "DXF" not in told
