"""The proof on jigs and members made by hand: it passes what is right and names what is wrong, each fault by itself."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.proof import made, planted
from tests.proof.contract import read_contract
from tests.proof.facets import Mesh
from tests.proof.hands import wrong_hands
from tests.proof.judging import LIMIT, body_of, compare, designed, member_of, pieces
from tests.proof.members import read_member
from tests.proof.printed import printable
from tests.proof.whole import prove

WORKSHOP = """
bit = [{ diameter = 8, kind = "brad-point", length = 80, point = 120 }]
[printer]
bed = [220, 220, 220]
[hand_drill]
diameter = 66
"""


@pytest.fixture(scope="session")
def right(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("right") / "desk"
    made.export(folder)
    (folder / "workshop.toml").write_text(WORKSHOP, encoding="utf-8")
    return folder


@pytest.fixture
def folder(right: Path, tmp_path: Path) -> Path:
    """A copy to plant a fault in."""
    return Path(shutil.copytree(right, tmp_path / "desk"))


def faults(folder: Path, starts: int = 1) -> set[tuple[str, str]]:
    """What is wrong, and with which jig or joint."""
    found = prove(folder, read_contract(folder), folder / "workshop.toml", starts)
    return {(complaint.fault, complaint.where.split(" on ")[0].split(",")[0].split(":")[0]) for complaint in found}


def test_what_is_right_passes_from_twenty_starts(right: Path) -> None:
    uses = read_contract(right)
    assert prove(right, uses, right / "workshop.toml", starts=1) == []
    assert prove(right, [uses[1], uses[3]], right / "workshop.toml") == []


BOTH = {("pair", "left joint"), ("pair", "right joint")}


@pytest.mark.parametrize("jig", ["j1", "j2"])
def test_a_bush_moved_by_a_tenth(folder: Path, jig: str) -> None:
    planted.edit_mesh(folder / "jigs" / f"{jig}.stl", lambda mesh: planted.bush_moved(mesh, 0.1))
    found = faults(folder)
    assert {("axis", jig.upper()), ("step", jig.upper())} <= found <= {("axis", jig.upper()), ("step", jig.upper())} | BOTH


def test_a_bush_moved_by_less_than_the_limit(folder: Path) -> None:
    planted.edit_mesh(folder / "jigs" / "j1.stl", lambda mesh: planted.bush_moved(mesh, 0.9 * LIMIT))
    assert {fault for fault, _ in faults(folder)} == {"step"}


@pytest.mark.parametrize("jig", ["j1", "j2"])
def test_a_bush_tilted_by_three_tenths_of_a_degree(folder: Path, jig: str) -> None:
    # 26 deep at 0.3°: 0.136 aside at the bottom, and 12 from the middle of the seat to the wood: 0.063 at the mouth
    planted.edit_mesh(folder / "jigs" / f"{jig}.stl", lambda mesh: planted.bush_tilted(mesh, 0.3))
    found = faults(folder)
    assert ("angle", jig.upper()) in found
    assert found <= {(fault, jig.upper()) for fault in ("angle", "axis", "step", "depth")} | BOTH


@pytest.mark.parametrize("jig", ["j1", "j2"])
def test_a_mirrored_pattern(folder: Path, jig: str) -> None:
    # in v: between fence and body's end 15 and 45 become 12 and 42
    planted.edit_mesh(folder / "jigs" / f"{jig}.stl", lambda mesh: planted.pattern_mirrored(mesh, 2))
    assert ("axis", jig.upper()) in faults(folder)


def test_a_jig_of_the_other_hand(folder: Path) -> None:
    planted.edit_mesh(folder / "jigs" / "j1.stl", lambda mesh: planted.hand_changed(mesh, 0))
    assert ("unsteady", "J1") in faults(folder)


@pytest.mark.parametrize("jig", ["j1", "j2"])
def test_a_seat_cut_short(folder: Path, jig: str) -> None:
    planted.edit_mesh(folder / "jigs" / f"{jig}.stl", lambda mesh: planted.bush_shortened(mesh, 2.0))
    found = faults(folder)
    assert ("bush", jig.upper()) in found
    assert ("axis", jig.upper()) not in found


def row(data: dict[str, Any], member: str) -> dict[str, Any]:
    return next(use for use in data["uses"] if use["member"] == member)


@pytest.mark.parametrize(("edit", "expected"), [
    (lambda data: data["jigs"][0]["bush"].update(length=12), ("bush", "J1")),
    (lambda data: data["jigs"][0].update(guide=12), ("guide", "J1")),
    (lambda data: data["jigs"][0].update(gap=2), ("gap", "J1")),
    (lambda data: data["jigs"][1]["bush"].update(outside=11), ("seat", "J2")),
    (lambda data: row(data, "rail").update(stop=47), ("depth", "J1")),
    (lambda data: row(data, "rail").update(stop=78), ("reach", "J1")),
    (lambda data: row(data, "left").update(place="back side"), ("missing", "J2")),
    (lambda data: row(data, "left").update(mark=100.1), ("axis", "J2")),
    (lambda data: row(data, "left").update(mark=122, towards="datum end"), ("hand", "left joint")),
    (lambda data: row(data, "left").update(towards="datum end"), ("missing", "J2")),
], ids=["bush shorter", "guide shorter", "gap", "bush thinner", "stop", "reach", "face side swapped", "line moved",
        "other arris", "other side of the line"])
def test_a_contract_that_does_not_hold(folder: Path, edit: Callable[[dict[str, Any]], None],
                                       expected: tuple[str, str]) -> None:
    planted.edit_contract(folder, edit)
    assert expected in faults(folder)


@pytest.mark.parametrize(("name", "jig", "by"), [("rail", "J1", (0, 0.1, 0)), ("rail", "J1", (0, 0, 0.1)),
                                                 ("left", "J2", (0.1, 0, 0)), ("right", "J2", (0, 0, -0.1))])
def test_a_hole_of_a_member_moved_by_a_tenth(folder: Path, name: str, jig: str, by: tuple[float, float, float]) -> None:
    path = folder / "members" / f"{name}.step"
    planted.hole_moved(path, read_member(path).holes[0], np.array(by))
    assert faults(folder) == {("axis", jig)}


def test_a_short_bit_and_a_thick_drill(folder: Path) -> None:
    shop = folder / "workshop.toml"
    # stop 46 and the tip of 2.31 want 48.31; then the chuck's mouth stands 20 over the wood, below the fence's 44
    shop.write_text(WORKSHOP.replace("length = 80", "length = 48.3"), encoding="utf-8")
    assert faults(folder) == {("reach", "J1")}
    shop.write_text(WORKSHOP.replace("length = 80", "length = 48.32"), encoding="utf-8")
    assert faults(folder) == {("body", "J1")}
    shop.write_text(WORKSHOP.replace("length = 80", "length = 72.32"), encoding="utf-8")
    assert faults(folder) == set()


def test_a_bed_too_small(folder: Path) -> None:
    shop = folder / "workshop.toml"
    shop.write_text(WORKSHOP.replace("[220, 220", "[20, 20"), encoding="utf-8")
    assert faults(folder) == {("bed", "J1"), ("bed", "J2")}


def test_every_wrong_hand_shows_on_stock_off_in_size(right: Path) -> None:
    seen = 0
    for use in read_contract(right):
        member = member_of(use.file)
        for timber in pieces(member):
            for name, seated in wrong_hands(body_of(use.jig.stl), use, timber):
                seen += 1
                if seated is not None:
                    off = compare(seated, designed(member, use, timber))
                    assert any(c.fault in ("axis", "missing") for c in off), f"{use}, {name}"
    assert seen == 2 * (3 + 3 + 2 + 2)


def test_a_mirrored_member_does_not_take_the_jig(right: Path) -> None:
    for use in read_contract(right)[2:]:
        member = member_of(use.file).mirrored()
        assert not designed(member, use, pieces(member)[0])


def test_a_ceiling_that_nothing_carries(folder: Path) -> None:
    # a plate over the pocket of a bush, 14 wide: a jig turned over for printing
    def turned_over(mesh: Mesh) -> Mesh:
        turned = mesh.vertices * [1, -1, -1]
        return Mesh(turned - turned.min(axis=0), mesh.faces)

    planted.edit_mesh(folder / "jigs" / "j2.stl", turned_over)
    found = list(printable(read_contract(folder)[2].jig, body_of(folder / "jigs" / "j2.stl"), np.array([220.0, 220, 220])))
    assert {complaint.fault for complaint in found} == {"overhang"}
