"""The files of jigs as other readers see them: meshes, exact solids, tables, the contract, names that people give."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import trimesh

from deskmodel import Desk, DowelJoint
from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault
from deskmodel.exporters import EXPORTERS, ExportJob, Written
from deskmodel.exporters._printed import CHORD
from deskmodel.exporters._threemf import read_3mf, threemf_bytes
from deskmodel.exporters.jig_3mf import export_jig_3mf
from deskmodel.exporters.jig_step import export_jig_step
from deskmodel.exporters.jig_stl import export_jig_stl
from deskmodel.exporters.jigs_csv import export_jigs_csv
from deskmodel.exporters.jigs_json import export_jigs_json
from deskmodel.exporters.member_step import export_member_step
from deskmodel.exporters.slop_csv import export_slop
from deskmodel.exporters.tubes_csv import export_tubes
from deskmodel.fit import FitEngine
from deskmodel.frames import Pose
from deskmodel.jigs import likely
from deskmodel.jigs.slop import jig_slop
from deskmodel.meshes import ShapeStore
from deskmodel.model import DeskModel
from deskmodel.session.jigs import drilled_shapes, jig_shapes
from deskmodel.session.shapes import export_shape, step_of
from deskmodel.solids.step_file import read_step
from deskmodel.workshop import Saw
from tests.desks.build import frozen, rail
from tests.desks.small import HOSTILE_NAMES
from tests.jigs.desks import DESKS

ALL: tuple[Callable[[ExportJob], Written], ...] = (export_jig_step, export_jig_stl, export_jig_3mf, export_member_step,
                                                   export_jigs_json, export_jigs_csv, export_tubes, export_slop)


def job_of(model: DeskModel, engine: FitEngine, unreleased: str | None = None) -> ExportJob:
    job = ExportJob(model, (), 0, unreleased, {}, {})
    jigs = {number: export_shape(engine, shape) for number, shape in jig_shapes(job.jig_bodies).items()}
    drilled = {name: step_of(engine, shape) for name, shape in drilled_shapes(model, job.jigs).items()}
    return replace(job, jig_shapes=jigs, drilled=drilled)


@pytest.fixture(scope="module")
def engine(cache: Path) -> FitEngine:
    return FitEngine(ShapeStore(DiskCache(cache)))


@pytest.fixture(scope="module")
def job(engine: FitEngine) -> ExportJob:
    return job_of(frozen(DESKS["22"]()), engine)


@pytest.fixture(scope="module")
def files(job: ExportJob) -> Mapping[str, bytes]:
    return {path: data for export in ALL for path, data in export(job).files.items()}


def table(files: Mapping[str, bytes], name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(files[name].decode("utf-8-sig"), newline="")))


def put(folder: Path, files: Mapping[str, bytes]) -> None:
    for path, data in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(data)


def test_what_is_written_is_read_back(job: ExportJob, files: Mapping[str, bytes], tmp_path: Path) -> None:
    put(tmp_path, files)
    for export in ALL:
        export(job).read_back(tmp_path)
    assert sorted(files) == ["documents/jig-slop.csv", "documents/jigs.csv", "documents/tubes.csv", "jigs/j1-end.3mf",
                             "jigs/j1-end.step", "jigs/j1-end.stl", "jigs/j2-face.3mf", "jigs/j2-face.step",
                             "jigs/j2-face.stl", "jigs/jigs.json", "members/back.step", "members/end.step",
                             "members/front.step"]
    assert all(each.for_building for each in EXPORTERS if each.export in ALL)
    assert len([each for each in EXPORTERS if each.export in ALL]) == len(ALL)


@pytest.mark.parametrize("export", [export_jig_stl, export_jig_3mf, export_jigs_json, export_jigs_csv, export_tubes,
                                    export_slop, export_jig_step])
def test_another_file_is_not_taken_for_it(export: Callable[[ExportJob], Written], job: ExportJob, tmp_path: Path) -> None:
    written = export(job)
    for path, data in written.files.items():
        text = path.endswith((".json", ".csv", ".step"))
        damaged = data[:-60]
        if text:
            damaged = data.replace(b"J1", b"J7").replace(b"drill 8", b"drill 9").replace(b"8.02", b"8.03")
        put(tmp_path, written.files)
        put(tmp_path, {path: damaged})
        assert damaged != data
        with pytest.raises(BuildFault):
            written.read_back(tmp_path)
        break


def test_an_stl_of_another_size_is_refused(job: ExportJob, tmp_path: Path) -> None:
    """Closed and one piece, but not the solid of the STEP file: a millimetre of scale is enough."""
    shape = job.jig_shapes["J2"]
    larger = replace_shape(job, "J2", shape.vertices * 1.002)
    put(tmp_path, export_jig_stl(larger).files)
    with pytest.raises(BuildFault, match="the solid"):
        export_jig_stl(job).read_back(tmp_path)


def replace_shape(job: ExportJob, number: str, vertices: np.ndarray) -> ExportJob:
    shapes = dict(job.jig_shapes)
    old = shapes[number]
    shapes[number] = type(old)(vertices, old.triangles, old.faces, old.step)
    return replace(job, jig_shapes=shapes)


@pytest.mark.parametrize("name", ["jigs/j1-end", "jigs/j2-face"])
def test_meshes_and_solid_are_one_body(name: str, files: Mapping[str, bytes], tmp_path: Path) -> None:
    put(tmp_path, files)
    content = read_step(tmp_path / f"{name}.step")
    assert len(content.occurrences) == len(content.products) == 1
    assert content.occurrences[0].pose == Pose()
    solid = content.products[0]
    for ending in ("stl", "3mf"):
        mesh = trimesh.load(io.BytesIO(files[f"{name}.{ending}"]), file_type=ending, force="mesh")
        mesh.merge_vertices()
        assert mesh.is_watertight
        assert mesh.is_winding_consistent
        assert mesh.body_count == 1
        assert mesh.volume > 0
        assert abs(mesh.volume - solid.volume) < CHORD * mesh.area
        assert mesh.volume == pytest.approx(solid.volume, rel=2e-4)
        assert mesh.bounds[0] == pytest.approx((0, 0, 0), abs=1e-5)
        assert mesh.bounds[1] == pytest.approx(solid.high, abs=CHORD)


def test_3mf_by_its_rules(files: Mapping[str, bytes]) -> None:
    """3MF Core Specification 1.3: an OPC archive with content types, one relationship to the model, millimetres; here the
    same bytes on every run."""
    data = files["jigs/j1-end.3mf"]
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.namelist() == ["[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"]
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        relation, = ElementTree.fromstring(archive.read("_rels/.rels"))
        assert relation.get("Target") == "/3D/3dmodel.model"
        assert archive.read("3D/3dmodel.model").count(b'unit="millimeter"') == 1
    mesh = read_3mf(data)
    assert threemf_bytes(mesh.name, mesh.remark, mesh.vertices, mesh.triangles) == data
    hostile = threemf_bytes('a "b" <c> & \n', "x", mesh.vertices, mesh.triangles)
    assert read_3mf(hostile).name == 'a "b" <c> &  '
    for broken in (b"", data[:200], data.replace(b"3dmodel.model", b"4dmodel.model")):
        with pytest.raises(BuildFault):
            read_3mf(broken)


def test_the_contract(job: ExportJob, files: Mapping[str, bytes]) -> None:
    """Every key that ``deskmodel.jigs`` promises, and what it says of a jig and of a use."""
    record = json.loads(files["jigs/jigs.json"])
    assert set(record) == {"schema", "revision", "unreleased", "jigs", "uses", "not_made"}
    assert (record["schema"], record["revision"], record["unreleased"]) == (1, job.revision, None)
    end, face = record["jigs"]
    for each in (end, face):
        assert set(each) == {"number", "kind", "hand", "stl", "step", "3mf", "seat_from_print", "drill", "bit", "bush",
                             "seat_diameter", "axes", "guide", "gap", "above", "web", "lip", "far_sight", "fence", "depths"}
        assert {each["stl"], each["step"], each["3mf"]} <= set(files)
        turn = np.array(each["seat_from_print"]["rotation"])
        assert turn @ turn.T == pytest.approx(np.eye(3))
        assert np.linalg.det(turn) == pytest.approx(1)
    assert (end["number"], end["kind"], end["drill"], end["gap"], end["web"]) == ("J1", "end", 8, 4, 24)
    assert end["depths"] == [{"depth": 26, "stop": 46, "through": False}]
    assert (face["number"], face["kind"], face["lip"], face["far_sight"]) == ("J2", "face", "face edge", 22)
    for use in record["uses"]:
        assert set(use) == {"jig", "member", "quantity", "members", "file", "place", "mark", "towards", "sight", "depth",
                            "stop", "through", "holes", "joint", "turned_over"}
        assert use["file"] in files
        assert use["quantity"] == len(use["members"])
    at_back = next(use for use in record["uses"] if use["member"] == "back")
    assert (at_back["place"], at_back["mark"], at_back["towards"], at_back["turned_over"], at_back["joint"]) == (
        "face side", 122, "datum end", False, "end to back")


def test_seat_from_print(job: ExportJob) -> None:
    """The seat of a bush is where the contract says: a ring of corners round its axis, in the frame of the print."""
    for jig in job.jigs.jigs:
        back = job.jig_bodies[jig.number].seat_from_print.inverse()
        vertices = job.jig_shapes[jig.number].vertices
        for u, v in jig.axes:
            foot, way = np.array(back.apply((u, v, 0))), np.array(back.turn((0, 0, 1)))
            radius = np.linalg.norm(np.cross(vertices - foot, way), axis=1)
            assert (np.abs(radius - jig.seat_diameter / 2) < 1e-6).sum() > 40


def test_members_as_they_are_drilled(job: ExportJob, files: Mapping[str, bytes], tmp_path: Path) -> None:
    """In their own frame; blank less holes: 4 of 8 × 26 and their points of 118° are gone from the end."""
    put(tmp_path, files)
    content = read_step(tmp_path / "members/end.step")
    point = np.pi * 4**2 * (4 / np.tan(np.radians(59))) / 3
    assert content.products[0].volume == pytest.approx(200 * 22 * 60 - 4 * (np.pi * 4**2 * 26 + point))
    assert content.products[0].low == pytest.approx((0, 0, 0), abs=1e-6)
    assert content.products[0].high == pytest.approx((200, 22, 60), abs=1e-6)


def test_tables(job: ExportJob, files: Mapping[str, bytes]) -> None:
    rows = table(files, "documents/jigs.csv")
    assert len(rows) == len(job.jigs.uses) == 4
    first = rows[0]
    assert (first["jig"], first["member"], first["place"], first["depth (mm)"]) == ("J1", "end", "datum end", "26")
    assert first["stop to the rim of the bit (mm)"] == "46"
    assert first["stop to the tip of the bit (mm)"] == "48.403"
    assert first["widest stop (mm)"] == "16"
    assert {row["made from"] for row in rows} == {f"revision {job.revision}"}
    tube, = table(files, "documents/tubes.csv")
    # two bushes in each of two jigs, 16 long; the saw of the default workshop takes 3.2 between them
    assert (tube["count"], tube["tube for all of them (mm)"]) == ("4", f"{4 * 16 + 3 * 3.2:g}")
    slop = table(files, "documents/jig-slop.csv")
    told = {row["cause"]: row["± (mm)"] for row in slop if row["what is off"].startswith("distance")}
    jigs = job.jigs.jigs
    assert float(told["all together, likely"]) == pytest.approx(likely(jig_slop(*jigs, (26, 16)).pair), abs=1e-3)


def test_without_a_saw(engine: FitEngine, job: ExportJob) -> None:
    bare = replace(job, model=replace(job.model, workshop=replace(job.model.workshop, saw=None)))
    tube, = table(export_tubes(bare).files, "documents/tubes.csv")
    assert (tube["kerf of the saw (mm)"], tube["tube for all of them (mm)"]) == ("", "")
    wide = replace(job, model=replace(job.model, workshop=replace(job.model.workshop, saw=Saw(1.0, (0, 45), "test"))))
    tube, = table(export_tubes(wide).files, "documents/tubes.csv")
    assert tube["tube for all of them (mm)"] == "67"


def test_the_same_bytes_again_and_from_an_empty_cache(files: Mapping[str, bytes], tmp_path: Path) -> None:
    again = job_of(frozen(DESKS["22"]()), FitEngine(ShapeStore(DiskCache(tmp_path))))
    for export in ALL:
        for path, data in export(again).files.items():
            assert data == files[path], path


def test_unreleased_says_so_everywhere(engine: FitEngine, job: ExportJob) -> None:
    test = replace(job, unreleased="1 finding stops the build")
    assert "NOT RELEASED" in " ".join(test.jig_bodies["J1"].lettered)
    assert b"UNRELEASED" in export_jig_stl(test).files["jigs/j1-end.stl"][:80]
    assert read_3mf(export_jig_3mf(test).files["jigs/j1-end.3mf"]).remark.startswith("UNRELEASED")
    assert b"UNRELEASED" in export_jig_step(test).files["jigs/j1-end.step"]
    assert b"UNRELEASED" in export_member_step(test).files["members/end.step"]
    assert json.loads(export_jigs_json(test).files["jigs/jigs.json"])["unreleased"] == "1 finding stops the build"
    for export in (export_jigs_csv, export_tubes, export_slop):
        assert all(b"UNRELEASED" in data for data in export(test).files.values())


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_names_that_people_give(name: str) -> None:
    """In tables and JSON; file names come from ``slugs``."""
    d = Desk("hostile")
    front, end = rail(d, name, 300, (0, 0, 0)), rail(d, f"{name[:200]}2", 200, (100, 22, 0), "y")
    d.join(DowelJoint(end, front))
    job = ExportJob(frozen(d), (), 0, None, {}, {})
    record = json.loads(export_jigs_json(job).files["jigs/jigs.json"])
    assert {use["member"] for use in record["uses"]} == {name, f"{name[:200]}2"}
    assert all(use["file"].startswith("members/") and ".." not in use["file"] for use in record["uses"])
    for row in table(export_jigs_csv(job).files, "documents/jigs.csv"):
        assert not any(cell.startswith(("=", "+", "@")) for cell in row.values())


def test_a_desk_without_dowels(tmp_path: Path) -> None:
    d = Desk("plain")
    rail(d, "a", 300, (0, 0, 0))
    job = ExportJob(frozen(d), (), 0, None, {}, {})
    for export in ALL:
        written = export(job)
        put(tmp_path, written.files)
        written.read_back(tmp_path)
    assert json.loads((tmp_path / "jigs/jigs.json").read_text())["jigs"] == []
