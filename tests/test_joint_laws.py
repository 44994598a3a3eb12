"""Laws over one desk that has every joint: nothing is found where all is right, whatever the order, the names, the place;
each piece of hardware 0.3 mm out of line is found; every hole of a joint has its piece on its axis."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import replace
from random import Random

import numpy as np
import pytest

from deskmodel import Desk, FaceDowels, InputFault, Laminate, Placed, StandOffMount, ThroughDowels, WoodScrewFixing
from deskmodel.fit import FitEngine
from deskmodel.hardware import Hardware
from deskmodel.joints import JOINTS, Joint
from deskmodel.model import DeskModel, freeze, read_json, revision, write_json
from tests.desks.build import bores, rail
from tests.desks.fastened import fastened_desk
from tests.desks.small import HOSTILE_NAMES, small_desk
from tests.planted.harness import check_model


@pytest.fixture(scope="module")
def engine() -> FitEngine:
    return FitEngine()


@pytest.fixture(scope="module")
def model() -> DeskModel:
    return freeze(fastened_desk())[0]


NEW = {"face dowels", "through dowels", "wood-screw fixing", "laminate", "stand-off mount"}


def test_both_desks_have_every_joint_of_wood_and_boards(model: DeskModel) -> None:
    kinds = {r.kind for r in model.joints} | {r.kind for r in freeze(small_desk())[0].joints}
    assert kinds >= NEW | {"dowel joint", "insert fixing", "bond", "rest"}
    assert {"FaceDowels", "ThroughDowels", "WoodScrewFixing", "Laminate", "StandOffMount"} <= {j.__name__ for j in JOINTS}


def test_nothing_is_found_where_all_is_right(model: DeskModel, engine: FitEngine) -> None:
    outcomes = check_model(model, {}, engine).outcomes  # its shapes are built by the kernel, volumes compared
    assert [(f.id, f.message) for o in outcomes for f in o.findings] == []
    assert {o.outcome for o in outcomes} == {"passed"}


@pytest.mark.parametrize("seed", range(4))
def test_the_order_of_statements_changes_nothing(seed: int, model: DeskModel) -> None:
    assert revision(freeze(fastened_desk(rng=Random(seed)))[0]) == revision(model)


def test_lists_and_tuples_are_the_same(model: DeskModel) -> None:
    assert freeze(fastened_desk(sequence=list))[0] == model


def test_read_back_equals_what_was_written(model: DeskModel) -> None:
    assert read_json(write_json(model)) == model


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_names_are_data(name: str, model: DeskModel) -> None:
    renamed = freeze(fastened_desk(lambda key: name[:250] + key if len(name) > 200 else f"{name}{key}{name}"))[0]
    assert len(renamed.parts) == len(model.parts)
    assert read_json(write_json(renamed)) == renamed


@pytest.mark.parametrize("by", [(1000.0, -250.0, 720.0), (123.456, 1000 / 3, -77.7)])
def test_a_script_that_says_so_itself(by: tuple[float, float, float], model: DeskModel, engine: FitEngine) -> None:
    there = freeze(fastened_desk(shift=by))[0]
    assert [p.name for p in there.parts] == [p.name for p in model.parts]
    assert [f.message for o in check_model(there, {}, engine).outcomes for f in o.findings] == []


def test_every_hole_has_its_piece_on_its_axis(model: DeskModel) -> None:
    pieces = [p for p in model.parts if isinstance(p.part, Hardware)]
    for part in model.parts:
        if part.role not in ("member", "plate"):
            continue
        for purpose, kinds in (("dowel", {"dowel"}), ("insert", {"insert"}), ("screw", {"screw", "wood screw"})):
            for hole in bores(model, part.name, purpose):
                offs = [float(np.linalg.norm(np.cross(np.array(p.pose.origin) - hole.mouth, hole.into)))
                        for p in pieces if p.part.kind in kinds and abs(abs(np.dot(p.pose.axis(2), hole.into)) - 1) < 1e-9]
                assert min(offs) < 1e-9, (part.name, hole.hole.name)


HARDWARE = sorted({name for r in freeze(fastened_desk())[0].joints if r.kind in NEW and r.hardware
                   for name in (r.hardware[0], r.hardware[1], r.hardware[-1])})


@pytest.mark.parametrize("name", HARDWARE)
@pytest.mark.parametrize("side", [0, 1])
def test_a_piece_out_of_line_is_found(name: str, side: int, model: DeskModel, engine: FitEngine) -> None:
    """0.3 across its axis: more than a clearance hole allows beside the thread or the bore that it is meant for."""
    piece = model.part(name)
    by = tuple(0.3 * v for v in piece.pose.axis(side))
    moved = replace(model, parts=tuple(replace(p, pose=p.pose.moved(by)) if p.name == name else p for p in model.parts))
    found = {f.id for o in check_model(moved, {}, engine).outcomes for f in o.findings if name in f.parts}
    assert "parts-overlap" in found


# stand-offs and the screws in equipment stand in no hole that the workshop drills: nothing misses them
DRILLED_FOR = [name for name in HARDWARE if "stand-off" not in name and "upper screw" not in name]


@pytest.mark.parametrize("name", DRILLED_FOR)
def test_a_piece_left_out_is_found(name: str, model: DeskModel, engine: FitEngine) -> None:
    without = replace(
        model, parts=tuple(p for p in model.parts if p.name != name),
        contacts=tuple(c for c in model.contacts if name not in (c.male, c.female)),
        joints=tuple(replace(r, hardware=tuple(h for h in r.hardware if h != name)) for r in model.joints))
    found = [f for o in check_model(without, {}, engine).outcomes for f in o.findings]
    # what the piece held may now turn, be screwed too far apart, or not through all its holes
    assert {f.id for f in found} - {"fixing-pitch", "pattern-unmet", "joint-can-turn", "dowel-near-edge"} == {
        "hole-without-partner"}
    # one for each part that has a hole for it: a through dowel's three, a wood screw's two or its pilot alone
    expected = 3 if " through " in name else 1 if "box" in name or "board" in name else 2
    assert len({f.parts for f in found if f.id == "hole-without-partner"}) == expected


@pytest.mark.parametrize(("kind", "held"), [("face dowels", "shelf"), ("wood-screw fixing", "cleat"),
                                            ("stand-off mount", "board")])
def test_a_joint_without_its_hardware_holds_nothing(kind: str, held: str, model: DeskModel, engine: FitEngine) -> None:
    """A part that only this joint holds is loose when its pieces are gone."""
    bare = replace(model, joints=tuple(replace(r, hardware=()) if r.kind == kind else r for r in model.joints))
    loose = {f.parts[0] for o in check_model(bare, {}, engine).outcomes if o.id == "unfastened-part" for f in o.findings}
    assert held in loose


@pytest.mark.parametrize("joint", [
    lambda p: FaceDowels(p["a"], p["b"], at=((500, 500),)), lambda p: ThroughDowels(p["a"], p["b"], p["c"]),
    lambda p: WoodScrewFixing(p["a"], p["b"], "4x60"), lambda p: Laminate([p["a"], p["c"]]),
    lambda p: StandOffMount(p["a"], p["b"])], ids=["face", "through", "wood screw", "laminate", "stand-off"])
def test_a_fault_is_told_at_its_line(joint: Callable[[dict[str, Placed]], Joint]) -> None:
    d = Desk("wrong")
    p = {name: rail(d, name, 200, (0, 22 * i, 0)) for i, name in enumerate("abc")}
    line = inspect.currentframe().f_lineno + 1
    d.join(joint(p))
    with pytest.raises(InputFault) as caught:
        freeze(d)
    assert (caught.value.file, caught.value.line) == (__file__, line)
    assert caught.value.allowed
