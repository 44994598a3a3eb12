"""One changed dimension shows in every paper that it concerns, by the number by which it was changed, and in no other: a
small desk made three times, as it is, 3 mm wider, and with one bore 3 mm aside. Read as strangers read: pypdf, csv, ezdxf,
the kernel's STEP reader. Pictures, STL, 3MF and GLB are not asked: the revision is on or in each of them."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import cadquery as cq
import ezdxf
import pytest
from pypdf import PdfReader

from tests.cli.commands import command, environment
from tests.rebuild.step import named_solids

pytestmark = pytest.mark.slow

DESK = Path(__file__).parent / "changing_desk.txt"
WIDER, ASIDE = 3.0, 3.0
TOLD = (".pdf", ".csv", ".svg", ".dxf", ".json")

BY_WIDTH = {
    "documents/assembly.pdf", "documents/bays.csv", "documents/cut-list.csv", "documents/cut-list.pdf",
    "documents/drilling.csv", "documents/glass-order.pdf", "documents/glass.csv", "documents/jigs.csv",
    "documents/labels.pdf", "documents/operation-sheets.pdf", "documents/plan.svg", "documents/plates.csv",
    "documents/section.svg", "documents/shopping-list.csv", "documents/shopping-list.pdf", "documents/stock-layout.pdf",
    "documents/stock-layout/ash.svg", "documents/stock-layout/birch-ply-6-mm.svg", "findings.json", "jigs/j2-face.pdf",
    "jigs/jigs.json", "manifest.json", "members/m1-back.pdf", "members/m2-front.pdf", "model.json",
    "plates/countersinks.csv", "plates/p1-pane.pdf", "plates/p2-under-plate.pdf", "plates/s1-board.pdf",
    "plates/under-plate_steel_1.5mm_1x_REVISION.dxf", "templates/m2-front.pdf", "templates/story-stick-back-face-side.svg",
    "templates/story-stick-back.pdf", "templates/story-stick-front-back-side.svg", "templates/story-stick-front.pdf"}
BY_BORE = {
    "documents/drilling.csv", "documents/operation-sheets.pdf", "documents/plan.svg", "documents/section.svg",
    "findings.json", "manifest.json", "members/m1-back.pdf", "model.json", "templates/story-stick-back-face-side.svg",
    "templates/story-stick-back.pdf"}


@dataclass(frozen=True)
class Set:
    """What was written: ``told`` as text without the revision, by path."""

    folder: Path
    told: dict[str, str]

    def rows(self, name: str) -> list[dict[str, str]]:
        return list(csv.DictReader(io.StringIO(self.told[name].lstrip("\ufeff"), newline="")))

    def numbers(self, name: str) -> Counter[float]:
        return Counter(float(text) for text in re.findall(r"(?<![\w.])\d+(?:\.\d+)?(?![\w.]*\d)", self.told[name]))


def make(folder: Path, *more: str) -> Set:
    folder.mkdir()
    (folder / "desk.py").write_text(DESK.read_text(encoding="utf-8"), encoding="utf-8")
    ran = subprocess.run(command("make", "desk.py", *more), cwd=folder, env=environment(folder.parent / "cache"),
                         capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    made, = (path.parent for path in (folder / "exports").rglob("model.step"))
    revision = json.loads((made / "findings.json").read_text())["revision"]
    told = {}
    for path in sorted(made.rglob("*")):
        if path.suffix in TOLD:
            data = path.read_bytes()
            text = data.decode("utf-8", "replace") if path.suffix != ".pdf" else "\n".join(
                page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
            name = str(path.relative_to(made)).replace(revision, "REVISION")
            told[name] = text.replace(revision, "REVISION").replace(revision[:8], "REVISION")
    return Set(made, told)


@pytest.fixture(scope="module")
def sets(tmp_path_factory: pytest.TempPathFactory) -> tuple[Set, Set, Set]:
    folder = tmp_path_factory.mktemp("changed")
    return (make(folder / "plain"), make(folder / "wider", "--set", "width=403"),
            make(folder / "aside", "--set", "bore=153"))


def changed(a: Set, b: Set) -> set[str]:
    assert a.told.keys() == b.told.keys()
    return {name for name in a.told if a.told[name] != b.told[name]}


def test_just_the_papers_that_are_concerned_change(sets: tuple[Set, Set, Set]) -> None:
    plain, wider, aside = sets
    assert changed(plain, wider) == BY_WIDTH
    assert changed(plain, aside) == BY_BORE


# where a number stands that is the width or hangs on it: as it is; 3 more when the desk is 3 wider
NUMBERS = {
    "documents/assembly.pdf": (400, 398, 340), "documents/cut-list.pdf": (400, 340, 420),
    "documents/glass-order.pdf": (400,), "documents/labels.pdf": (400, 398, 420),
    "documents/operation-sheets.pdf": (400, 340),
    "documents/stock-layout.pdf": (420, 340), "documents/stock-layout/ash.svg": (420,),
    "documents/shopping-list.pdf": (398,), "jigs/j2-face.pdf": (400,), "members/m1-back.pdf": (400,),
    "members/m2-front.pdf": (400, 240, 280), "plates/p1-pane.pdf": (400,), "plates/p2-under-plate.pdf": (398,),
    "plates/s1-board.pdf": (340,), "templates/m2-front.pdf": (240, 280), "templates/story-stick-front.pdf": (400,)}


@pytest.mark.parametrize("name", NUMBERS)
def test_the_figures_of_the_papers_are_three_more(name: str, sets: tuple[Set, Set, Set]) -> None:
    plain, wider, _ = (each.numbers(name) for each in sets)
    for value in NUMBERS[name]:
        assert plain[value] > 0, (name, value)
        assert wider[value] < plain[value], (name, value)
        assert wider[value + WIDER] > plain[value + WIDER], (name, value)


def by(rows: list[dict[str, str]], **wanted: str) -> dict[str, str]:
    return next(row for row in rows if all(row[key.replace("_", " ")] == value for key, value in wanted.items()))


def test_the_tables_tell_it(sets: tuple[Set, Set, Set]) -> None:
    plain, wider, _ = sets
    for name, part, column, expected in (
            ("documents/cut-list.csv", "front", "finished length (mm)", 400),
            ("documents/cut-list.csv", "front", "rough length (mm)", 420),
            ("documents/cut-list.csv", "board", "finished length (mm)", 340),
            ("documents/glass.csv", "pane", "length x (mm)", 400)):
        for made, more in ((plain, 0), (wider, WIDER)):
            assert float(by(made.rows(name), part=part)[column]) == expected + more
    for made, more in ((plain, 0), (wider, WIDER)):
        line, = made.rows("documents/plates.csv")
        assert float(line["length x (mm)"]) == 398 + more
        drawing = ezdxf.read(io.StringIO(made.told["plates/under-plate_steel_1.5mm_1x_REVISION.dxf"]))
        xs = [p[0] for e in drawing.modelspace().query("LWPOLYLINE") for p in e.get_points("xy")]
        assert max(xs) - min(xs) == pytest.approx(398 + more)
        bays = made.rows("documents/bays.csv")[0]
        assert 400 - 44 + more in [float(value) for value in bays.values() if re.fullmatch(r"[\d.]+", value)]
        dowels = [float(row["x (mm)"]) for row in made.rows("documents/drilling.csv")
                  if row["part"] == "front" and row["purpose"] == "dowel"]
        assert sorted(set(dowels)) == [11, 400 - 11 + more]  # in the middle of the ends, 22 thick
        sinks = [float(row["x from the DXF's origin (mm)"]) for row in made.rows("plates/countersinks.csv")]
        assert max(sinks) + min(sinks) == pytest.approx(398 + more)  # the outer ones lie as far in on both sides


def test_the_solids_have_it(sets: tuple[Set, Set, Set]) -> None:
    plain, wider, aside = sets
    for made, more in ((plain, 0), (wider, WIDER)):
        solids = named_solids(made.folder / "model.step")
        for name, length in (("front", 400), ("back", 400), ("under-plate", 398), ("board", 340), ("pane", 400)):
            assert solids[name].BoundingBox().xlen == pytest.approx(length + more, abs=1e-4)
        assert solids["left end"].BoundingBox().ylen == pytest.approx(196, abs=1e-4)
        (_, drilled), = named_solids(made.folder / "members" / "front.step").items()
        assert drilled.BoundingBox().xlen == pytest.approx(400 + more, abs=1e-4)
    for made, place in ((plain, 150), (aside, 150 + ASIDE)):
        for solid in (named_solids(made.folder / "model.step")["back"],
                      next(iter(named_solids(made.folder / "members" / "back.step").values()))):
            assert bores(solid) == [place]


def bores(solid: cq.Shape) -> list[float]:
    """x of the axes of round holes of 20, from the left."""
    low = solid.BoundingBox().xmin
    found = set()
    for face in solid.Faces():
        if face.geomType() == "CYLINDER":
            cylinder = face._geomAdaptor().Cylinder()
            if abs(cylinder.Radius() - 10) < 1e-6:
                found.add(round(cylinder.Axis().Location().X() - low, 4))
    return sorted(found)


def test_the_bore_is_three_aside_wherever_it_is_told(sets: tuple[Set, Set, Set]) -> None:
    plain, _, aside = sets
    was, now = ([{k: v for k, v in row.items() if k != "made from"} for row in made.rows("documents/drilling.csv")]
                for made in (plain, aside))
    differ = [(a, b) for a, b in zip(was, now, strict=True) if a != b]
    assert [(a["part"], a["diameter (mm)"], float(b["x (mm)"]) - float(a["x (mm)"])) for a, b in differ] == [
        ("back", "20", ASIDE)]
    for name in ("documents/operation-sheets.pdf", "members/m1-back.pdf", "templates/story-stick-back.pdf"):
        before, after = plain.numbers(name), aside.numbers(name)
        assert after[150.0] < before[150.0], name
        assert after[150 + ASIDE] > before[150 + ASIDE], name
