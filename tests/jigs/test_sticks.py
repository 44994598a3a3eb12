"""Story sticks against the desk itself: where the boxes of the members lie, and where the holes are."""

from __future__ import annotations

import pytest

from deskmodel import Desk, DowelJoint, FaceDowels, Member
from deskmodel.features import Hole
from deskmodel.jigs import JigPlan, jig_plan
from deskmodel.jigs.sticks import story_sticks
from deskmodel.model import DeskModel, freeze
from deskmodel.part import Member as MemberPart
from tests.cli.commands import ROOT
from tests.desks.build import frozen, rail
from tests.desks.small import small_desk
from tests.planted.harness import PARTS, edited_desk

ENDS = ("datum end", "far end")


def desks() -> list[DeskModel]:
    return [edited_desk(ROOT / "parts")[0], edited_desk(PARTS)[0], freeze(small_desk())[0], frozen(askew())]


def askew() -> Desk:
    """Two rails into a post that lies on its side, and a turned one."""
    d = Desk("post")
    post = d.place(Member("post", (40, 60), 500, "ash"), at=(0, 0, 0), along="-y", turn=90)
    one = d.place(Member("one", (22, 40), 200, "ash"), at=(60, 100, 0), along="x")
    two = d.place(Member("two", (22, 40), 200, "ash"), at=(60, 300, 0), along="-x", turn=180)
    for each in (one, two):
        d.join(DowelJoint(each, post, count=2, positions=(10, 30)))
    return d


def along(model: DeskModel, part: str, other: str) -> tuple[float, float]:
    """From and to, mm from the datum end of ``part``, of the box of ``other``: by its corners in the desk."""
    carrier, entering = model.part(part), model.part(other).part
    assert isinstance(entering, MemberPart)
    pose = model.part(other).pose
    sizes = (entering.length, *entering.section)
    corners = [pose.apply(tuple(s * k for s, k in zip(sizes, (i & 1, i >> 1 & 1, i >> 2), strict=True))) for i in range(8)]
    places = [carrier.pose.inverse().apply(corner)[0] for corner in corners]
    return min(places), max(places)


@pytest.mark.parametrize("number", range(4))
def test_the_line_is_a_face_of_what_enters_and_the_x_lies_on_it(number: int) -> None:
    model = desks()[number]
    seen = 0
    for sticks in story_sticks(model, jig_plan(model)):
        for mark in sticks.marks:
            if mark.towards is None or mark.breadth is None:
                continue
            for part, name in zip(sticks.members, mark.names, strict=True):
                if not name:
                    continue
                seen += 1
                assert mark.span == pytest.approx(along(model, part, name), abs=1e-6), (part, mark)
                assert mark.at == pytest.approx(along(model, part, name)[0 if mark.towards == "far end" else 1], abs=1e-6)
    assert seen >= 2


@pytest.mark.parametrize("number", range(4))
def test_every_hole_of_the_bench_is_on_a_stick(number: int) -> None:
    """Read from the features: each hole in a side or an edge lies on its line, or on the side of it where the X is."""
    model = desks()[number]
    by_member = {part: sticks for sticks in story_sticks(model, jig_plan(model)) for part in sticks.members}
    holes = 0
    for placed in model.parts:
        if not isinstance(placed.part, MemberPart):
            continue
        for feature in placed.part.features:
            if isinstance(feature, Hole) and feature.face not in ENDS and feature.stage != "spot inserts":
                sticks = by_member[placed.name]
                x = feature.at[0]
                assert any(mark.place == feature.face and mark.span[0] - 1e-6 <= x <= mark.span[1] + 1e-6
                           for mark in sticks.marks if mark.towards is None or mark.breadth is not None), feature
                holes += 1
    assert holes


def test_members_that_are_alike_share_a_stick_and_name_what_enters_each() -> None:
    model = desks()[0]
    made = {sticks.members: sticks for sticks in story_sticks(model, jig_plan(model))}
    alike = next(members for members in made if len(members) > 1)
    for mark in made[alike].marks:
        assert len(mark.names) == len(alike)
    assert len(made[alike].faces) == len(alike)


def test_without_jigs_the_axes_are_marked() -> None:
    """The front of the small desk: both ends enter its back side, dowels at half their 22; its bores besides."""
    model = freeze(small_desk())[0]
    made = next(s for s in story_sticks(model, JigPlan((), (), ())) if s.members == ("front",))
    assert [(mark.at, mark.place, mark.jig, mark.towards) for mark in made.marks] == [
        (11.0, "back side", "", None), (589.0, "back side", "", None)]
    assert made.marks[0].holes == "2 × Ø 8, 16 deep, 15 and 45 from the face edge"
    assert made.marks[0].names == ("left",)


def test_lines_for_the_jig_alone_are_no_parts() -> None:
    """Dowels between two long faces: nothing enters with its end, so no breadth is drawn."""
    d = Desk("laminated")
    one, two = rail(d, "one", 400, (0, 0, 0), section=(40, 60)), rail(d, "two", 400, (0, 40, 0), section=(40, 60))
    d.join(FaceDowels(one, two))
    model = frozen(d)
    marks = [mark for sticks in story_sticks(model, jig_plan(model)) for mark in sticks.marks if mark.jig]
    assert marks
    assert all(mark.breadth is None for mark in marks)
