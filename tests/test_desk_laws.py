"""Laws of whole desks: where the desk stands, and in which order its bodies come, changes no finding."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from deskmodel.checks import CHECKS
from deskmodel.desk import Desk
from deskmodel.findings import Finding
from deskmodel.fit import FitEngine
from deskmodel.frames import Vec, add, sub
from deskmodel.model import DeskModel, freeze
from tests.checks.test_tiny_desks import cases_of
from tests.desks.small import small_desk
from tests.planted.harness import PARTS, check_model, edited_desk
from tests.planted.test_listed_faults import LIST, edited

TINY = {f"{check.id}-{name}": case for check in CHECKS for name, case in cases_of(check).items()}
OFFSETS: list[Vec] = [(1000.0, -250.0, 720.0), (123.456, 1000 / 3, -77.7), (math.pi, -math.e, 0.1)]
FAULTS = [f for f in LIST if f["expect"]][::6]  # every sixth of the planted faults


@pytest.fixture(scope="module")
def engine() -> FitEngine:
    return FitEngine()


def moved(model: DeskModel, by: Vec) -> DeskModel:
    """The whole desk somewhere else, by the poses alone. The envelope stands where it stood, so it is taken away."""
    return replace(
        model, envelope=None, parts=tuple(replace(p, pose=p.pose.moved(by)) for p in model.parts),
        keep_outs=tuple(replace(k, pose=k.pose.moved(by)) for k in model.keep_outs),
        bays=tuple(replace(b, x=(b.x[0] + by[0], b.x[1] + by[0]), y=(b.y[0] + by[1], b.y[1] + by[1])) for b in model.bays),
        swings=tuple(replace(s, point=add(s.point, by)) for s in model.swings),
        joints=tuple(replace(j, point=add(j.point, by), region=(add(j.region[0], by), add(j.region[1], by)))
                     for j in model.joints))


def shuffled(model: DeskModel, rng: Random) -> DeskModel:
    def mixed(values: Iterable) -> tuple:
        values = list(values)
        rng.shuffle(values)
        return tuple(values)

    return replace(model, parts=mixed(model.parts), joints=mixed(model.joints), contacts=mixed(model.contacts),
                   gaps=mixed(model.gaps), keep_outs=mixed(model.keep_outs), lifts=mixed(model.lifts),
                   bays=mixed(model.bays), swings=mixed(model.swings))


def told(model: DeskModel, engine: FitEngine, back: Vec = (0.0, 0.0, 0.0)) -> list[tuple]:
    """(outcome of each check), then each finding by what it is about and measures; its place less ``back``."""
    outcomes = check_model(model, {}, engine).outcomes
    return [sorted((o.id, o.outcome) for o in outcomes),
            sorted((key(f, back) for o in outcomes for f in o.findings), key=repr)]


def key(f: Finding, back: Vec) -> tuple:
    point = None if f.point is None else tuple(round(v, 1) + 0.0 for v in sub(f.point, back))
    # what outside-envelope measures is a coordinate: by how much it is out does not move
    figure = f.measured - f.required if f.id == "outside-envelope" else f.measured
    measured = None if figure is None else round(figure, 2) + 0.0
    return f.id, f.severity, tuple(sorted(f.parts)), measured, point if f.id in CLOSED_FORM else None


# where the place is a closed form it must move along; that of an overlap may be any point of the shared body
CLOSED_FORM = {"joint-faces-apart", "hole-without-partner", "unfastened-part", "dowel-diameter-unfit", "dowel-near-edge",
               "dowel-too-shallow", "dowels-badly-spaced", "glue-space-unfit", "hole-breaks-through", "holes-cross",
               "holes-misaligned", "joint-can-turn", "opposed-dowels-close"}


def same_wherever_it_stands(model: DeskModel, engine: FitEngine, offsets: Iterable[Vec]) -> None:
    model = replace(model, envelope=None)
    here = told(model, engine)
    for by in offsets:
        assert told(moved(model, by), engine, by) == here


@pytest.mark.parametrize("name", TINY)
def test_a_tiny_desk_somewhere_else(name: str, engine: FitEngine) -> None:
    same_wherever_it_stands(freeze(TINY[name].build())[0], engine, OFFSETS)


@pytest.mark.parametrize("name", TINY)
def test_a_tiny_desk_in_another_order(name: str, engine: FitEngine) -> None:
    model = freeze(TINY[name].build())[0]
    here = told(model, engine)
    for seed in range(2):
        assert told(shuffled(model, Random(seed)), engine) == here


def broken() -> Desk:
    """The small desk with faults of several kinds."""
    d = small_desk()
    d.require_gap("supply", "right", 60, "air")
    d.keep_clear("nothing here", (300, 10, 10), (40, 40, 40), "hand")
    d.cable("across", 8, [(10, 200, 30), (590, 200, 30)])
    return d


def test_a_small_desk(engine: FitEngine) -> None:
    model = freeze(broken())[0]
    here = told(replace(model, envelope=None), engine)
    assert len({entry[0] for entry in here[1]}) >= 2, "too little is wrong with it to test anything"
    same_wherever_it_stands(model, engine, OFFSETS)
    for seed in range(3):
        assert told(shuffled(model, Random(seed)), engine) == told(model, engine)


@pytest.mark.parametrize("by", OFFSETS)
def test_a_script_that_says_so_itself(by: Vec, engine: FitEngine) -> None:
    """The same law from the script: every place moved, so that bores and joints are laid out anew."""
    here, there = (replace(freeze(small_desk(shift=s))[0], envelope=None) for s in ((0.0, 0.0, 0.0), by))
    assert told(there, engine, by) == told(here, engine)
    assert [p.name for p in there.parts] == [p.name for p in here.parts]


@pytest.mark.parametrize("fault", [None, *FAULTS], ids=lambda f: f["id"] if f else "clean")
def test_the_first_desk(fault: dict | None, tmp_path: Path, engine: FitEngine) -> None:
    for path in PARTS.rglob("*"):
        if path.suffix in {".py", ".toml"}:
            target = tmp_path / path.relative_to(PARTS)
            target.parent.mkdir(exist_ok=True)
            target.write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    for name, text in (edited(fault) if fault else {}).items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    model = edited_desk(tmp_path)[0]
    same_wherever_it_stands(model, engine, OFFSETS[:2])
    assert told(shuffled(model, Random(1)), engine) == told(model, engine)
