"""Where cuts lie: outlines without symmetry on every face are not mirrored, and countersinks have the trade's sizes."""

from __future__ import annotations

import math

import numpy as np
import pytest
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_Circle
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from deskmodel.errors import InputFault
from deskmodel.features import CutOut, Hole, Pocket, Prism, Slot
from deskmodel.frames import Pose
from deskmodel.part import Part, Plate, SheetBlank, removals_of, with_features
from deskmodel.profiles import Profile, rectangle
from deskmodel.solids.build import build_solid, volume_of
from tests.features.cases import MEMBER, PLATE, lens
from tests.test_profiles import dense, shoelace


def centre_of_mass(shape: TopoDS_Shape) -> np.ndarray:
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties)
    p = properties.CentreOfMass()
    return np.array([p.X(), p.Y(), p.Z()])


def centroid(outline: Profile) -> tuple[float, float]:
    """Of the area, from a dense polygon (textbook formula)."""
    points = dense(outline, 2000)
    (x, y), (p, q) = points.T, np.roll(points, -1, axis=0).T
    cross = x * q - p * y
    return float(np.sum((x + p) * cross) / (6 * shoelace(points))), float(np.sum((y + q) * cross) / (6 * shoelace(points)))


def removed_from(part: Part, feature: object) -> tuple[float, np.ndarray]:
    """(volume, centre) of what the feature took away, from the kernel's solids of blank and part."""
    whole = build_solid(part.blank, (), "blank")
    left = build_solid(part.blank, removals_of(with_features(part, [feature])), "cut")
    v0, v1 = volume_of(whole), volume_of(left)
    return v0 - v1, (v0 * centre_of_mass(whole) - v1 * centre_of_mass(left)) / (v0 - v1)


# (u, v, depth) of a face as x, y, z of the part: u and v are the part's own other two coordinates
X, Y, Z = 400.0, 22.0, 60.0
ON_MEMBER = {"datum end": lambda u, v, d: (d, u, v), "far end": lambda u, v, d: (X - d, u, v),
             "face side": lambda u, v, d: (u, d, v), "back side": lambda u, v, d: (u, Y - d, v),
             "under edge": lambda u, v, d: (u, v, d), "face edge": lambda u, v, d: (u, v, Z - d)}
ON_PLATE = {"bottom": lambda u, v, d: (u, v, d), "top": lambda u, v, d: (u, v, 6 - d)}


@pytest.mark.parametrize(("part", "face", "at"), [
    *((MEMBER, face, at) for face, at in ON_MEMBER.items()), *((PLATE, face, at) for face, at in ON_PLATE.items())],
    ids=[*ON_MEMBER, *ON_PLATE])
def test_an_outline_without_symmetry_is_not_mirrored(part: Part, face: str, at: object) -> None:
    middle = (100.0, 60.0) if part is PLATE else (11.0, 25.0) if "end" in face else (120.0, 11.0)
    outline, area = lens(14.0, 8.0, *middle)
    u, v = centroid(outline)
    for feature, depth in ((Pocket(face, outline, 2.5), 2.5), (CutOut(outline, face), part.blank.face(face).behind)):
        volume, centre = removed_from(part, feature)
        assert volume == pytest.approx(area * depth, rel=1e-6)
        assert centre == pytest.approx(at(u, v, depth / 2), abs=2e-3)


@pytest.mark.parametrize("face", ["bottom", "top"])
def test_a_turned_slot_turns_from_u_towards_v_on_both_faces(face: str) -> None:
    # area centre of a slot says nothing of its angle: a second slot's does, cut at the far end of the first
    volume, centre = removed_from(PLATE, Slot(face, (100, 60), 40, 10, None, 30))
    assert centre == pytest.approx((100, 60, 3), abs=1e-6)
    tip = (100 + 15 * math.cos(math.radians(30)), 60 + 15 * math.sin(math.radians(30)))
    with_tip = with_features(PLATE, [Slot(face, (100, 60), 40, 10, None, 30), Hole(face, tip, 9.99)])
    assert PLATE.blank.volume - volume_of(build_solid(PLATE.blank, removals_of(with_tip), "x")) \
        == pytest.approx(volume, rel=1e-9)  # the hole lies wholly in the slot's round end


def test_a_prism_from_below_is_one_wire_of_the_sheet() -> None:
    """A through prism whose z looks down: the sheet is still one face with wires, and the outline not mirrored."""
    outline, area = lens(14.0, 8.0, 0.0, 0.0)
    pose = Pose(((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)), (50.0, 40.0, 3.0))
    blank = SheetBlank(rectangle(100, 80), 3.0)
    solid = build_solid(blank, (Prism(outline, pose, 3.0),), "sheet")
    u, v = centroid(outline)
    centre = (24000 * np.array([50, 40, 1.5]) - volume_of(solid) * centre_of_mass(solid)) / (24000 - volume_of(solid))
    assert volume_of(solid) == pytest.approx(24000 - 3 * area, rel=1e-9)
    assert centre == pytest.approx((50 + u, 40 - v, 1.5), abs=1e-3)


# ---- countersinks

def circles(shape: TopoDS_Shape) -> dict[float, float]:
    """{z of each full or part circle: its diameter}."""
    found = {}
    explorer = TopExp_Explorer(shape, TopAbs_EDGE)
    while explorer.More():
        edge = TopoDS.Edge_s(explorer.Current())
        curve = None if BRep_Tool.Degenerated_s(edge) else BRepAdaptor_Curve(edge)
        if curve is not None and curve.GetType() == GeomAbs_Circle:
            found[round(curve.Circle().Location().Z(), 6)] = 2 * curve.Circle().Radius()
        explorer.Next()
    return found


def test_m4_countersink_in_a_thin_plate() -> None:
    # ISO 10642 M4: theoretical head 8.96, 90°; 1.5 mm down the cone is 2 * 1.5 narrower: 5.96 (trade notes: 5.96 edge hole)
    plate = Plate("p", rectangle(40, 40), 1.5, "steel", features=(Hole("top", (20, 20), 4.5, countersink=(8.96, 90)),))
    solid = build_solid(plate.blank, removals_of(plate), "p")
    assert circles(solid) == pytest.approx({0.0: 5.96, 1.5: 8.96}, abs=1e-9)
    frustum = math.pi * 1.5 / 12 * (8.96**2 + 8.96 * 5.96 + 5.96**2)
    assert volume_of(solid) == pytest.approx(2400 - frustum, rel=1e-9)


def test_m4_countersink_in_a_thick_plate() -> None:
    # depth of a 90° countersink (Dk - Dhole) / 2 = (8.96 - 4.5) / 2 = 2.23
    plate = Plate("p", rectangle(40, 40), 5, "steel", features=(Hole("top", (20, 20), 4.5, countersink=(8.96, 90)),))
    solid = build_solid(plate.blank, removals_of(plate), "p")
    assert circles(solid) == pytest.approx({0.0: 4.5, 2.77: 4.5, 5.0: 8.96}, abs=1e-9)
    frustum = math.pi * 2.23 / 12 * (8.96**2 + 8.96 * 4.5 + 4.5**2)
    assert volume_of(solid) == pytest.approx(8000 - frustum - math.pi * 4.5**2 / 4 * 2.77, rel=1e-9)


def test_countersink_just_as_deep_as_the_plate() -> None:
    plate = Plate("p", rectangle(40, 40), 2.23, "steel", features=(Hole("bottom", (20, 20), 4.5, countersink=(8.96, 90)),))
    assert circles(build_solid(plate.blank, removals_of(plate), "p")) == pytest.approx({0.0: 8.96, 2.23: 4.5}, abs=1e-6)


@pytest.mark.parametrize("hole", [
    Hole("top", (20, 20), 4.5, countersink=(4.5, 90)), Hole("top", (20, 20), 4.5, countersink=(8.96, 20)),
    Hole("top", (20, 20), 4.5, 2.0, countersink=(8.96, 90)),  # 2.23 deep in a blind hole 2 deep
    Hole("top", (20, 20), 4.5, counterbore=(8, 1), countersink=(8.96, 90)), Hole("top", (20, 20), 4.5, counterbore=(4, 1)),
    Hole("top", (3, 20), 4.5, countersink=(8.96, 90)),  # the cone leaves the plate, the hole does not
    Hole("top", (20, 20), 4.5, 3, 118), Hole("top", (20, 20), 4.5, None, 118), Hole("top", (20, 20), 4.5, 3.1),
])
def test_holes_that_cannot_be_cut(hole: Hole) -> None:
    with pytest.raises(InputFault):
        Plate("p", rectangle(40, 40), 3, "steel", features=(hole,))
