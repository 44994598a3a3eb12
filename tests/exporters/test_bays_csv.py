"""The bay table as a file: what a spreadsheet makes of it, and that another file is not taken for it."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from deskmodel.errors import BuildFault
from deskmodel.exporters import ExportJob
from deskmodel.exporters._csv import csv_bytes, csv_rows, defused
from deskmodel.exporters.bays_csv import NAME, export_bays
from deskmodel.exporters.plan_picture import export_plan
from deskmodel.exporters.section_picture import export_section
from deskmodel.model import DeskModel, freeze
from tests.desks.many_bays import BAYS, many_bays


def job(model: DeskModel, unreleased: str | None = None) -> ExportJob:
    return ExportJob(model, (), 0, unreleased, {}, {})


@pytest.mark.parametrize("text", ["=cmd|' /C calc'!A0", "+1", "-1", "@SUM(A1)", " =1", "\t=1", "\r\n=1", "＝1"])
def test_no_cell_is_a_formula(text: str) -> None:
    cell = defused(text)
    assert cell.startswith("'")
    assert cell.isprintable()
    assert csv_rows(csv_bytes([[text, -1.5]])) == [[cell, "-1.5"]]  # a number below 0 stays a number


@pytest.mark.parametrize("text", ["B2", "a, b", "it's \"quoted\"", "a;b", "1/2", "Ø 8 ½", "a=b"])
def test_other_texts_stay_as_they_are(text: str) -> None:
    assert csv_rows(csv_bytes([[text, None, 2.0, 1 / 3]])) == [[text, "", "2", "0.333"]]


def put(folder: Path, files: dict[str, bytes]) -> None:
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)


def test_a_row_for_each_bay(tmp_path: Path) -> None:
    model = freeze(many_bays())[0]
    written = export_bays(job(model, "3 findings"))
    put(tmp_path, dict(written.files))
    written.read_back(tmp_path)
    rows = list(csv.DictReader(io.StringIO(written.files[NAME].decode("utf-8-sig"), newline="")))
    assert [row["bay"] for row in rows] == sorted(BAYS)
    b2 = next(row for row in rows if row["bay"] == "B2")
    assert (b2["length x (mm)"], b2["width y (mm)"], b2["height z (mm)"]) == ("184", "188", "54.35")
    assert (b2["holds"], b2["room above (mm)"], b2["ceiling is"]) == ("Mini-ITX board", "3.85", "cover B2 backing")
    assert all(row["made from"].startswith("UNRELEASED revision ") for row in rows)


@pytest.mark.parametrize("export", [export_bays, export_plan, export_section], ids=lambda e: e.__name__)
def test_a_file_that_is_not_what_was_written_is_refused(tmp_path: Path, export: object) -> None:
    model = freeze(many_bays(lambda name: f"=<{name}>&\"'"))[0]
    written = export(job(model))
    assert export(job(model)).files == written.files
    put(tmp_path, dict(written.files))
    written.read_back(tmp_path)
    for name, data in written.files.items():
        for wrong in (data[:len(data) // 2], b""):
            (tmp_path / name).write_bytes(wrong)
            with pytest.raises(BuildFault):
                written.read_back(tmp_path)
        (tmp_path / name).write_bytes(data)
