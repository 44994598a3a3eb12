"""holes-misaligned and hole-without-partner: which one speaks, for holes laid out by joints and then spoiled."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from deskmodel import Desk, DowelJoint
from deskmodel.checks import Facts, run_checks
from deskmodel.findings import Finding
from deskmodel.frames import Pose, add, axis_angle, sub
from deskmodel.model import DeskModel, freeze
from tests.checks.test_hole_without_partner import changed
from tests.desks.build import rail
from tests.desks.hole_without_partner import through

BOTH = ("holes-misaligned", "hole-without-partner")


def told(model: DeskModel) -> list[Finding]:
    return [f for o in run_checks(Facts(model), BOTH) for f in o.findings]


def corner(count: int = 2) -> Desk:
    d = Desk("corner")
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (100, 22, 0), "y")
    d.join(DowelJoint(end, front, count=count))
    return d


@pytest.mark.parametrize("offset", [0.0, 0.1, 0.101, 0.3, 2.0, 7.9])
def test_each_pair_is_told_once(offset: float) -> None:
    """Two dowels: two pairs out of line, and neither hole told a second time as without partner."""
    model = changed(corner(), "front", lambda hole: replace(hole, at=(hole.at[0] + offset, hole.at[1])))
    findings = told(model)
    if offset <= 0.1:
        assert findings == []
    else:
        assert [(f.id, set(f.parts)) for f in findings] == [("holes-misaligned", {"front", "end"})] * 2
        assert all(f.measured == pytest.approx(offset) for f in findings)


def test_mouths_that_no_longer_meet_are_holes_without_partner() -> None:
    model = changed(corner(), "front", lambda hole: replace(hole, at=(hole.at[0] + 8.5, hole.at[1])))
    assert {f.id for f in told(model)} == {"hole-without-partner"}
    assert len(told(model)) == 4


def test_a_missing_hole_is_the_other_check_s_word() -> None:
    assert {f.id for f in told(changed(corner(), "front", lambda hole: None))} == {"hole-without-partner"}


@pytest.mark.parametrize(("degrees", "found"), [(0.0, False), (0.2, False), (0.3, True), (1.0, True)])
def test_askew(degrees: float, found: bool) -> None:
    """The end turned about the upright through its dowel's mouth: in line there, and off by depth · tan at the bottoms,
    26 deep in the end: 0.091 at 0.2°, 0.136 at 0.3°."""
    model = freeze(corner(1))[0]
    pivot, turn = (111.0, 22.0, 30.0), axis_angle((0, 0, 1), degrees)

    def turned(pose: Pose) -> Pose:
        both = turn @ pose
        return Pose(both.rotation, add(pivot, turn.apply(sub(pose.origin, pivot))))

    model = replace(model, parts=tuple(replace(p, pose=turned(p.pose)) if p.name == "end" else p for p in model.parts))
    findings = [f for f in told(model) if f.id == "holes-misaligned"]
    assert len(findings) == found
    if found:
        assert findings[0].measured == pytest.approx(26 * math.sin(math.radians(degrees)), abs=1e-6)
        assert f"{degrees:.2f}° askew" in findings[0].message


def test_a_through_dowel_has_three_holes_and_two_joint_planes() -> None:
    model = changed(through(), "middle", lambda hole: replace(hole, at=(hole.at[0] + 0.2, hole.at[1])))
    assert sorted(tuple(sorted(f.parts)) for f in told(model)) == [("a", "middle")] * 2 + [("b", "middle")] * 2
