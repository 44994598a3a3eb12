"""The tool's own proof of its jigs fails when a jig is not what the design asks for: the plan is spoilt, the check looks."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

import deskmodel.checks.jig_off_target as check
import deskmodel.jigs.drilled as drilling
from deskmodel.checks._base import Facts
from deskmodel.desk import Desk
from deskmodel.findings import Finding
from deskmodel.frames import Pose, Vec
from deskmodel.jigs import Jig, JigPlan, jig_plan
from deskmodel.part import Member
from tests.desks.build import frozen
from tests.desks.jig_off_target import corner, shop

KINDS = ("end", "face")


def lopsided() -> Desk:
    """Dowels 12 and 40 from the face edge of 60: nothing lies in the middle."""
    return corner(shop(), positions=(12, 40))


def found(monkeypatch: pytest.MonkeyPatch, kind: str, spoil: Callable[[Jig], Jig]) -> list[Finding]:
    """What is said where the jigs of that kind are spoilt and everything else is as it should be."""
    model = frozen(lopsided())
    plan = jig_plan(model)
    jigs = tuple(spoil(jig) if jig.kind == kind else jig for jig in plan.jigs)
    assert jigs != plan.jigs
    monkeypatch.setattr(check, "jig_plan", lambda _: JigPlan(jigs, plan.uses, plan.not_made))
    return check.run(Facts(model))


def moved(by: tuple[float, float]) -> Callable[[Jig], Jig]:
    def spoil(jig: Jig) -> Jig:
        (u, v), *rest = jig.axes
        return replace(jig, axes=((u + by[0], v + by[1]), *rest))
    return spoil


def worst(said: list[Finding]) -> float:
    """mm of the worst that stops the build; the test is at fault where there is none."""
    return max(f.measured for f in said if f.severity == "stop" and f.measured is not None)


def test_as_planned_nothing_is_said() -> None:
    assert check.run(Facts(frozen(lopsided()))) == []


@pytest.mark.parametrize("by", [(0.1, 0.0), (-0.1, 0.0), (0.0, 0.1), (0.0, -0.1)])
@pytest.mark.parametrize("kind", KINDS)
def test_a_bush_moved_by_a_tenth(monkeypatch: pytest.MonkeyPatch, kind: str, by: tuple[float, float]) -> None:
    off = [f for f in found(monkeypatch, kind, moved(by)) if "from where it is designed" in f.message]
    assert [(f.severity, f.parts) for f in off] == [("stop", ("end", "front"))]
    assert off[0].measured == pytest.approx(0.1)


@pytest.mark.parametrize("kind", KINDS)
def test_a_bush_moved_by_less_than_the_limit(monkeypatch: pytest.MonkeyPatch, kind: str) -> None:
    said = found(monkeypatch, kind, moved((0.0, 0.05)))
    assert said == []


@pytest.mark.parametrize("kind", KINDS)
def test_a_mirrored_pattern(monkeypatch: pytest.MonkeyPatch, kind: str) -> None:
    said = found(monkeypatch, kind, lambda jig: replace(jig, axes=tuple((u, 60 - v) for u, v in jig.axes)))
    assert worst(said) == pytest.approx(36)  # 12 and 40 from the edge become 48 and 20


@pytest.mark.parametrize("kind", KINDS)
def test_a_jig_that_tilts_by_three_tenths_of_a_degree(monkeypatch: pytest.MonkeyPatch, kind: str) -> None:
    angle = math.radians(0.3)
    turn = Pose(((1.0, 0.0, 0.0), (0.0, math.cos(angle), -math.sin(angle)), (0.0, math.sin(angle), math.cos(angle))))
    seated = drilling.seat_pose
    monkeypatch.setattr(drilling, "seat_pose",
                        lambda jig, *rest: seated(jig, *rest) @ turn if jig.kind == kind else seated(jig, *rest))
    said = check.run(Facts(frozen(lopsided())))
    # the mouth hardly moves; at the bottom of the longer hole, 26 deep, the axes are 26 sin 0.3° apart, whichever one tilts
    assert worst(said) == pytest.approx(26 * math.sin(angle), abs=0.01)


def test_an_end_jig_with_its_fence_on_the_back_side(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of stock as designed nothing shows; 0.3 thicker or thinner moves its holes by as much."""
    seated = drilling.seat_pose

    def swapped(jig: Jig, member: Member, place: str, mark: float | None, turned: bool, extra: Vec) -> Pose:
        pose = seated(jig, member, place, mark, turned, extra)
        return Pose(origin=(0.0, extra[1], 0.0)) @ pose if jig.kind == "end" else pose

    monkeypatch.setattr(drilling, "seat_pose", swapped)
    said = check.run(Facts(frozen(lopsided())))
    assert worst(said) == pytest.approx(0.3)


@pytest.mark.parametrize("kind", KINDS)
def test_a_bush_shortened(monkeypatch: pytest.MonkeyPatch, kind: str) -> None:
    said = found(monkeypatch, kind, lambda jig: replace(jig, bush=replace(jig.bush, length=12)))
    assert [(f.severity, f.measured, f.required) for f in said] == [("warn", 12, 16)]  # less than two diameters of 8


@pytest.mark.parametrize("by", [0.1, -0.1])
@pytest.mark.parametrize("kind", KINDS)
def test_a_jig_thicker_or_thinner_than_its_stop_allows_for(monkeypatch: pytest.MonkeyPatch, kind: str, by: float) -> None:
    said = found(monkeypatch, kind, lambda jig: replace(jig, above=jig.above + by))
    assert [f.measured for f in said if "off its depth" in f.message] == [pytest.approx(0.1)]
