"""What the cutting service gets: DXF against the plate's closed form, the DXF library's auditor, a reader of its own and the
solid's section; tables; folded STEP."""

from __future__ import annotations

import csv
import io
import math
import os
import re
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import cadquery as cq
import ezdxf.recover
import pytest

from deskmodel import (
    CutOut,
    Desk,
    Finish,
    Flange,
    Hole,
    InsertFixing,
    Member,
    Plate,
    Pocket,
    Slot,
    VentField,
    obround,
    polygon,
    rectangle,
)
from deskmodel.bends import flat_length
from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault
from deskmodel.exporters import EXPORTERS, ExportJob, Written
from deskmodel.exporters.countersinks_csv import export_countersinks
from deskmodel.exporters.plates_csv import export_plates
from deskmodel.exporters.plates_dxf import export_dxf
from deskmodel.exporters.plates_step import export_folded
from deskmodel.model import DeskModel, freeze, read_json
from deskmodel.session.run import Session
from deskmodel.session.script import load_script
from tests.desks.sheets import BEND, SHEET, service
from tests.desks.small import HOSTILE_NAMES, small_desk
from tests.exporters.dxf_reader import Drawing, read_dxf

ROOT = Path(__file__).parent.parent.parent


def rich(**more: object) -> Desk:
    """Every kind of cut, seen from both sides, bent and not."""
    d = Desk("rich", service=service("sheet", "bend", sheets=(replace(SHEET, film="one side"),), bends=(BEND,), **more))
    rails = [d.place(Member(f"rail {n}", (22, 60), 400, "ash"), at=(0, y, 1.5)) for n, y in enumerate((0, 178))]
    under = d.place(Plate("under", rectangle(400, 200, radius=8), 1.5, "steel", (
        VentField((150, 60), 6, 4), CutOut(obround(60, 20, (60, 100), 30)), CutOut(rectangle(50, 30, (300, 80), radius=4)),
        CutOut(rectangle(12, 30, (388, 90))),
        Slot("bottom", (250, 150), 40, 6, angle=20), Hole("top", (30, 60), 6, depth=1.0, point=None),
        Hole("top", (350, 60), 5, counterbore=(9, 0.8)), Pocket("bottom", rectangle(20, 10, (100, 140)), 0.5))),
        at=(0, 0, 0))
    d.join(InsertFixing(under, rails, screw="ISO 10642 M4x12", pitch=150))
    d.place(Plate("bracket", rectangle(120, 60), 1.5, "steel", (Hole("top", (30, 30), 5, countersink=(8, 90)),
                                                                 Hole("back flange inside", (60, 15), 5)),
                  flanges=(Flange("back", 25), Flange("left", 20, start=20, towards="bottom"))), at=(0, 300, 0))
    for name, x in (("tab 1", 200), ("tab 2", 260)):
        d.place(Plate(name, polygon([(0, 0), (40, 0), (40, 20), (0, 30)]), 3, "aluminium", (Hole("top", (10, 10), 4),),
                      finish=Finish(brushed="x", coating="powder", thickness=0.08)), at=(x, 300, 0))
    return d


def job(model: DeskModel, unreleased: str | None = None) -> ExportJob:
    return ExportJob(model, (), 0, unreleased, {}, {})


def drawings(model: DeskModel) -> dict[str, Drawing]:
    """By the name of the part that comes first in the file's name."""
    return {Path(path).name.split("_")[0]: read_dxf(data) for path, data in export_dxf(job(model)).files.items()}


def table(written: Written) -> list[dict[str, str]]:
    (data,) = written.files.values()
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def put(folder: Path, written: Written) -> None:
    for path, data in written.files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(data)


@pytest.fixture(scope="module")
def duty() -> DeskModel:
    return read_json(load_script(ROOT / "parts" / "desk.py").model)


@pytest.fixture(scope="module")
def model() -> DeskModel:
    return freeze(rich())[0]


# ---- DXF

def test_the_auditor_of_the_library_finds_nothing(duty: DeskModel, model: DeskModel) -> None:
    for each in (duty, model):
        for path, data in export_dxf(job(each)).files.items():
            doc, found = ezdxf.recover.read(io.BytesIO(data))
            again = doc.audit()
            assert [*found.errors, *found.fixes, *again.errors, *again.fixes] == [], path
            assert doc.dxfversion == "AC1015"
            assert doc.units == 4  # mm
            assert {layer.dxf.name for layer in doc.layers if not layer.is_on()} == {"MARK"}
            assert not doc.layers.get("MARK").dxf.plot
            (x0, y0, _), (x1, y1, _) = doc.header["$EXTMIN"], doc.header["$EXTMAX"]
            sizes = [p for shape in read_dxf(data).shapes["CUT"] for p in shape.polygon()]
            assert (x0, y0) == (0, 0)
            assert (x1, y1) == pytest.approx((max(x for x, _ in sizes), max(y for _, y in sizes)), abs=1e-4)


def test_contours_are_closed_single_and_of_the_plates_closed_form(model: DeskModel) -> None:
    under = drawings(model)["under"]
    assert under.others == []
    assert under.off == {"MARK"}
    assert under.header["$INSUNITS"] == "4"
    cut = under.shapes["CUT"]
    assert len({shape.points for shape in cut}) == len(cut)
    # 24 vents Ø 5, the screws Ø 4.5, 1 hole Ø 5; the blind one is drilled; the notch is part of the outline
    screws = sum(f.purpose == "screw" for f in model.part("under").part.features)
    assert Counter(shape.points[0][2] for shape in cut if shape.kind == "CIRCLE") == {2.5: 25, 2.25: screws}
    areas = sorted(shape.area for shape in cut if shape.kind != "CIRCLE")
    assert areas == pytest.approx(sorted([
        400 * 200 - (4 - math.pi) * 64 - 12 * 30,  # outline with rounded corners less the notch at its edge
        40 * 20 + math.pi * 100, 50 * 30 - (4 - math.pi) * 16, 34 * 6 + math.pi * 9]), abs=1e-4)
    assert [shape.area for shape in under.shapes["MILL"]] == pytest.approx([200])
    assert any("revision" in text for text in under.texts["MARK"])


def test_a_plate_below_is_seen_from_below(model: DeskModel) -> None:
    """x runs against the plate's own: the obround leans the other way, the left hole is on the right."""
    under = drawings(model)["under"]
    blind = next(row for row in table(export_countersinks(job(model))) if row["work"] == "blind hole")
    assert (blind["side"], blind["x from the DXF's origin (mm)"], blind["y from the DXF's origin (mm)"]) == \
        ("far side", "370", "60")
    (pocket,) = under.shapes["MILL"]
    assert sorted(pocket.points)[0] == pytest.approx((280, 140, 0))
    obrounds = [shape for shape in under.shapes["CUT"] if shape.area == pytest.approx(800 + math.pi * 100, abs=1e-3)]
    tips = sorted(obrounds[0].polygon())
    assert tips[0][1] > 100 > tips[-1][1]  # by 30° to the left now, about (340, 100)


def test_the_flat_of_a_bent_plate(model: DeskModel) -> None:
    bracket = drawings(model)["bracket"]
    (outline,) = (shape for shape in bracket.shapes["CUT"] if shape.kind != "CIRCLE")
    xs, ys = zip(*outline.polygon(), strict=True)
    # outside legs less one deduction each, R = t = 1.5, K 0.45
    assert max(ys) == pytest.approx(flat_length(60, 25, 90, 1.5, 1.5, 0.45), abs=1e-5)
    assert max(xs) == pytest.approx(flat_length(120, 20, 90, 1.5, 1.5, 0.45), abs=1e-5)
    # without members the top is seen; with the rails' middle to the front below it, too: the flange up is up
    assert set(bracket.lines) == {"BEND-UP", "BEND-DOWN"}
    half = math.pi / 2 * (1.5 + 0.45 * 1.5) / 2
    placed = model.part("bracket")
    assert placed.part.flanges[0].towards is None
    lengths = sorted(math.hypot(x1 - x0, y1 - y0) for lines in bracket.lines.values() for x0, y0, x1, y1 in lines)
    # at their common corner both end clear of the other's bend: setback 3 and half a thickness
    assert lengths == pytest.approx([40 - 3.75, 120 - 3.75])
    level = {round(y0, 4) for lines in bracket.lines.values() for x0, y0, x1, y1 in lines if abs(y0 - y1) < 1e-9}
    assert level == {round(57 + half, 4)}


# ---- tables

def test_the_order_tells_every_figure(model: DeskModel) -> None:
    rows = {row["plates"]: row for row in table(export_plates(job(model)))}
    assert set(rows) == {"under", "bracket", "tab 1; tab 2"}
    tabs = rows["tab 1; tab 2"]
    area = 40 * 20 + 40 * 10 / 2 - math.pi * 4
    length = 40 + 20 + math.hypot(40, 10) + 30 + math.pi * 4
    assert float(tabs["area of one (m²)"]) == pytest.approx(area * 1e-6, abs=5e-4)
    assert float(tabs["cut length of one (m)"]) == pytest.approx(length * 1e-3, abs=5e-4)
    assert float(tabs["mass of all (kg)"]) == pytest.approx(2 * area * 3 * 2.7e-6, rel=0.02, abs=5e-4)
    assert tabs | {
        "quantity": "2", "material": "aluminium", "thickness (mm)": "3", "pierces of one": "2", "bends of one": "0",
        "sheet": "unknown", "film": "unknown", "brushed": "along X of the DXF, on the drawn side", "coating": "powder",
        "coating on each face (mm)": "0.08", "coated on": "both faces", "besides cutting": "nothing"} == tabs
    under = rows["under"]
    assert (under["tolerance of the length (± mm)"], under["tolerance of the width (± mm)"]) == ("0.35", "0.25")  # ISO 9013
    assert under["film"] == "one side"
    assert under["drawn: its face"] == "bottom"
    assert "8 × countersink on the drawn side by the workshop" in under["besides cutting"]
    assert rows["bracket"]["folded"].endswith(".step")
    assert all(row["made from"].startswith("revision ") for row in rows.values())


def test_the_service_makes_what_it_offers() -> None:
    by = service(laser={"offers": ("countersink",)})
    d = rich()
    d.service = by
    model = freeze(d)[0]
    rows = table(export_countersinks(job(model)))
    assert {(row["work"], row["by"]) for row in rows} == {
        ("countersink", "cutting service"), ("blind hole", "workshop"), ("counterbore", "workshop"), ("pocket", "workshop")}


def test_file_names_tell_what_is_ordered(model: DeskModel) -> None:
    written = export_dxf(job(model))
    names = sorted(Path(path).name for path in written.files)
    revision = job(model).revision
    assert names == [f"bracket_steel_1.5mm_1x_{revision}.dxf", f"tab-1_aluminium_3mm_2x_{revision}.dxf",
                     f"under_steel_1.5mm_1x_{revision}.dxf"]
    assert {row["file"] for row in table(export_plates(job(model)))} == set(names)
    unreleased = export_dxf(job(model, "3 findings"))
    assert all("_unreleased-" in path and b"UNRELEASED" in data for path, data in unreleased.files.items())
    ours = (export_dxf, export_plates, export_countersinks, export_folded)
    assert [e.for_building for e in EXPORTERS if e.export in ours] == [True] * 4


# ---- laws

def test_hostile_names_harm_nothing(tmp_path: Path) -> None:
    d = Desk("hostile")
    for n, name in enumerate(HOSTILE_NAMES):
        hole = Hole("top", (20, 20), 5, name=name)
        d.place(Plate(name, rectangle(100, 50 + n), 1.5, "steel", (hole,)), at=(0, 100 * n, 0))
    model = freeze(d)[0]
    for export in (export_dxf, export_plates, export_countersinks):
        written = export(job(model))
        put(tmp_path, written)
        written.read_back(tmp_path)
        assert all(re.fullmatch(r"(plates|documents)/[a-z0-9._-]+", path) for path in written.files)
    for path in (tmp_path / "plates").glob("*.dxf"):
        doc, found = ezdxf.recover.readfile(path)
        assert [*found.errors, *found.fixes, *doc.audit().errors] == []
        assert len(read_dxf(path.read_bytes()).shapes["CUT"]) == 2


def test_another_file_is_refused(model: DeskModel, tmp_path: Path) -> None:
    written = export_dxf(job(model))
    path, data = next(iter(written.files.items()))
    changes = [data.replace(b"CIRCLE", b"ELLIPS", 1), data[:-8], data.replace(b"  8\nCUT\n", b"  8\nMARK\n", 1),
               data.replace(b" 62\n-8\n", b" 62\n8\n"), data.replace(b"INSUNITS\n 70\n4", b"INSUNITS\n 70\n1"),
               re.sub(rb"( 40\n)(\d\.\d+)(\n  0\nCIRCLE)", rb"\g<1>9\g<2>\3", data, count=1)]
    for changed in changes:
        assert changed != data
        put(tmp_path, Written({**written.files, path: changed}, written.read_back))
        with pytest.raises(BuildFault):
            written.read_back(tmp_path)


SCRIPT = """
import sys
from tests.exporters.test_plates import export_dxf, freeze, job, rich
sys.stdout.buffer.write(b"".join(data for _, data in sorted(export_dxf(job(freeze(rich())[0])).files.items())))
"""


def test_bytes_are_equal_in_other_processes_and_from_the_cache(model: DeskModel, tmp_path: Path) -> None:
    cached = replace(job(model), cache=DiskCache(tmp_path / "c"))
    texts = [b"".join(data for _, data in sorted(export_dxf(cached).files.items())) for _ in range(2)]
    for seed in ("0", "4711"):
        texts.append(subprocess.run([sys.executable, "-c", SCRIPT], capture_output=True, check=True, cwd=tmp_path,
                                    env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)}).stdout)
    assert len(set(texts)) == 1
    assert len(texts[0]) > 30_000


def test_a_spoilt_template_is_made_again(model: DeskModel, tmp_path: Path) -> None:
    cache = DiskCache(tmp_path / "c")
    right = export_dxf(replace(job(model), cache=cache)).files
    for path in (tmp_path / "c").rglob("*.bin"):
        path.write_bytes(b"x")
    assert export_dxf(replace(job(model), cache=cache)).files == right


def test_nothing_is_sent_of_a_desk_without_metal() -> None:
    d = Desk("wood")
    d.place(Plate("board", rectangle(100, 50), 6, "birch ply"), at=(0, 0, 0))
    for export in (export_dxf, export_plates, export_countersinks):
        assert export(job(freeze(d)[0])).files == {}
    by = service(laser={"cuts": ("metal", "ply")})
    d.service = by
    assert len(export_dxf(job(freeze(d)[0])).files) == 1


def test_the_folded_step_is_the_part(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text(
        "from deskmodel import Desk, Flange, Hole, Plate, rectangle\n\n\ndef desk():\n    d = Desk('d')\n"
        "    d.place(Plate('bracket', rectangle(120, 60), 1.5, 'steel', (Hole('top', (30, 30), 5),),\n"
        "                  flanges=(Flange('back', 25),)), at=(10, 20, 30))\n    return d\n", encoding="utf-8")
    session = Session()
    made = session.make(session.check(session.load(load_script(tmp_path / "desk.py"))), tmp_path / "out", unreleased=True)
    (path,) = (made.folder / "plates").glob("*.step")
    shape = cq.importers.importStep(str(path)).val()
    box = shape.BoundingBox()
    assert (box.xmin, box.ymin, box.zmin, box.xmax, box.ymax, box.zmax) == pytest.approx((0, 0, 0, 120, 60, 25), abs=1e-5)
    # base 57 less its hole, leg 22, a quarter of a ring of 1.5 and 3
    assert shape.Volume() == pytest.approx((57 + 22) * 120 * 1.5 - math.pi * 6.25 * 1.5 + math.pi / 4 * (9 - 2.25) * 120)
    assert path.with_suffix(".dxf").exists()


def test_the_small_desk_is_written_whatever_the_order_of_its_script() -> None:
    from random import Random

    files = [export_dxf(job(freeze(small_desk(rng=rng))[0])).files for rng in (None, Random(3))]
    assert files[0] == files[1]
