"""Which faces of two placed parts face each other, and boxes of placed parts."""

from __future__ import annotations

import inspect
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib

from deskmodel import (
    Bevel,
    Bond,
    Component,
    CutOut,
    Desk,
    DowelJoint,
    Groove,
    InputFault,
    Member,
    Notch,
    Plate,
    Rest,
    rectangle,
)
from deskmodel.catalogue import dowel_size
from deskmodel.component._part import box_prism, cylinder_prism
from deskmodel.faces import PlacedPart, facing, placed_box
from deskmodel.frames import Pose, axis_angle
from deskmodel.hardware import Hardware, dowel
from deskmodel.part import removals_of
from deskmodel.profiles import circle, obround, polygon
from deskmodel.solids._primitives import location
from deskmodel.solids.build import build_solid
from tests.desks.build import frozen, plate, rail
from tests.features.cases import lens


def two(gap: float, shift: float = 0.0) -> tuple[PlacedPart, PlacedPart]:
    a = PlacedPart(Member("a", (22, 60), 300, "ash"), Pose(), "member")
    b = PlacedPart(Member("b", (22, 60), 300, "ash"), Pose(origin=(shift, 22 + gap, 0.0)), "member")
    return a, b


@pytest.mark.parametrize("gap", [0.0, 0.3, -0.3, 10.0, -10.0, 0.01, -0.01, 5.0])
def test_apart_is_the_distance_of_the_planes(gap: float) -> None:
    pair = facing(*two(gap, 100))
    assert (pair.a.name, pair.b.name) == ("back side", "face side")
    assert pair.apart == pytest.approx(gap, abs=1e-12)
    assert pair.region == (100, 0, 300, 60)
    assert pair.middle == pytest.approx((200, 22, 30))
    assert facing(*reversed(two(gap, 100))).apart == pytest.approx(gap, abs=1e-12)


@pytest.mark.parametrize(("gap", "shift"), [(10.01, 0), (-11.5, 0), (0, 300), (0, 1000), (200, 0), (0, -300)])
def test_none(gap: float, shift: float) -> None:
    with pytest.raises(InputFault, match="no faces that face each other"):
        facing(*two(gap, shift))


@pytest.mark.parametrize(("gap", "shift", "told"), [
    (556, 100, "; nearest: back side of 'a' and face side of 'b', 556 mm apart"),
    (10.25, 0, "; nearest: back side of 'a' and face side of 'b', 10.25 mm apart"),
    (-22, 340.5, "; nearest: far end of 'a' and datum end of 'b', 40.5 mm apart"), (200, 1000, "other")])
def test_the_nearest_of_parts_that_do_not_meet(gap: float, shift: float, told: str) -> None:
    with pytest.raises(InputFault) as caught:
        facing(*two(gap, shift))
    assert caught.value.problem.endswith(told)


def test_ambiguous_is_said_to_be() -> None:
    near = PlacedPart(Member("near", (8, 8), 300, "ash"), Pose(origin=(0.0, 5.0, 5.0)), "member")
    corner = PlacedPart(Member("corner", (8, 8), 300, "ash"), Pose(), "member")
    with pytest.raises(InputFault, match="more than one place") as caught:  # 3 into it upwards and 3 sideways
        facing(near, corner)
    assert "back side to face side" in caught.value.problem or "face side to back side" in caught.value.problem


def test_touching_goes_before_apart() -> None:
    near = PlacedPart(Member("near", (8, 8), 300, "ash"), Pose(origin=(0.0, 5.0, 8.0)), "member")
    corner = PlacedPart(Member("corner", (8, 8), 300, "ash"), Pose(), "member")
    assert facing(near, corner).apart == 0


def test_askew_parts_do_not_face_each_other() -> None:
    a, _ = two(0)
    turned = axis_angle((0, 1, 0), 30)
    b = PlacedPart(Member("b", (22, 60), 300, "ash"), Pose(turned.rotation, (0.0, 22.0, 0.0)), "member")
    with pytest.raises(InputFault):  # their sides are parallel, but turned against each other
        facing(a, b)


def test_where_a_notch_has_taken_the_face_away() -> None:
    a, b = two(0, 250)  # they meet over 50 mm
    notched = PlacedPart(Member("a", (22, 60), 300, "ash", (Notch("back side", 240, 60, 5),)), a.pose, "member")
    assert (facing(notched, b).a.name, facing(notched, b).apart) == ("notch face 1", 5)  # the floor of the notch is left
    through = PlacedPart(Member("a", (22, 60), 300, "ash", (Notch("back side", 240, 60, 15),)), a.pose, "member")
    with pytest.raises(InputFault, match="cut away"):
        facing(through, b)
    notched = PlacedPart(Member("a", (22, 60), 300, "ash", (Notch("back side", 260, 40, 5),)), a.pose, "member")
    assert facing(notched, b).apart == 0


def test_feet_of_a_component_are_what_touches() -> None:
    feet = (box_prism((100, 60, 20), (0, 0, 5)), box_prism((10, 60, 5), (0, 0, 0)), box_prism((10, 60, 5), (90, 0, 0)))
    box = Component("box", "s", "invented", feet, 1.0)
    for width, apart in ((80, 5), (81, 0)):
        d = Desk("feet")
        b = d.place(box, (0, 0, 3))
        p = plate(d, "plate", width, 60, (10, 0, 0), 3)
        d.join(Rest(b, p))
        assert frozen(d).joints[0].apart == apart  # between its feet the plate faces the box itself, 5 higher


def test_a_rim_hangs_by_its_own_underside() -> None:
    """A box with a rim in an opening: its bounding box faces nothing, the rim's underside rests on the plate."""
    box = Component("well", "s", "invented", (box_prism((60, 40, 50), (0, 0, 0)), box_prism((70, 50, 2), (-5, -5, 50))), 1.0)
    d = Desk("rim")
    p = d.place(Plate("plate", rectangle(200, 200), 1.5, "steel", (CutOut(rectangle(61, 41, (69.5, 79.5))),)), (0, 0, 0))
    b = d.place(box, (65, 75, -48.5))
    d.join(Rest(b, p))
    joint = frozen(d).joints[0]
    assert (joint.apart, joint.faces) == (0, ("body 2 start", "top"))


def test_glass_lies_in_a_rebate_and_a_strip_on_a_bevel() -> None:
    """The floor of a rebate and the slope of a bevel are faces that a rest finds: 1.9 deep with glass 4 thick on 0.5."""
    d = Desk("rebate")
    rail = d.place(Member("rail", (22, 60), 300, "ash", (Groove("face edge", at=16, width=12, depth=1.9, name="rebate"),
                                                         Bevel(("face side", "face edge"), 10.0))), (0, 0, 0))
    glass = d.place(Plate("glass", rectangle(280, 100), 4, "glass"), (10, 12, 58.6))
    d.join(Rest(glass, rail, pad=0.5))
    strip = Component("strip", "s", "invented", (box_prism((100, 12, 5), (0, 0, 0)),), 0.1)
    # the slope's middle line stands at y 5, z 55; its normal leans 45° to the front
    s = math.sqrt(0.5)
    placed = d.place(strip, (50, 5 - 6 * s - 5 * s, 55 - 6 * s), turn=45)
    d.join(Rest(placed, rail))
    rest = {joint.a: joint for joint in frozen(d).joints}
    assert rest["glass"].faces == ("bottom", "rebate face 1")
    assert rest["glass"].apart == pytest.approx(0, abs=1e-9)
    assert rest["strip"].faces == ("body 1 start", "bevel face 1")
    assert rest["strip"].apart == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("make", [
    lambda d, a, b: DowelJoint(a, b), lambda d, a, b: Bond(a, b, thickness=0.5), lambda d, a, b: Rest(a, b),
    lambda d, a, b: DowelJoint(a, a), lambda d, a, b: Rest(a, "nobody")])
def test_the_fault_is_told_at_the_line_of_the_joint(make: object) -> None:
    d = Desk("far")
    a, b = rail(d, "a", 300, (0, 0, 0)), rail(d, "b", 300, (0, 100, 0))
    line = inspect.currentframe().f_lineno + 1
    d.join(make(d, a, b))
    with pytest.raises(InputFault) as caught:
        frozen(d)
    assert (caught.value.file, caught.value.line) == (__file__, line)


# ---- boxes, against the kernel

PARTS = [Member("m", (22, 60), 300, "ash"), Plate("p", polygon([(0, 0), (90, 5), (60, 70)]), 3, "steel"),
         Plate("c", circle(80, (5, 7)), 3, "steel"), Plate("o", obround(80, 30, (9, 1), 25), 3, "steel"),
         Plate("l", lens(60, 40, 3, 3)[0], 3, "steel"),
         Component("k", "s", "i", (box_prism((50, 30, 20), (0, 0, 0)), cylinder_prism(12, 9, (20, 15, 20), (0, 0, 1)),
                                   cylinder_prism(10, 15, (50, 15, 10), (1, 0, 0))), 1.0),
         dowel("d", dowel_size("8x40"))]


def kernel_box(part: object, pose: Pose) -> np.ndarray:
    solid = build_solid(part.blank, removals_of(part), part.name).Moved(location(pose))
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(solid, box, False, False)
    return np.array(box.Get())


@settings(derandomize=True, deadline=None, max_examples=12)
@given(st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: np.linalg.norm(v) > 0.1), st.floats(-180, 180),
       st.tuples(*[st.floats(-500, 500)] * 3))
@pytest.mark.parametrize("part", PARTS, ids=lambda p: p.name)
def test_box_without_features_is_the_kernels(part: object, axis: tuple, degrees: float, origin: tuple) -> None:
    pose = Pose(axis_angle(axis, degrees).rotation, origin)
    (low, high), box = placed_box(PlacedPart(part, pose, "hardware" if isinstance(part, Hardware) else "plate")), \
        kernel_box(part, pose)
    assert np.allclose((*low, *high), box, atol=1e-4)  # the kernel's optimal box: found by search on curved edges


@pytest.mark.parametrize("turn", [(1, 0, 0, 0), (0, 0, 1, 90), (0, 1, 0, 180), (1, 0, 0, 270), (1, 1, 0, 33)])
def test_box_with_features_contains_the_kernels(turn: tuple[float, ...]) -> None:
    part = Member("m", (22, 60), 300, "ash", (Notch("face edge", 250, 50, 30), Notch("under edge", 250, 50, 20)))
    pose = Pose(axis_angle(turn[:3], turn[3]).rotation, (3.0, 4.0, 5.0))
    (low, high), box = placed_box(PlacedPart(part, pose, "member")), kernel_box(part, pose)
    assert np.all(np.array(low) <= box[:3] + 1e-6)
    assert np.all(np.array(high) >= box[3:] - 1e-6)
