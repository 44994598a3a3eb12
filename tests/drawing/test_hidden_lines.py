"""Visible and hidden edges against the kernel's own hidden-line removal, both ways, and against what can be reasoned."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from deskmodel import Bevel, CutOut, Flange, Groove, Hole, Member, Notch, Plate, Pocket, Slot, circle, obround, rectangle
from deskmodel.component import Component
from deskmodel.drawing._part_solids import solid_of
from deskmodel.drawing._sharp import edges_of
from deskmodel.drawing._solids import Solid
from deskmodel.drawing._strokes import Stroke, merged
from deskmodel.drawing.hidden_lines import View, look, view_of
from deskmodel.features import Prism, Revolve
from deskmodel.frames import Pose
from deskmodel.part import Part, removals_of
from deskmodel.solids.build import build_solid
from tests.drawing.hlr import STEP, kernel_view

WITHIN = 0.25  # mm from point to nearest point; both ways points are STEP apart

SIDES = {"front": ((0, -1, 0), (0, 0, 1)), "above": ((0, 0, 1), (0, 1, 0)), "left": ((-1, 0, 0), (0, 0, 1)),
         "below": ((0, 0, -1), (0, -1, 0)), "right": ((1, 0, 0), (0, 0, 1)), "back": ((0, 1, 0), (0, 0, 1))}
ASKEW = ((-0.42, -0.78, 0.72), (0.0, 0.0, 1.0))

PARTS: dict[str, Part] = {
    "dowelled rail": Member("rail", (22, 60), 184, "ash", (
        *(Hole(end, (11, z), 8, 26, 118) for end in ("datum end", "far end") for z in (15, 45)),
        Hole("face side", (60, 30), 20), Hole("under edge", (92, 11), 6.3, 13, 118, counterbore=(8.5, 1.2)))),
    "notched and rebated": Member("rail", (22, 60), 184, "ash", (
        Notch("under edge", 32, 120, 48), Groove("face edge", 6, 12, 1.9), Hole("back side", (20, 40), 8, 14))),
    "bevelled": Member("rail", (22, 60), 120, "ash", (
        Bevel(("face side", "face edge"), 20), Hole("far end", (15, 20), 8, 26))),
    "gently bevelled": Member("rail", (22, 60), 120, "ash", (Bevel(("face edge", "face side"), 20, 12.0),)),
    "mitred, with a bore into a notch": Member("rail", (22, 60), 150, "ash", (
        Bevel(("face side", "far end"), 22), Notch("face edge", 40, 30, 20), Hole("datum end", (11, 50), 10, 60))),
    "pockets": Member("board", (40, 60), 100, "ash", (
        Pocket("face side", obround(40, 12, (50, 30), 30), 8), Slot("back side", (50, 30), 30, 8, 15), Hole("face edge",
                                                                                                       (80, 20), 12))),
    "countersunk plate": Plate("plate", rectangle(80, 50, radius=6), 6, "steel", (
        Hole("top", (20, 20), 5, countersink=(10, 90)), Hole("bottom", (40, 20), 5, countersink=(9.4, 90)),
        CutOut(obround(20, 8, (60, 30), 40)), CutOut(circle(10, (20, 40))))),
    "angle": Plate("angle", rectangle(52, 40), 1.5, "steel", (Hole("back flange inside", (12, 20), 4),),
                   flanges=(Flange("back", 40, towards="bottom"),)),
    "tray": Plate("tray", rectangle(60, 50), 2, "aluminium", flanges=(Flange("left", 15), Flange("front", 12, angle=60))),
    "knobs": Component("strip", bodies=(
        Prism(rectangle(140, 22), Pose(), 5), Prism(circle(10, (12, 11)), Pose(origin=(0, 0, 5)), 2),
        Prism(circle(16, (126, 11)), Pose(origin=(0, 0, 5)), 6)), mass=0.1, sheet="none", source="invented"),
}


def points_of(strokes: tuple[Stroke, ...]) -> NDArray[np.float64]:
    rows = [s.at(i / n) for s in strokes for n in [max(2, math.ceil(s.length / STEP))] for i in range(n + 1)]
    return np.array(rows).reshape(-1, 2)


def far_from(points: NDArray[np.float64], others: NDArray[np.float64]) -> NDArray[np.float64]:
    """Those of ``points`` that lie farther than WITHIN from any of the others."""
    if not len(points):
        return points
    assert len(others)
    return points[cKDTree(others).query(points)[0] > WITHIN]


def compare(part: Part, view: View, step: float | None) -> None:
    solid = solid_of(part)
    assert solid is not None
    seen = look([solid], view, step)
    visible, hidden = points_of(seen.visible), points_of(seen.hidden)
    kernel_visible, kernel_hidden = kernel_view([build_solid(part.blank, removals_of(part), "part")], view)
    assert len(far_from(kernel_visible, visible)) == 0
    assert len(far_from(visible, kernel_visible)) == 0
    assert len(far_from(hidden, np.vstack([kernel_hidden, kernel_visible]))) == 0
    # the kernel also draws the seam of a cone, on its axis or its side; that is no edge
    missing = far_from(kernel_hidden, np.vstack([visible, hidden]))
    cones = [view.flat(cut.pose.apply((0.0, 0.0, z))) for cut in removals_of(part) if isinstance(cut, Revolve)
             for z in (h[1] for h in cut.half)]
    assert not len(missing) or cKDTree(np.array(cones)).query(missing)[0].max() < 6


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("name", PARTS)
def test_as_the_kernel_sees_it(name: str, side: str) -> None:
    compare(PARTS[name], view_of(*SIDES[side]), None)


@pytest.mark.parametrize("name", PARTS)
def test_as_the_kernel_sees_it_askew(name: str) -> None:
    compare(PARTS[name], view_of(*ASKEW), 1.0)


def test_two_parts_cover_each_other() -> None:
    one, two = (Member("m", (22, 60), 100, "ash"), Member("n", (10, 10), 40, "ash"))
    front = solid_of(one)
    assert front is not None
    behind = Solid([Prism(rectangle(40, 10), Pose(origin=(80, 40, 20)), 10)])
    seen = look([front, behind], view_of(*SIDES["front"]))
    # of the bar behind only what stands out past x = 100 is seen: 20 of 40
    stood_out = [s for s in seen.visible if s.a[0] > 100.001 or s.b[0] > 100.001]
    assert sum(s.length for s in stood_out) == pytest.approx(20 + 20 + 10)
    assert sum(s.length for s in seen.hidden) == pytest.approx(20 + 20 + 10)
    assert two.length == 40


def test_what_lies_on_the_seen_face_is_visible_and_all_else_is_hidden() -> None:
    part = Member("m", (22, 60), 100, "ash", (Hole("face side", (30, 20), 8, 16), Hole("back side", (70, 20), 8, 16)))
    solid = solid_of(part)
    assert solid is not None
    seen = look([solid], view_of(*SIDES["front"]))
    assert [s.centre for s in seen.visible if s.radius] == [pytest.approx((30, 20))]
    assert [s.centre for s in seen.hidden if s.radius] == [pytest.approx((70, 20))]
    above = look([solid], view_of(*SIDES["above"]))
    # both holes as two sides of 16 and a bottom of 8; their mouths lie in visible edges
    assert sum(s.length for s in above.hidden) == pytest.approx(2 * (16 + 16 + 8))


def test_edges_of_a_box_with_a_hole() -> None:
    solid = solid_of(Plate("p", rectangle(50, 30), 2, "steel", (CutOut(circle(10, (20, 15))),)))
    assert solid is not None
    edges = edges_of(solid)
    # 4 × (50 + 30 + 2) / 2 … of the box, two circles
    assert sum(edge.length for edge in edges) == pytest.approx(4 * (50 + 30 + 2) + 2 * math.pi * 10)


def test_strokes_are_laid_together() -> None:
    a = [Stroke((0, 0), (10, 0)), Stroke((12, 0), (5, 0)), Stroke((0, 1), (3, 1))]
    assert [s.length for s in merged(a)] == pytest.approx([12, 3])
    assert [s.length for s in merged(a, [Stroke((2, 0), (4, 0))])] == pytest.approx([2, 8, 3])
    arcs = [Stroke((0, 0), (0, 0), (5, 5), 2, start, math.pi) for start in (0.0, math.pi)]
    whole, = merged(arcs)
    assert whole.whole
    half, = merged(arcs, [Stroke((0, 0), (0, 0), (5, 5), 2, math.pi / 2, math.pi)])
    assert (half.start, half.sweep) == pytest.approx((3 * math.pi / 2, math.pi))
