"""Cut list, operation sheets, labels, stock layout and shopping list as files: readable, whole, of one desk, harmless."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest

from deskmodel.drawing import Drawing, Text
from deskmodel.errors import BuildFault
from deskmodel.exporters import EXPORTERS, ExportJob, Written
from deskmodel.exporters._pages import read_pages
from deskmodel.exporters.cut_list_csv import export_cut_list
from deskmodel.exporters.cut_list_pdf import cut_list_pages, export_cut_list_pdf
from deskmodel.exporters.labels import export_labels, label_sheets
from deskmodel.exporters.operation_sheets import export_operation_sheets, operation_pages
from deskmodel.exporters.shopping_csv import export_shopping_csv
from deskmodel.exporters.shopping_pdf import export_shopping_pdf, shopping_pages
from deskmodel.exporters.stock_layout import export_stock_layout, stock_pages
from deskmodel.model import DeskModel, freeze, read_json
from deskmodel.plans import cut_list
from deskmodel.plans.pieces import family_of
from deskmodel.session.run import Session
from deskmodel.session.script import load_script
from deskmodel.stock import Stock, Timber, read_stock
from tests.desks.small import HOSTILE_NAMES, small_desk
from tests.drawing.test_views import text_box

ROOT = Path(__file__).parent.parent.parent
PAGES: dict[str, Callable[[ExportJob], tuple[Drawing, ...]]] = {
    "cut list": cut_list_pages, "operation sheets": operation_pages, "labels": label_sheets, "stock layout": stock_pages,
    "shopping list": shopping_pages}
TABLES = (export_cut_list, export_shopping_csv)
DOCUMENTS = (*TABLES, export_cut_list_pdf, export_operation_sheets, export_labels, export_stock_layout, export_shopping_pdf)
NAMES: dict[str, Callable[[str], str]] = {
    "short": lambda name: name, "long": lambda name: f"{name} that has a very long name because somebody could not stop",
    "one word": lambda name: f"{name.replace(' ', '')}{'x' * 200}",
    "hostile": lambda name: f"={name} \"q\" <script>alert('1')</script>\n桌"}


@cache
def duty(width: str = "1480") -> DeskModel:
    return read_json(load_script(ROOT / "parts" / "desk.py", texts={"width": width}).model)


@cache
def job(width: str = "1480") -> ExportJob:
    return ExportJob(duty(width), (), 0, None, {}, {}, stock=read_stock(ROOT / "parts" / "stock.toml"))


def small(names: Callable[[str], str] = lambda name: name, **more: object) -> ExportJob:
    return ExportJob(freeze(small_desk(names))[0], (), 0, more.pop("unreleased", None), {}, {}, **more)  # type: ignore[arg-type]


def put(folder: Path, written: Written) -> None:
    for name, data in written.files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)


def rows_of(written: Written) -> list[dict[str, str]]:
    data, = written.files.values()
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


# ---- pages

def check_pages(pages: tuple[Drawing, ...]) -> None:
    """Everything on the paper, nothing under 2 mm, no lettering over other lettering."""
    for page in pages:
        wide, high = page.size
        texts = [record for record in page.records if isinstance(record, Text) and record.text.strip()]
        boxes = [text_box(text) for text in texts]
        for text, (x0, y0, x1, y1) in zip(texts, boxes, strict=True):
            assert text.height >= 2.0, text
            assert min(x0, y0) >= 5, text
            assert x1 <= wide - 5, text
            assert y1 <= high - 5, text
        for (a, p), (b, q) in combinations(zip(texts, boxes, strict=True), 2):
            apart = p[2] <= q[0] + 0.05 or q[2] <= p[0] + 0.05 or p[3] <= q[1] + 0.05 or q[3] <= p[1] + 0.05
            assert apart, (a, b)


@pytest.mark.parametrize("document", PAGES)
@pytest.mark.parametrize("names", NAMES)
def test_pages_are_readable_whatever_things_are_called(document: str, names: str) -> None:
    check_pages(PAGES[document](small(NAMES[names])))


@pytest.mark.parametrize("document", PAGES)
def test_the_pages_of_the_duty_desk_are_readable(document: str) -> None:
    pages = PAGES[document](job())
    check_pages(pages)
    assert len(pages) > 1


@pytest.mark.parametrize("document", PAGES)
def test_a_desk_without_timber_has_its_pages_too(document: str) -> None:
    from deskmodel import Desk, Plate, rectangle
    d = Desk("plate")
    d.place(Plate("p", rectangle(100, 50), 2, "steel"), at=(0, 0, 0))
    pages = PAGES[document](ExportJob(freeze(d)[0], (), 0, None, {}, {}))
    check_pages(pages)
    assert pages


@pytest.mark.parametrize("export", DOCUMENTS)
def test_files_are_read_back_and_another_one_is_refused(export: Callable[[ExportJob], Written], tmp_path: Path) -> None:
    written = export(small())
    put(tmp_path, written)
    written.read_back(tmp_path)
    other = export(replace(small(), unreleased="3 findings"))
    assert set(other.files) == set(written.files)
    assert other.files != written.files
    put(tmp_path, other)
    with pytest.raises(BuildFault):
        written.read_back(tmp_path)
    assert export(small()).files == written.files
    assert next(each for each in EXPORTERS if each.export is export).for_building


# ---- tables

@pytest.mark.parametrize("export", TABLES)
@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_no_cell_is_a_formula(export: Callable[[ExportJob], Written], name: str) -> None:
    data, = export(small(lambda key: f"{name[:250]}{key}")).files.values()
    cells = [cell for row in csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")) for cell in row]
    assert all(cell.isprintable() for cell in cells)
    assert not [cell for cell in cells if cell[:1] in tuple("=+-@") and cell and not re.fullmatch(r"-?[0-9.]+", cell)]


def test_rows_of_the_cut_list() -> None:
    rows = rows_of(export_cut_list(small()))
    assert next(row["row"] for row in rows if row["piece"] == "M1") == "piece"
    left = next(row for row in rows if row["row"] == "notch")
    # the notch of the left end: 150 to 190 from its datum end, 12 deep in the face edge, over its whole width
    assert {key: left[key] for key in ("part", "stage", "face", "x from (mm)", "x to (mm)", "x measured from", "y from (mm)",
                                       "y to (mm)", "y measured from", "depth (mm)", "right through")} == {
        "part": "left", "stage": "bevel and notch", "face": "face edge", "x from (mm)": "150", "x to (mm)": "190",
        "x measured from": "datum end", "y from (mm)": "0", "y to (mm)": "22", "y measured from": "face side",
        "depth (mm)": "12", "right through": "no"}
    front = next(row for row in rows if row["row"] == "piece" and row["part"] == "front")
    assert [front[f"{what} {side} (mm)"] for what in ("finished", "rough") for side in ("length", "width", "thickness")] == [
        "600", "22", "60", "620", "25", "64"]
    assert front["order of work"].startswith("plane, crosscut, drill (4 holes), bevel and notch, glue-up, spot inserts")
    glued = [row for row in rows if row["row"] == "dowel joint" and row["part"] == "left"]
    assert {(row["face"], row["other part"], row["other face"], row["remark"]) for row in glued} == {
        ("datum end", "front", "back side", "2 × dowel 8 × 40"), ("far end", "back", "face side", "2 × dowel 8 × 40")}


def test_the_total_says_what_is_not_in_it() -> None:
    stock = Stock("test", "EUR", (Timber("board", "ash", 2500, 180, 27, None, 30.0, False),))
    rows = rows_of(export_shopping_csv(small(stock=stock)))
    known = [row for row in rows if row["section"] == "timber"]
    assert [row["price"] for row in known] == ["30"]
    assert all(row["price"] == "unknown" for row in rows if row["section"] not in ("timber", "total"))
    assert (rows[-1]["price"], rows[-1]["currency"]) == ("30", "EUR")
    assert rows[-1]["detail"] == f"{len(rows) - 2} lines without a price are not in it"
    assert all(f"stock list {stock.digest}" in row["made from"] for row in rows)


# ---- one desk in all of them

def test_the_same_parts_everywhere(tmp_path: Path) -> None:
    """Cut list, shopping list, model.json and STEP of the radio shelf, as `make` writes them."""
    session = Session()
    made = session.make(session.check(session.load(load_script(ROOT / "deskmodel" / "templates" / "shelf" / "desk.py"))),
                        tmp_path)
    session.close()
    model = read_json(made.files["model.json"].decode())
    names = Counter(placed.name for placed in model.parts)
    step = made.files["model.step"].decode("ascii")
    assert Counter(re.findall(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('[^']*','([^']*)'", step)) == names

    def table(name: str) -> list[dict[str, str]]:
        return list(csv.DictReader(io.StringIO(made.files[name].decode("utf-8-sig"), newline="")))

    bought = [part for row in table("documents/shopping-list.csv") for part in row["parts"].split("; ") if part]
    assert Counter(bought) == names
    cut = [part for row in table("documents/cut-list.csv") if row["row"] == "piece" for part in row["part"].split("; ")]
    assert sorted(cut) == sorted(placed.name for placed in model.parts if family_of(placed) in ("M", "S", "V"))
    drilled = {part for row in table("documents/drilling.csv") for part in row["part"].split("; ")}
    assert drilled <= names.keys()
    labelled = "".join(page.text for page in read_pages(made.files["documents/labels.pdf"]))
    sheets = "".join(page.text for page in read_pages(made.files["documents/operation-sheets.pdf"]))
    for name in cut:
        assert name in labelled
    for placed in model.parts:
        if family_of(placed) == "M":
            assert placed.name in sheets


@pytest.mark.parametrize("export", DOCUMENTS)
def test_one_changed_dimension_shows_in_every_document(export: Callable[[ExportJob], Written]) -> None:
    """The desk 10 wider: front and back are 1490 for 1480, rough 1510 for 1500, and every paper says so."""
    def numbers(width: str) -> Counter[str]:
        files = export(job(width)).files
        text = ""
        for name, data in sorted(files.items()):
            if name.endswith(".pdf"):
                text += " ".join(page.text for page in read_pages(data))
            elif name.endswith((".csv", ".svg")):
                text += data.decode("utf-8-sig")
        return Counter(re.findall(r"(?<![0-9.])[0-9]{4}(?![0-9.])", text))

    before, after = numbers("1480"), numbers("1490")
    old, new = ("1500", "1510") if export is export_stock_layout else ("1480", "1490")
    assert before[old] > 0
    assert after[old] < before[old]
    assert after[new] > before[new]


def test_what_is_sawn_is_what_the_cut_list_says() -> None:
    """Rough sizes told in the stock layout are those of the cut list, piece by piece."""
    cuts = {name: row for row in cut_list(duty()).rows for name in row.piece.names}
    text = " ".join(" ".join(page.text.split()) for page in read_pages(export_stock_layout(job()).files[
        "documents/stock-layout.pdf"]))
    for name in ("front", "cross AB", "rail A4", "C1 cover backing"):
        row = cuts[name]
        length = max(row.rough[:2]) if row.piece.number[0] == "S" else row.rough[0]
        assert re.search(rf"{row.piece.number} {name} [0-9× ]*{length:g}", text), name


def test_jigs_are_named_where_they_drill_and_their_bushes_are_bought() -> None:
    uses = job().jigs.uses
    assert uses
    text = {page: " ".join(" ".join(t.text for t in each.records if isinstance(t, Text)).split())
            for page, each in enumerate(operation_pages(job()))}
    told = " ".join(text.values())
    for use in uses:
        assert f"jig {job().jigs.jig(use.jig).label}, stop {use.depth.tip_stop:.4g} from the tip" in told
    cross = next(words for words in text.values() if "M7 cross AB" in words)
    end = next(use for use in uses if use.member == "cross AB" and use.place == "datum end")
    assert f"jig {end.jig}, stop {end.depth.tip_stop:.4g} from the tip" in cross
    bought = {line.item: line.quantity for line in job().shopping.lines}
    needed = Counter(jig.bush.text for jig in job().jigs.jigs for _ in jig.axes)
    assert needed
    assert all(bought[item] == count for item, count in needed.items())
