"""Operation sheets of sawn plates and of veneer: the figures that the bench reads, held against the kernel's solid."""

from __future__ import annotations

import re

import cadquery as cq
import pytest

from deskmodel import Bond, CutOut, Desk, Hole, Member, Plate, Veneer, circle, polygon, rectangle
from deskmodel.model import DeskModel, freeze
from deskmodel.plans import cut_list, drilling_schedule
from deskmodel.plans.cut_list import STAGES
from deskmodel.plans.sheet_operations import sheet_operations
from deskmodel.solids.part_shape import shape_of
from tests.desks.sheets import service
from tests.exporters.test_cut_documents import duty

ROUND = re.compile(r"Ø ([\d.]+) about ([\d.]+) from the left edge, ([\d.]+) from the front edge")
DRILLED = re.compile(r"Ø ([\d.]+), .*? in the (?:top|bottom): ([\d.]+) from the front edge at ([\d.]+) from the left edge")


def boards() -> Desk:
    """Two that are mirror images, one veneered, one of timber, all standing somewhere."""
    d = Desk("boards")
    d.place(Member("rail", (22, 60), 400, "ash"), at=(0, -100, 0))
    shape = ((0, 0), (200, 0), (200, 80), (160, 120), (0, 120))
    for name, way in (("left board", 1), ("right board", -1)):
        points = [(x if way > 0 else 200 - x, y) for x, y in shape]
        cuts = (Hole("top", (30 if way > 0 else 170, 40), 12, 5),
                CutOut(circle(50, (90 if way > 0 else 110, 60)), name="well"))
        d.place(Plate(name, polygon(points if way > 0 else points[::-1]), 9, "birch ply", cuts), at=(250 * (way < 0), 0, 0))
    leaf = Veneer("ash veneer", 0.6)
    cover = d.place(Plate("cover", rectangle(200, 100), 1.5, "aluminium", veneer=leaf), at=(0, 300, 6.15))
    back = d.place(Plate("backing", rectangle(180, 60), 6, "birch ply"), at=(12, 320, 0))
    d.join(Bond(back, cover, glue="contact", thickness=0.15))
    d.place(Plate("panel", rectangle(150, 80), 12, "ash"), at=(0, 500, 0))
    return d


@pytest.fixture(scope="module")
def model() -> DeskModel:
    return freeze(boards())[0]


def steps(model: DeskModel, name: str, **more: bool) -> list[tuple[str, str]]:
    made = sheet_operations(cut_list(model).of(name), drilling_schedule(model), model.workshop, **more)
    return [(each.stage, each.text) for each in made]


def told(model: DeskModel, name: str) -> str:
    return " ".join(text for _, text in steps(model, name))


@pytest.mark.parametrize("name", ["left board", "right board"])
def test_round_cuts_are_where_the_solid_has_them(name: str, model: DeskModel) -> None:
    """Every figure is read from the text, and every cylinder of the kernel's solid is told."""
    text = told(model, name)
    read = {(float(d), float(x), float(y)) for d, x, y in ROUND.findall(text)}
    read |= {(float(d), float(x), float(y)) for d, y, x in DRILLED.findall(text)}
    solid = cq.Shape.cast(shape_of(model.part(name).part).build())
    low = solid.BoundingBox()
    there = set()
    for face in solid.Faces():
        if face.geomType() == "CYLINDER":
            geometry = face._geomAdaptor().Cylinder()
            at = geometry.Axis().Location()
            there.add((round(2 * geometry.Radius(), 3), round(at.X() - low.xmin, 3), round(at.Y() - low.ymin, 3)))
    assert read == there
    assert len(there) == 2


def test_mirror_images_have_sheets_of_their_own(model: DeskModel) -> None:
    left, right = (cut_list(model).of(name) for name in ("left board", "right board"))
    assert left.piece.number != right.piece.number
    assert left.quantity == right.quantity == 1
    assert f"write {left.piece.number} on it" in told(model, "left board")
    assert told(model, "left board") != told(model, "right board").replace(right.piece.number, left.piece.number)


def test_the_order_of_work(model: DeskModel) -> None:
    """Common practice: marked, sized, bored and opened, glued; of veneer: cut, glued, trimmed, opened."""
    for name in ("left board", "backing", "panel", "cover veneer"):
        stages = [stage for stage, _ in steps(model, name)]
        assert stages[0] == "mark"
        assert stages == sorted(stages, key=lambda each: ("mark", *STAGES).index(each))
    text = told(model, "backing")
    assert "Saw from the sheet as the stock layout shows to 180 along x × 60 along y" in text
    # 12 from the left, 200 − 12 − 180 = 8 from the right, 20 in front, 100 − 20 − 60 = 20 behind
    assert ("Glue the top to cover (bottom), in from its left edge by 12, right edge by 8, front edge by 20 and back edge "
            "by 20 (seen on its top). Contact glue, 0.15 mm.") in text
    assert "plane to 12 thick" in told(model, "panel")
    assert "plane" not in text
    veneer = [text for _, text in steps(model, "cover veneer")]
    cut, glued, trimmed = (next(i for i, text in enumerate(veneer) if word in text)
                           for word in ("Cut the leaf", "Glue the bottom to cover (top)", "trim it flush"))
    assert cut < glued < trimmed
    assert "Cut the leaf to 220 × 120" in veneer[cut]  # 10 out all round, common practice


def test_openings_of_a_leaf_are_cut_when_it_lies_on_its_plate() -> None:
    texts = [text for _, text in steps(duty(), "C3 cover veneer")]
    openings = [i for i, text in enumerate(texts) if text.startswith("Cut-out")]
    assert openings
    assert min(openings) > next(i for i, text in enumerate(texts) if "trim it flush" in text)


def test_what_the_service_cuts_is_not_sawn(model: DeskModel) -> None:
    d = boards()
    d.service = service(laser={"cuts": ("metal", "ply")})
    text = " ".join(text for _, text in steps(freeze(d)[0], "left board", sent=True))
    assert "Saw" not in text
    assert "Comes cut from the cutting service" in text
    assert not ROUND.search(text)
