"""What a plane cuts of a part, against the kernel: points in the plane lie in the section just where they lie in the solid.
Areas against closed forms; united areas against another library."""

from __future__ import annotations

import math
from random import Random

import cadquery as cq
import pytest
import shapely

from deskmodel import Desk, DowelJoint, Hole, InsertFixing, Member, Notch, Plate, rectangle
from deskmodel.component._part import cylinder_prism
from deskmodel.drawing.cross_sections import CutDesk, cut_shape
from deskmodel.drawing.hidden_lines import View
from deskmodel.features import Revolve
from deskmodel.frames import Pose, axis_angle
from deskmodel.meshes.areas import Area, area_of
from deskmodel.model import DeskModel, freeze
from deskmodel.solids.part_shape import shape_of
from tests.desks.small import small_desk

VIEWS = {"from above": View((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)), "from the front": View((1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
         "from the right": View((0.0, 1.0, 0.0), (0.0, 0.0, 1.0))}
WHOLE = (-1e4, -1e4, 1e4, 1e4)
CHORD = 0.15  # mm; arcs are drawn in chords of 5°, holes here are up to 40 wide


def shape(area: Area) -> shapely.Geometry:
    """Even-odd, by the other library."""
    found = shapely.Polygon()
    for ring in area.rings:
        found = found.symmetric_difference(shapely.Polygon(ring))
    return found


def askew() -> DeskModel:
    """A rail that is turned about its length, so that no face is square to a view, with a bore and a notch."""
    d = Desk("askew")
    d.place(Member("turned", (22, 60), 200, "ash", (Hole("face side", (60, 30), 20, purpose="cable"),
                                                    Notch("face edge", 120, 30, 15))), at=(0, 0, 0), along="y", turn=30)
    rail = d.place(Member("rail", (22, 60), 200, "ash"), at=(100, 0, 1.5))
    end = d.place(Member("end", (22, 60), 100, "ash"), at=(100, 22, 1.5), along="y")
    d.join(DowelJoint(end, rail))
    d.join(InsertFixing(d.place(Plate("under", rectangle(200, 122), 1.5, "steel"), at=(100, 0, 0)), rail, pitch=100))
    return freeze(d)[0]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("model", [freeze(small_desk())[0], askew()], ids=["small desk", "askew"])
def test_sections_hold_what_the_solids_hold(model: DeskModel, view: str) -> None:
    rng, pose, decided = Random(7), VIEWS[view].pose, 0
    desk = CutDesk(model.parts, VIEWS[view])
    back = pose.inverse()
    for placed in rng.sample(model.parts, min(18, len(model.parts))):
        solid = cq.Shape.cast(shape_of(placed.part).build())
        inverse = placed.pose.inverse()
        (x0, y0, z0), (x1, y1, z1) = desk.box(placed.name)
        for _ in range(2):
            level = rng.uniform(z0, z1)
            area = desk.cut(placed.name, level, WHOLE)
            section = shape(area) if area else shapely.Polygon()
            for _ in range(12):
                x, y = rng.uniform(x0 - 1, x1 + 1), rng.uniform(y0 - 1, y1 + 1)
                if section.boundary.distance(shapely.Point(x, y)) < CHORD:
                    continue
                point = cq.Vector(*inverse.apply(back.apply((x, y, level))))
                inside = any(each.isInside(point, 1e-6) for each in solid.Solids())
                assert section.contains(shapely.Point(x, y)) == inside, (placed.name, level, x, y)
                decided += inside
    assert decided > 20


def test_areas_by_hand() -> None:
    tube = Revolve(((3.0, 0.0), (5.0, 0.0), (5.0, 10.0), (3.0, 10.0)), Pose())
    across = area_of([cut_shape(tube, 4.0)])
    assert across.size == pytest.approx(math.pi * (25 - 9), rel=2e-3)  # chords of 5°
    lying = Revolve(tube.half, axis_angle((1, 0, 0), 90))
    assert area_of([cut_shape(lying, 0.0)]).size == pytest.approx(2 * 2 * 10)  # both walls, 2 thick and 10 long
    # 4 beside the axis: the outside is 2 √(25 − 16) wide, the bore does not reach there
    assert area_of([cut_shape(lying, 4.0)]).size == pytest.approx(2 * 3 * 10, rel=5e-3)
    leaning = cylinder_prism(10, 40, (0, 0, 0), (0, math.sin(math.radians(40)), math.cos(math.radians(40))))
    # an ellipse: the circle over the cosine of the lean
    assert area_of([cut_shape(leaning, 15.0)]).size == pytest.approx(math.pi * 25 / math.cos(math.radians(40)), rel=5e-3)
    rod = Revolve(((0.0, 0.0), (5.0, 0.0), (5.0, 40.0), (0.0, 40.0)), axis_angle((1, 0, 0), -40))
    assert area_of([cut_shape(rod, 15.0)]).size == pytest.approx(math.pi * 25 / math.cos(math.radians(40)), rel=0.02)


def test_areas_are_united_cut_and_shared_as_by_another_library() -> None:
    rng = Random(3)
    for _ in range(30):
        boxes = [(x, y, x + rng.uniform(1, 40), y + rng.uniform(1, 40)) for x, y in
                 ((rng.uniform(0, 60), rng.uniform(0, 60)) for _ in range(8))]
        rings = [[[(a, b), (c, b), (c, d), (a, d)]] for a, b, c, d in boxes]
        ours = area_of(rings[:4], rings[4:6], (10, 10, 80, 70))
        wanted = shapely.union_all([shapely.box(*box) for box in boxes[:4]])
        wanted = (wanted - shapely.union_all([shapely.box(*box) for box in boxes[4:6]])) & shapely.box(10, 10, 80, 70)
        assert ours.size == pytest.approx(wanted.area, abs=1e-3)
        other, also = area_of(rings[6:7]), shapely.box(*boxes[6])
        assert ours.shared(other).size == pytest.approx((wanted & also).area, abs=1e-3)
        assert shape(ours).symmetric_difference(wanted).area < 1e-3
