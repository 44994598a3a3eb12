"""Which jigs there are and where they sit: laws over desks that differ."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deskmodel import Desk, DowelJoint
from deskmodel.checks import Facts, jig_off_target
from deskmodel.jigs import Jig, JigPlan, jig_plan
from deskmodel.jigs._groups import ENDS
from deskmodel.jigs.drilled import drilled, mated, opposed_datums
from deskmodel.jigs.reach import needed_length
from deskmodel.model import DeskModel, read_json
from deskmodel.part import Member
from deskmodel.plans import drilling_schedule
from deskmodel.session.script import load_script
from deskmodel.workshop import Workshop, default_workshop
from tests.desks.build import Bore, bores, frozen, rail
from tests.jigs.desks import DESKS, desk
from tests.planted.harness import DUTY_DESK

MODELS = {name: desk(name) for name in DESKS}
PLANS = {name: jig_plan(model) for name, model in MODELS.items()}


@pytest.fixture(scope="module")
def duty() -> tuple[DeskModel, JigPlan]:
    model = read_json(load_script(DUTY_DESK / "desk.py").model)
    return model, jig_plan(model)


def holes(model: DeskModel) -> dict[tuple[str, str, tuple[float, float]], Bore]:
    """Every dowel hole of a member, from the features alone."""
    return {(placed.name, bore.hole.face, bore.hole.at): bore for placed in model.parts if isinstance(placed.part, Member)
            for bore in bores(model, placed.name, "dowel")}


def check_every_hole(model: DeskModel, plan: JigPlan) -> None:
    """Each is drilled by just one use of a jig, where it is designed, and as deep; or it is said that it is not."""
    wanted = holes(model)
    missing = {part for each in plan.not_made for part in each.parts}
    served: list[tuple[str, str, tuple[float, float]]] = []
    for use in plan.uses:
        jig = plan.jig(use.jig)
        assert len(use.at) == len(use.holes) == len(jig.axes)
        assert len(use.joints) == len(use.members)
        for part in use.members:
            for i, at in enumerate(use.at):
                bore = wanted[(part, use.place, at)]
                served.append((part, use.place, at))
                made = drilled(model, plan, part, use, i)
                assert made.mouth == pytest.approx(bore.mouth, abs=1e-9)
                assert made.inwards == pytest.approx(bore.into, abs=1e-9)
                assert made.depth == pytest.approx(bore.depth, abs=1e-9)
                assert jig.diameter == pytest.approx(bore.hole.diameter)
    assert len(served) == len(set(served))
    assert {part for part, _, _ in set(wanted) - set(served)} <= missing


@pytest.mark.parametrize("name", DESKS)
def test_every_hole_is_drilled_where_it_is_designed(name: str) -> None:
    check_every_hole(MODELS[name], PLANS[name])
    assert not PLANS[name].not_made


def test_every_hole_of_the_duty_desk(duty: tuple[DeskModel, JigPlan]) -> None:
    model, plan = duty
    check_every_hole(model, plan)
    assert not plan.not_made
    # all ends are alike, and all faces: two bushes 15 and 45 from the face edge, 11 from the face side
    assert [(jig.kind, jig.axes) for jig in plan.jigs] == [("end", ((11, 15), (11, 45))), ("face", ((11, 15), (11, 45)))]
    # 6 members across at two ends each, 12 rails
    assert sum(len(use.members) for use in plan.uses_of("J1")) == 2 * (6 + 12)
    assert sum(len(use.members) for use in plan.uses_of("J2")) == 2 * (6 + 12)


@pytest.mark.parametrize("name", DESKS)
def test_off_in_thickness_mating_holes_stay_together(name: str) -> None:
    """Measured from the same face side and face edge: stock 0.3 thicker and higher moves no axis against its mate's."""
    model, plan = MODELS[name], PLANS[name]
    seen = 0
    for each in mated(model, plan):
        assert each.use_a is not None
        assert each.use_b is not None
        if opposed_datums(model, each):
            continue
        for off in ((0.0, 0.0), (0.3, 0.3), (-0.3, 0.3), (0.3, -0.3)):
            a = drilled(model, plan, each.a.part, *each.use_a, off)
            b = drilled(model, plan, each.b.part, *each.use_b, off)
            aside = np.cross(np.array(b.mouth) - a.mouth, a.inwards)
            assert np.linalg.norm(aside) < 1e-9
            seen += 1
    assert seen


@pytest.mark.parametrize("name", DESKS)
def test_a_mark_is_the_face_of_what_enters(name: str) -> None:
    """In the desk: the plane of the face side (or the face edge) of the member that enters, on the side of its own holes."""
    model, plan = MODELS[name], PLANS[name]
    for each in mated(model, plan):
        for hole, other, use in ((each.a, each.b, each.use_a), (each.b, each.a, each.use_b)):
            if hole.hole.face in ENDS or other.hole.face not in ENDS:
                continue
            assert use is not None
            placed, entering = model.part(hole.part), model.part(other.part)
            mark = np.array(placed.pose.apply((use[0].mark, 0, 0)))
            along = np.array(placed.pose.axis(0))
            side, edge = entering.face("face side"), entering.face("face edge")
            face = side if abs(np.dot(side.normal, along)) > 0.9 else edge
            assert np.dot(mark - face.origin, along) == pytest.approx(0, abs=1e-9)
            towards = 1 if use[0].towards == "far end" else -1
            assert np.dot(-np.array(face.normal), along) == pytest.approx(towards)


@pytest.mark.parametrize("name", DESKS)
def test_a_jig_for_each_pattern(name: str) -> None:
    plan = PLANS[name]
    assert [jig.number for jig in plan.jigs] == [f"J{i + 1}" for i in range(len(plan.jigs))]
    patterns = [(jig.kind, jig.diameter, jig.axes, jig.lip, jig.far_sight, jig.hand) for jig in plan.jigs]
    assert len(set(patterns)) == len(patterns)
    assert {use.jig for use in plan.uses} == {jig.number for jig in plan.jigs}
    assert len({jig.slug for jig in plan.jigs}) == len(plan.jigs)


@pytest.mark.parametrize("name", DESKS)
def test_symmetric_or_with_a_hand(name: str) -> None:
    """A face jig without a hand does the same from either sight edge; one with a hand is used one way only."""
    for jig in PLANS[name].jigs:
        ways = {use.turned_over for use in PLANS[name].uses_of(jig.number)}
        if jig.hand is not None:
            assert ways == {jig.hand == "R"}
        elif jig.kind == "face":
            assert jig.far_sight
            assert sorted((round(jig.far_sight - u, 6), v) for u, v in jig.axes) == sorted(jig.axes)


def check_tools(jig: Jig, workshop: Workshop) -> None:
    d = jig.diameter
    assert jig.bit in workshop.bits_of(d)
    assert jig.bush in workshop.bushes_of(d)
    assert jig.guide >= 2 * d
    assert 0.5 * d <= jig.gap <= d
    for depth in jig.depths:
        assert depth.stop == pytest.approx(depth.depth + jig.above)
        assert depth.tip_stop == pytest.approx(depth.stop + jig.bit.tip)
        assert jig.bit.length >= needed_length(jig, depth.depth, workshop.hand_drill) - 1e-9
    if jig.kind == "end":
        assert jig.above == pytest.approx(jig.gap + jig.guide)
        assert jig.web == pytest.approx(jig.above + (jig.gap if jig.hand is None else 0))
        assert jig.fence is not None
        assert 12 <= jig.fence <= 25


@pytest.mark.parametrize("name", DESKS)
def test_tools(name: str) -> None:
    for jig in PLANS[name].jigs:
        check_tools(jig, MODELS[name].workshop)


@pytest.mark.parametrize("name", DESKS)
def test_the_schedule_and_the_jigs_say_the_same(name: str) -> None:
    rows = {(part, row.face, row.at): row for row in drilling_schedule(MODELS[name]).rows for part in row.parts}
    for use in PLANS[name].uses:
        for part in use.members:
            for at, hole in zip(use.at, use.holes, strict=True):
                row = rows[(part, use.place, at)]
                assert hole == (row.x, row.y)
                assert use.depth.depth == row.shoulder
                assert use.depth.through == row.through
                assert part in row.parts
                assert use.like == row.parts[0]


def moved(d: Desk, x: float) -> Desk:
    for name, placed in d.parts.items():
        d.parts[name] = replace(placed, pose=placed.pose.moved((x, 0.0, 0.0)))
    return d


@pytest.mark.parametrize("name", ["several", "faces", "slanting"])
def test_a_desk_that_is_moved_keeps_its_jigs(name: str) -> None:
    plan = jig_plan(frozen(moved(DESKS[name](), 128.0)))
    assert plan.jigs == PLANS[name].jigs
    assert [(u.jig, u.members, u.place, u.towards, u.holes) for u in plan.uses] == [
        (u.jig, u.members, u.place, u.towards, u.holes) for u in PLANS[name].uses]
    assert [u.mark for u in plan.uses] == pytest.approx([u.mark for u in PLANS[name].uses])


def test_the_order_of_statements_changes_nothing() -> None:
    def frame(reverse: bool) -> Desk:
        d = Desk("order")
        front = rail(d, "front", 400, (0, 0, 0))
        places = [("b", 100), ("a", 200), ("c", 300)]
        for name, x in places[::-1] if reverse else places:
            end = rail(d, name, 200, (x, 22, 0), "y")
            d.join(DowelJoint(end, front, positions=(12, 40) if name == "a" else None))
        return d

    assert jig_plan(frozen(frame(False))) == jig_plan(frozen(frame(True)))


def test_the_duty_desk_in_the_default_workshop(duty: tuple[DeskModel, JigPlan]) -> None:
    model = replace(duty[0], workshop=default_workshop())
    plan = jig_plan(model)
    assert not plan.not_made
    for jig in plan.jigs:
        check_tools(jig, model.workshop)
    assert jig_off_target.CHECK.run(Facts(model)) == []


@pytest.mark.parametrize("name", DESKS)
def test_the_check_says_the_same(name: str) -> None:
    assert [f.message for f in jig_off_target.CHECK.run(Facts(MODELS[name]))] == []
