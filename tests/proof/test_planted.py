"""Faults planted in the files of the worked desk, one at a time: the proof has to fail, and to say what is wrong."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tests.proof import planted
from tests.proof.conftest import Export
from tests.proof.contract import Jig, Use, read_contract
from tests.proof.judging import Complaint, body_of, judge, member_of, under
from tests.proof.printed import same_in_step
from tests.proof.tools import read_tools

KINDS = ("end", "face")


@pytest.fixture(params=KINDS)
def use(request: pytest.FixtureRequest, duty: Export, tmp_path: Path) -> Use:
    """The first use of an end jig or a face jig, its files copied, so that a fault can be planted in them."""
    first = next(use for use in read_contract(duty.folder) if use.jig.kind == request.param)
    return copied(first, tmp_path)


def copied(use: Use, folder: Path) -> Use:
    stl, file = (Path(shutil.copy(path, folder)) for path in (use.jig.stl, use.file))
    return replace(use, jig=replace(use.jig, stl=stl), file=file)


def faults(use: Use, duty: Export) -> set[str]:
    found: list[Complaint] = judge(use, read_tools(duty.workshop), starts=1)[1]
    return {complaint.fault for complaint in found} | {c.fault for c in same_in_step(use.jig, body_of(use.jig.stl))}


def outside(jig: Jig) -> float:
    return jig.bush.outside


def test_nothing_is_wrong_with_the_copy(use: Use, duty: Export) -> None:
    assert faults(use, duty) == set()


def test_a_bush_moved_by_a_tenth(use: Use, duty: Export) -> None:
    planted.edit_mesh(use.jig.stl, lambda mesh: planted.bush_moved(mesh, 0.1, outside(use.jig)))
    assert faults(use, duty) == {"axis", "step"}


def test_a_bush_tilted_by_three_tenths_of_a_degree(use: Use, duty: Export) -> None:
    planted.edit_mesh(use.jig.stl, lambda mesh: planted.bush_tilted(mesh, 0.3, outside(use.jig)))
    found = faults(use, duty)
    assert {"angle", "step"} <= found <= {"angle", "axis", "step"}


@pytest.mark.parametrize("uvw", [0, 1])
def test_a_mirrored_pattern(use: Use, duty: Export, uvw: int) -> None:
    # A face jig is its own mirror image along the member: there the mirrored pattern is the same one.
    axis = int(np.argmax(np.abs(use.jig.turn[uvw])))
    planted.edit_mesh(use.jig.stl, lambda mesh: planted.pattern_mirrored(mesh, axis, outside(use.jig)))
    found = faults(use, duty)
    assert found == set() if use.jig.kind == "face" and uvw == 0 else {"axis", "step"} <= found


def test_a_face_side_swapped(use: Use, duty: Export) -> None:
    if use.jig.kind == "face":
        swapped = replace(use, place={"face side": "back side", "back side": "face side"}[use.place])
        assert "missing" in faults(swapped, duty)
        return
    # the fence on the other side of the wood: the jig as its own mirror image across the member
    axis = int(np.argmax(np.abs(use.jig.turn[0])))
    planted.edit_mesh(use.jig.stl, lambda mesh: planted.hand_changed(mesh, axis))
    assert faults(use, duty) & {"unsteady", "axis"}


def test_a_bush_shortened(use: Use, duty: Export) -> None:
    shorter = replace(use.jig.bush, length=use.jig.bush.length - 2)
    # the printed seat is longer than the bush, and the guide is not what is promised
    assert {"bush", "guide"} <= faults(replace(use, jig=replace(use.jig, bush=shorter)), duty)


def test_a_seat_shortened(use: Use, duty: Export) -> None:
    planted.edit_mesh(use.jig.stl, lambda mesh: planted.bush_shortened(mesh, 2.0, outside(use.jig)))
    found = faults(use, duty)
    assert "bush" in found
    assert not found & {"axis", "angle"}


@pytest.mark.parametrize("by", [-0.1, 0.1])
def test_a_stop_set_wrong(use: Use, duty: Export, by: float) -> None:
    assert faults(replace(use, stop=use.stop + by), duty) == {"depth"}


def test_a_bit_too_short(use: Use, duty: Export, tmp_path: Path) -> None:
    text = duty.workshop.read_text(encoding="utf-8")
    assert "length = 80, point = 120" in text
    (tmp_path / "workshop.toml").write_text(text.replace("length = 80, point = 120", f"length = {use.stop}, point = 120"),
                                            encoding="utf-8")
    assert faults(use, replace(duty, workshop=tmp_path / "workshop.toml")) == {"reach"}


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_a_hole_of_the_member_moved_by_a_tenth(use: Use, duty: Export, axis: int) -> None:
    hole = under(member_of(use.file), use)[0]
    if abs(hole.way[axis]) > 0.5:
        pytest.skip("along the hole nothing moves aside")
    planted.hole_moved(use.file, hole, 0.1 * np.eye(3)[axis])
    # another path, as what was read once is kept
    moved = use.file.rename(use.file.with_name(f"moved-{use.file.name}"))
    assert faults(replace(use, file=moved), duty) == {"axis"}


def test_a_member_of_the_other_hand(duty: Export) -> None:
    # Face holes of a rail that is no mirror image of itself are elsewhere.
    uses = [use for use in read_contract(duty.folder) if use.jig.kind == "face"]
    assert sum(not under(member_of(use.file).mirrored(), use) for use in uses) > len(uses) / 2


def test_the_contract_is_of_the_same_revision_as_the_model(duty: Export) -> None:
    contract = json.loads((duty.folder / "jigs" / "jigs.json").read_text(encoding="utf-8"))
    manifest = json.loads((duty.folder / "manifest.json").read_text(encoding="utf-8"))
    assert contract["revision"] == manifest["revision"]
