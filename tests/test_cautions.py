"""Cautions: each only where the desk has its cause, by name; none claims anything."""

from __future__ import annotations

import re

import pytest

from deskmodel import Desk, Hole, Member, Plate, rectangle
from deskmodel.component import Component, Port
from deskmodel.drawing.flow import document
from deskmodel.drawing.paper import Head
from deskmodel.exporters.cautions_pdf import caution_blocks
from deskmodel.features import Prism
from deskmodel.frames import Pose
from deskmodel.plans.cautions import DEFERS, NOT_LOOKED_AT, Caution, cautions
from tests.cli.commands import ROOT
from tests.desks.build import frozen
from tests.drawing.test_views import check_paper, texts
from tests.planted.harness import edited_desk

CLAIMS = re.compile(r"\b(complies|compliant|compliance|conforms?|safe|safely|certif\w+ by us|guarantee\w*|approved)\b", re.I)


def box(name: str, heat: float = 0.0, *, mains: bool = False) -> Component:
    ports = (Port("in", (0.0, 10.0, 10.0), "-x", (10.0, 10.0, 20.0), mains),) if mains else ()
    return Component(name, "invented", "invented", (Prism(rectangle(40, 40), Pose(), 20),), 0.2, heat, ports)


def told(*parts: object) -> dict[str, Caution]:
    d = Desk("one")
    for i, part in enumerate(parts):
        d.place(part, at=(0, 200 * i, 0))
    return {caution.title: caution for caution in cautions(frozen(d))}


STEEL = Plate("cover plate", rectangle(100, 100), 1.5, "steel")


@pytest.mark.parametrize(("part", "titles"), [
    (Member("rail", (22, 60), 100, "ash"), {"Sawing, planing and routing", "Dust"}),
    (Member("rail", (22, 60), 100, "ash", (Hole("face side", (20, 20), 8),)),
     {"Sawing, planing and routing", "Dust", "Drilling"}),
    (STEEL, {"Edges of sheet metal"}),
    (Plate("pane", rectangle(100, 100), 4, "glass"), {"Glass"}),
    (box("lamp", 4.9), set()),
    (box("amplifier", 5.0), {"Heat"}),
    (box("supply", mains=True), {"Mains"}),
    (box("lithium battery"), {"Batteries"}),
])
def test_each_has_its_cause(part: object, titles: set[str]) -> None:
    made = told(part)
    assert set(made) == titles
    for caution in made.values():
        assert caution.points
        assert caution.standards


def test_bonding_wants_metal_and_mains() -> None:
    made = told(STEEL, box("supply", mains=True))
    assert made["Metal plates in a desk with mains"].causes == ("cover plate",)
    assert made["Mains"].causes == ("supply",)
    assert "Metal plates in a desk with mains" not in told(STEEL, box("radio"))


def test_the_duty_desk() -> None:
    made = {caution.title: caution for caution in cautions(edited_desk(ROOT / "parts")[0])}
    assert {"Mains", "Metal plates in a desk with mains", "Heat", "Sawing, planing and routing", "Drilling",
            "Edges of sheet metal", "Glass", "Dust"} == set(made)
    assert {"desk supply", "mains inlet", "socket strip"} <= set(made["Mains"].causes)
    assert "under-plate" in made["Edges of sheet metal"].causes
    assert "desk supply (22 W)" in made["Heat"].causes
    for page in document(caution_blocks(tuple(made.values())), "A4", Head("duty desk", "cautions", "revision x")):
        check_paper(page)
        assert all(text.height >= 2.0 for text in texts(page))


def test_it_claims_nothing_and_defers() -> None:
    everything = told(STEEL, Member("rail", (22, 60), 100, "ash", (Hole("face side", (20, 20), 8),)),
                      Plate("pane", rectangle(100, 100), 4, "glass"), box("battery supply", 30, mains=True))
    assert len(everything) == 9
    for text in (DEFERS, NOT_LOOKED_AT, *(line for caution in everything.values() for line in caution.points)):
        assert not CLAIMS.search(text), text
    assert "local codes" in DEFERS
    assert "licensed" in DEFERS
    assert any("licensed" in point for point in everything["Mains"].points)
