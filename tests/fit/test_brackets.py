"""The fit engine on bent plates, against school geometry: a box before a flange, in the bend, a pin in the flange's hole."""

from __future__ import annotations

import math

import pytest

from deskmodel import Flange, Hole, Plate, rectangle
from deskmodel.fit import Body, FitEngine, FitProblem, FitReport, RequiredGap
from deskmodel.frames import Pose, Vec, axis_angle
from deskmodel.solids.part_shape import shape_of
from tests.fit.shapes import Made, box, cylinder

# leg 50 at the back, outer face at y = 40, inner at 38.5; R = t = 1.5: axis of the bend at y = 37, z = 3
BRACKET = Plate("bracket", rectangle(80, 40), 1.5, "steel", flanges=(Flange("back", 50, radius=1.5),),
                features=(Hole("back flange outside", (40, 30), 6.0), Hole("top", (20, 15), 4.5)))
TURNED = Pose(axis_angle((2, -1, 5), 71).rotation, (310.0, -120.0, 45.0))
ALONG_Y = axis_angle((1, 0, 0), -90)  # z of a cylinder along +y


def report(engine: FitEngine, made: Made, at: Vec, minimum: float, turn: Pose | None = None, plate: Plate = BRACKET,
           moved: Pose = TURNED) -> FitReport:
    own = Pose(turn.rotation if turn else Pose().rotation, at)
    found = engine.run(FitProblem((Body("bracket", shape_of(plate), moved), Body("other", made, moved @ own)),
                                  (RequiredGap("bracket", "other", minimum, "air"),)))
    assert not found.not_measured
    return found


@pytest.mark.parametrize("gap", [0.3, 2.0, 7.5])
@pytest.mark.parametrize("moved", [Pose(), TURNED], ids=["square", "turned"])
def test_a_box_before_the_flange(engine: FitEngine, gap: float, moved: Pose) -> None:
    low = (30.0, 38.5 - gap - 10, 20.0)
    found = report(engine, box(20, 10, 15), low, gap + 0.5, moved=moved)
    assert [fault.gap for fault in found.gap_faults] == pytest.approx([gap], abs=1e-6)
    assert not found.overlaps
    assert not report(engine, box(20, 10, 15), low, gap - 0.02, moved=moved).gap_faults


@pytest.mark.parametrize(("a", "b"), [(1.0, 1.0), (0.6, 0.8), (0.9, 0.5)])
def test_a_box_with_its_edge_in_the_bend(engine: FitEngine, a: float, b: float) -> None:
    """Its long edge ``a`` from the leg and ``b`` from the base, above the rounding inside: R less its distance from the
    axis, which lies R from both."""
    gap = 1.5 - math.hypot(1.5 - a, 1.5 - b)
    assert gap < min(a, b)
    found = report(engine, box(40, 10, 15), (20.0, 38.5 - a - 10, 1.5 + b), 1.4)
    assert [fault.gap for fault in found.gap_faults] == pytest.approx([gap], abs=1e-4)
    assert not found.overlaps


def test_a_pin_behind_the_rounding(engine: FitEngine) -> None:
    """Along the bend, outside: from the axis at 45° down and back, R + t = 3, gap 0.7, then the pin's radius 2."""
    away = (3 + 0.7 + 2) / math.sqrt(2)
    along_x = axis_angle((0, 1, 0), 90)
    found = report(engine, cylinder(2, 30), (25.0, 37 + away, 3 - away), 1.0, along_x)
    assert [fault.gap for fault in found.gap_faults] == pytest.approx([0.7], abs=1e-4)
    # where the sheet was not bent but square, the corner would reach nearer: 3 (sqrt 2 - 1) = 1.24 more than 0.7


@pytest.mark.parametrize("deep", [0.01, 0.05, 0.4])
def test_a_box_pushed_into_the_flange(engine: FitEngine, deep: float) -> None:
    found = report(engine, box(20, 10, 15), (50.0, 38.5 - 10 + deep, 20.0), 0.5)
    assert [each.penetration for each in found.overlaps] == pytest.approx([deep], abs=1e-4)
    assert not report(engine, box(20, 10, 15), (50.0, 28.5, 20.0), 0.0).overlaps  # touching


def test_a_pin_in_the_hole_of_the_flange(engine: FitEngine) -> None:
    # hole Ø 6 at x 40, z 30; pin Ø 5.6: 0.2 all round
    free = report(engine, cylinder(2.8, 30), (40.0, 20.0, 30.0), 0.5, ALONG_Y)
    assert [fault.gap for fault in free.gap_faults] == pytest.approx([0.2], abs=1e-4)
    assert not free.overlaps
    assert not report(engine, cylinder(3.0, 30), (40.0, 20.0, 30.0), 0.0, ALONG_Y).overlaps  # equal Ø: contact
    off = report(engine, cylinder(3.0, 30), (40.1, 20.0, 30.0), 0.0, ALONG_Y)
    assert len(off.overlaps) == 1
    # beside the hole, right through the sheet
    through = report(engine, cylinder(3.0, 30), (60.0, 20.0, 30.0), 0.0, ALONG_Y)
    assert [each.penetration for each in through.overlaps] == pytest.approx([1.5], abs=1e-3)


def test_a_box_in_a_closed_profile_is_not_swallowed(engine: FitEngine) -> None:
    """A C of three bends: what lies in its hollow is apart from it by the room that is left."""
    profile = Plate("c", rectangle(80, 40), 1.5, "steel", flanges=(
        Flange("back", 30), Flange("back flange", 38), Flange("back flange return", 25)))
    # inside: z 1.5 to 28.5; a box 20 high standing 2 above the base leaves 5 above it
    found = report(engine, box(40, 20, 20), (20.0, 12.0, 3.5), 2.5, plate=profile)
    assert [fault.gap for fault in found.gap_faults] == pytest.approx([2.0], abs=1e-6)
    assert not found.overlaps
