"""Holes of the new joints with one thing taken away or turned round, in the frozen model: how it is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from deskmodel.checks import Facts, run_checks
from deskmodel.desk import Desk
from deskmodel.features import Hole
from deskmodel.findings import Finding
from deskmodel.model import DeskModel, freeze
from tests.desks.hole_without_partner import mounted, screwed, through


def changed(desk: Desk, part: str, change: Callable[[Hole], Hole | None]) -> DeskModel:
    """The desk's model with each hole of ``part`` changed, or left out where ``change`` gives None."""
    model = freeze(desk)[0]

    def altered(features: tuple) -> tuple:
        made = [change(f) if isinstance(f, Hole) else f for f in features]
        return tuple(f for f in made if f is not None)

    return replace(model, parts=tuple(replace(p, part=replace(p.part, features=altered(p.part.features)))
                                      if p.name == part else p for p in model.parts))


def found(model: DeskModel) -> list[Finding]:
    return [f for o in run_checks(Facts(model)) if o.id == "hole-without-partner" for f in o.findings]


def test_a_wood_screw_that_enters_no_pilot_hole() -> None:
    findings = found(changed(screwed(), "rail", lambda hole: None))
    assert [f.parts for f in findings] == [("plate",), ("plate",)]
    assert all("has a wood screw that enters no hole of a second part (plate screwing, wood screw" in f.message
               for f in findings)


def test_a_pilot_hole_beside_its_screw() -> None:
    # 0.2 off: the pilot is empty, and the screw in the plate enters none
    findings = found(changed(screwed(), "rail", lambda hole: replace(hole, at=(hole.at[0] + 0.2, hole.at[1]))))
    assert sorted(f.parts for f in findings) == [("plate",)] * 2 + [("rail",)] * 2
    assert not found(changed(screwed(), "rail", lambda hole: replace(hole, at=(hole.at[0] + 0.1, hole.at[1]))))


def test_a_through_dowel_out_of_line_in_one_rail_is_told_by_the_other_check() -> None:
    model = changed(through(), "b", lambda hole: replace(hole, at=(hole.at[0] + 0.2, hole.at[1])))
    assert not found(model)
    told = [f for o in run_checks(Facts(model)) if o.id == "holes-misaligned" for f in o.findings]
    assert [(f.parts, round(f.measured or 0.0, 6)) for f in told] == [(("b", "middle"), 0.2)] * 2


def test_holes_drilled_from_the_other_side() -> None:
    """A hole right through is the same from both sides, and hardware may enter it from either."""
    faces = {"face side": "back side", "back side": "face side", "bottom": "top", "top": "bottom"}

    def turned(hole: Hole) -> Hole:
        return replace(hole, face=faces[hole.face], countersink=None)

    for desk, part in ((through(), "middle"), (screwed(), "plate"), (mounted(), "plate")):
        assert not found(changed(desk, part, turned))


def test_a_stand_off_is_no_screw() -> None:
    """It stands on the axis of the plate's hole and does not enter it: without the screw the hole is empty."""
    model = freeze(mounted())[0]
    without = replace(model, parts=tuple(p for p in model.parts if "lower screw 1" not in p.name))
    (finding,) = found(without)
    assert finding.parts == ("plate",)
    assert "has no screw in it" in finding.message
