"""The proof of exported desks: what their jigs drill in stock off in size is what both members of each joint need."""

from __future__ import annotations

import random
from collections.abc import Iterable

import pytest

from tests.proof.conftest import Export
from tests.proof.contract import Use, read_contract
from tests.proof.hands import wrong_hands
from tests.proof.judging import body_of, compare, designed, judge, member_of, pieces
from tests.proof.laid import STARTS
from tests.proof.tools import read_tools
from tests.proof.whole import prove, undrilled, unmated


def uses_of_joints(uses: list[Use], count: int) -> list[Use]:
    """Both halves of ``count`` joints, drawn at random, always the same ones."""
    names = sorted({joint for use in uses for joint in use.joints})
    drawn = set(random.Random(22).sample(names, count))
    return [use for use in uses if drawn & set(use.joints)]


def test_a_sample_of_the_worked_desk(duty: Export) -> None:
    uses = read_contract(duty.folder)
    assert len(uses) > 50
    some = uses_of_joints(uses, 1)
    assert {use.jig.kind for use in some} == {"end", "face"}
    assert prove(duty.folder, some, duty.workshop) == []


def test_no_hole_of_the_worked_desk_is_left_to_the_eye(duty: Export) -> None:
    assert undrilled(duty.folder, read_contract(duty.folder)) == []


def test_wrong_hands_of_a_sample(duty: Export) -> None:
    uses = read_contract(duty.folder)
    random.Random(7).shuffle(uses)
    wrong_ways({use.jig.number: use for use in uses}.values())


def wrong_ways(uses: Iterable[Use]) -> None:
    """Every wrong way to lay these jigs on finds no seat, or is off by more than the limit on stock off in size."""
    for use in uses:
        member = member_of(use.file)
        for timber in pieces(member):
            tried = 0
            for name, seated in wrong_hands(body_of(use.jig.stl), use, timber):
                tried += 1
                if seated is not None:
                    off = compare(seated, designed(member, use, timber))
                    assert {c.fault for c in off} & {"axis", "missing", "extra"}, f"{use}, {name}, {timber.thick} thick"
            assert tried >= 2


@pytest.mark.slow
def test_a_frame_of_odd_sizes_asks_for_a_jig_of_each_hand(odd: Export) -> None:
    assert {use.jig.number for use in read_contract(odd.folder)} == {f"J{i}" for i in range(1, 7)}


@pytest.mark.slow
@pytest.mark.parametrize("desk", ["duty", "shelf", "odd", "tiny"])
def test_every_use_from_every_start(desk: str, request: pytest.FixtureRequest) -> None:
    export: Export = request.getfixturevalue(desk)
    uses = read_contract(export.folder)
    assert prove(export.folder, uses, export.workshop, STARTS) == []
    assert undrilled(export.folder, uses) == []
    tools = read_tools(export.workshop)
    assert unmated(one for use in uses for one in judge(use, tools, 1)[0]) == []


@pytest.mark.slow
@pytest.mark.parametrize("desk", ["duty", "shelf", "odd", "tiny"])
def test_every_wrong_hand(desk: str, request: pytest.FixtureRequest) -> None:
    export: Export = request.getfixturevalue(desk)
    wrong_ways(read_contract(export.folder))
