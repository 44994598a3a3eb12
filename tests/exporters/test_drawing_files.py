"""Drawings, assembly, templates and cautions as files: read by another library, from one revision, the same every time."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from random import Random

import pypdf
import pytest

from deskmodel.errors import BuildFault
from deskmodel.exporters import EXPORTERS, ExportJob, Written
from deskmodel.exporters.assembly_pdf import export_assembly
from deskmodel.exporters.cautions_pdf import export_cautions
from deskmodel.exporters.member_drawings import export_member_drawings
from deskmodel.exporters.plate_drawings import export_plate_drawings
from deskmodel.exporters.templates_pdf import export_templates
from deskmodel.model import DeskModel, freeze
from deskmodel.plans.pieces import pieces
from tests.desks.small import HOSTILE_NAMES, small_desk

ALL: tuple[Callable[[ExportJob], Written], ...] = (export_member_drawings, export_plate_drawings, export_assembly,
                                                   export_templates, export_cautions)


def job(model: DeskModel, unreleased: str | None = None) -> ExportJob:
    return ExportJob(model, (), 0, unreleased, {}, {})


@pytest.fixture(scope="module")
def model() -> DeskModel:
    return freeze(small_desk())[0]


def put(folder: Path, written: Written) -> None:
    for name, data in written.files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)


@pytest.mark.parametrize("export", ALL)
def test_files(export: Callable[[ExportJob], Written], model: DeskModel, tmp_path: Path) -> None:
    written = export(job(model))
    assert written.files
    put(tmp_path, written)
    written.read_back(tmp_path)
    again = export(job(freeze(small_desk(rng=Random(3)))[0]))
    assert again.files == written.files
    for data in written.files.values():
        for page in pypdf.PdfReader(io.BytesIO(data)).pages:
            assert job(model).revision in page.extract_text()
    name = min(written.files)
    (tmp_path / name).write_bytes(written.files[name][:-400])
    with pytest.raises(BuildFault):
        written.read_back(tmp_path)


@pytest.mark.parametrize("export", ALL)
def test_unreleased_on_every_page(export: Callable[[ExportJob], Written], model: DeskModel) -> None:
    assert next(e for e in EXPORTERS if e.export is export).for_building
    for data in export(job(model, "3 findings")).files.values():
        for page in pypdf.PdfReader(io.BytesIO(data)).pages:
            assert "UNRELEASED" in page.extract_text()


def test_a_file_for_each_distinct_piece(model: DeskModel) -> None:
    there = {*export_member_drawings(job(model)).files, *export_plate_drawings(job(model)).files}
    wanted = {piece.number.lower() for piece in pieces(model) if piece.number[0] in "MPS"}
    assert {Path(name).name.split("-")[0] for name in there} == wanted
    assert len(there) == len(wanted)


@pytest.mark.parametrize("name", HOSTILE_NAMES[:6])
def test_names_stay_in_their_folders(name: str, tmp_path: Path) -> None:
    model = freeze(small_desk(lambda key: f"{name}{key}{name}"))[0]
    for export in ALL:
        written = export(job(model))
        for path in written.files:
            assert ".." not in path
            assert path.count("/") == 1
        put(tmp_path, written)
        written.read_back(tmp_path)
