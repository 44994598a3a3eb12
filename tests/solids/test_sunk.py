"""Letters let into bodies without a boolean: what the kernel's own boolean makes of the same cuts."""

from __future__ import annotations

import random
from collections.abc import Sequence

import pytest
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.TopAbs import TopAbs_FACE
from OCP.TopoDS import TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from deskmodel.features import Prism, Removal
from deskmodel.frames import Pose, pose_from_axes
from deskmodel.part import Bodies
from deskmodel.profiles import circle, polygon, rectangle
from deskmodel.solids._primitives import prism_solid
from deskmodel.solids._sunk import sunk_ones
from deskmodel.solids.brep import explored
from deskmodel.solids.build import build_solid, volume_of
from deskmodel.solids.measure import common

# a slab 100 × 60 × 10 with a wall 5 thick along its back, 20 above it
BODIES = Bodies((Prism(rectangle(100.0, 60.0), Pose(), 10.0), Prism(rectangle(100.0, 5.0, (0.0, 55.0)), Pose(), 30.0)))
DEEP = 0.8


def on_top(x: float, y: float, deep: float = DEEP) -> Prism:
    """A triangle, as far above the slab's top as it is deep."""
    return Prism(polygon([(x, y), (x + 4, y), (x + 1, y + 5)]), Pose(origin=(0.0, 0.0, 10.0 - deep)), 2 * deep)


def in_front(x: float, z: float) -> Prism:
    """A disc in the front side, which looks along -y; its axis points out of the material."""
    return Prism(circle(4.0, (x, z)), pose_from_axes((0.0, DEEP, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0)), 2 * DEEP)


def from_outside(x: float, z: float) -> Prism:
    """The same the other way round: its axis points into the material."""
    return Prism(circle(4.0, (x, -z)), pose_from_axes((0.0, -DEEP, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)), 2 * DEEP)


LETTERS = [*(on_top(x, y) for x in (5.0, 20.0, 35.0, 50.0) for y in (5.0, 20.0)), in_front(10.0, 5.0),
           from_outside(30.0, 5.0)]


def plain(removals: Sequence[Removal]) -> TopoDS_Shape:
    """All by one boolean."""
    arguments, tools = TopTools_ListOfShape(), TopTools_ListOfShape()
    arguments.Append(build_solid(BODIES, (), "body"))
    for removal in removals:
        assert isinstance(removal, Prism)
        tools.Append(prism_solid(removal))
    operation = BRepAlgoAPI_Cut()
    operation.SetArguments(arguments)
    operation.SetTools(tools)
    operation.Build()
    return operation.Shape()


def check(removals: Sequence[Removal], sunk: int) -> None:
    """``sunk``: how many of them are let in; the solid is that of the boolean, point for point."""
    found, rest = sunk_ones(build_solid(BODIES, (), "body"), removals, removals)
    assert (len(found), len(rest)) == (sunk, len(removals) - sunk)
    solid, expected = build_solid(BODIES, removals, "body"), plain(removals)
    assert BRepCheck_Analyzer(solid).IsValid()
    assert volume_of(solid) == pytest.approx(volume_of(expected), rel=1e-12)
    shared = common(solid, expected)
    assert shared is not None
    assert volume_of(shared) == pytest.approx(volume_of(expected), rel=1e-9)
    assert len(explored(solid, TopAbs_FACE)) == len(explored(expected, TopAbs_FACE))


def test_letters_are_let_in_whichever_way_their_prisms_run() -> None:
    check(LETTERS, sunk=10)
    by_hand = 100 * 60 * 10 + 100 * 5 * 20 - 8 * 10.0 * DEEP  # triangles of 4 × 5 / 2
    by_hand -= 2 * 3.141592653589793 * 4.0 * DEEP
    assert volume_of(build_solid(BODIES, LETTERS, "body")) == pytest.approx(by_hand, rel=1e-12)


def test_with_a_groove_elsewhere_in_the_same_face() -> None:
    groove = Prism(rectangle(3.0, 80.0, (70.0, -10.0)), Pose(origin=(0.0, 0.0, 8.0)), 5.0)
    check([*LETTERS, groove], sunk=10)


@pytest.mark.parametrize("other", [
    on_top(97.0, 20.0),                       # over the right edge
    on_top(80.0, 52.0),                       # into the wall
    on_top(6.0, 6.0),                         # into another letter
    on_top(80.0, 20.0, 11.0),                 # right through
    in_front(60.0, 9.0),                      # over the edge of top and front
    in_front(99.0, 5.0),                      # over the edge of front and right side
], ids=["edge", "wall", "letter", "through", "top edge", "side edge"])
def test_what_meets_anything_else_is_left_to_the_boolean(other: Prism) -> None:
    met = 1 if other.bounds[0][:2] == (6.0, 6.0) else 0
    check([*LETTERS, other], sunk=10 - met)


def test_few_are_not_worth_it() -> None:
    check(LETTERS[:4], sunk=0)


@pytest.mark.parametrize("seed", range(6))
def test_anywhere(seed: int) -> None:
    dice = random.Random(seed)
    letters = [on_top(dice.uniform(-5, 100), dice.uniform(-5, 58), dice.choice((0.6, 0.9))) for _ in range(25)]
    solid, expected = build_solid(BODIES, letters, "body"), plain(letters)
    assert BRepCheck_Analyzer(solid).IsValid()
    assert volume_of(solid) == pytest.approx(volume_of(expected), rel=1e-9)
    shared = common(solid, expected)
    assert shared is not None
    assert volume_of(shared) == pytest.approx(volume_of(expected), rel=1e-9)
