"""The drilling schedule as a file: what a spreadsheet makes of it, and that another file is not taken for it."""

from __future__ import annotations

import csv
import io
from collections import Counter
from pathlib import Path
from random import Random

import pytest

from deskmodel.errors import BuildFault
from deskmodel.exporters import EXPORTERS, ExportJob
from deskmodel.exporters.drilling_csv import NAME, export_drilling
from deskmodel.model import DeskModel, freeze
from deskmodel.plans import drilling_schedule
from tests.desks.hole_not_drillable import FAILING, FROM_BOTH_FACES, NO_BIT, TOO_SMALL
from tests.desks.small import small_desk


def job(model: DeskModel, unreleased: str | None = None) -> ExportJob:
    return ExportJob(model, (), 0, unreleased, {}, {})


def table(model: DeskModel) -> list[dict[str, str]]:
    text = export_drilling(job(model)).files[NAME].decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def put(folder: Path, data: bytes) -> None:
    (folder / NAME).parent.mkdir(parents=True, exist_ok=True)
    (folder / NAME).write_bytes(data)


def test_a_row_for_each_hole() -> None:
    model = freeze(small_desk())[0]
    rows = table(model)
    assert len(rows) == len(drilling_schedule(model).rows)
    # the left end, 356 long, meets the front with its datum end: 26 deep, 26 + 4 / tan 59° to the point
    row = next(row for row in rows if row["joint"] == "left to front" and row["part"] == "left" and row["y (mm)"] == "45")
    assert {key: row[key] for key in row if key not in ("made from", "tool", "bush")} == {
        "piece": "M3", "part": "left", "quantity": "1", "material and size (mm)": "ash 22 × 60 × 356",
        "marks in the desk": "face side right, face edge up, datum end front", "stage": "drill", "face": "datum end",
        "x (mm)": "11", "x from": "face side", "y (mm)": "45", "y from": "face edge", "diameter (mm)": "8",
        "right through": "no", "depth to the shoulder (mm)": "26", "depth to the point (mm)": "28.403",
        "counterbore diameter (mm)": "", "counterbore depth (mm)": "", "countersink diameter (mm)": "",
        "countersink angle (°)": "", "purpose": "dowel", "counterbore tool": "", "countersink tool": "",
        "joint": "left to front", "remark": ""}
    assert row["tool"] == "brad-point bit 8"
    assert row["bush"].startswith("bush 8.02 ×")
    bore = next(row for row in rows if row["diameter (mm)"] == "20")
    assert (bore["right through"], bore["depth to the shoulder (mm)"], bore["depth to the point (mm)"]) == ("yes", "22", "")
    assert all(row["remark"] for row in rows if row["purpose"] == "insert")


def test_it_is_for_building_and_says_when_it_is_not_released() -> None:
    assert next(e for e in EXPORTERS if e.export is export_drilling).for_building
    text = export_drilling(job(freeze(small_desk())[0], "3 findings")).files[NAME].decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert all(row["made from"].startswith("UNRELEASED revision ") for row in rows)


def test_what_the_shop_cannot_drill_is_written_so() -> None:
    def tools(case: object) -> Counter[str]:
        return Counter(row["tool"] for row in table(freeze(case.build())[0]))

    assert tools(FAILING) == {"twist bit 8, too short": 2, "twist bit 8": 2}
    assert tools(NO_BIT) == {"none for 8": 4}
    assert tools(FROM_BOTH_FACES)["Forstner bit 20, from both faces"] == 1
    rows = table(freeze(TOO_SMALL.build())[0])
    assert Counter(row["countersink tool"] for row in rows) == {"none for 8.96": 2, "": 2}


@pytest.mark.parametrize("seed", range(3))
def test_bytes_are_equal_whatever_the_order_of_the_script(seed: int) -> None:
    files = [export_drilling(job(freeze(small_desk(rng=rng))[0])).files for rng in (None, Random(seed))]
    assert files[0] == files[1]


def test_no_cell_is_a_formula_and_another_file_is_refused(tmp_path: Path) -> None:
    model = freeze(small_desk(lambda name: f"=cmd|'{name}'!A0\n<b>"))[0]
    written = export_drilling(job(model))
    put(tmp_path, written.files[NAME])
    written.read_back(tmp_path)
    rows = table(model)
    assert all(cell[:1] not in "=+-@" or not cell or cell[1:2].isdigit() for row in rows for cell in row.values())
    assert any(row["part"].startswith("'=cmd") for row in rows)
    assert all(cell.isprintable() for row in rows for cell in row.values())
    put(tmp_path, written.files[NAME].replace(b"26", b"62"))
    with pytest.raises(BuildFault):
        written.read_back(tmp_path)
