"""Laws of every bent plate: closed form = kernel = meshes; flat and folded hold one sheet; fold and unfold are inverse."""

from __future__ import annotations

import itertools
import math
from random import Random

import numpy as np
import pytest
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib

from deskmodel.bends import FoldedBlank
from deskmodel.errors import InputFault
from deskmodel.extent import reach
from deskmodel.flat import FlatPattern, flat_pattern
from deskmodel.frames import axis_angle, norm, sub
from deskmodel.meshes.second_volume import CHORD_SHARE, volume_by_meshes
from deskmodel.part import Plate, removals_of
from deskmodel.solids.build import build_solid, volume_of
from deskmodel.solids.measure import PointTest
from deskmodel.solids.meshing import triangulate
from tests.bends.brackets import BRACKETS

every = pytest.mark.parametrize("plate", BRACKETS.values(), ids=BRACKETS.keys())


def points_of(flat: FlatPattern, rng: Random, count: int) -> list[tuple[str, tuple[float, float], float]]:
    """(region, (x, y), height) at random in the flat, the middles of bends among them."""
    x0, y0, x1, y1 = flat.outline.bounds
    found = []
    for bend in flat.bends:
        for _ in range(8):
            place = bend.to_flat(rng.uniform(bend.start, bend.stop), rng.uniform(0.01, 0.99) * bend.allowance)
            found.append((bend.name, place, rng.uniform(0, flat.thickness)))
    while len(found) < count:
        place = rng.uniform(x0, x1), rng.uniform(y0, y1)
        inside = flat.outline.contains(place)
        try:
            region = flat.region_at(place)
        except InputFault:
            assert not inside  # panels and bends fill the flat
            continue
        assert inside
        found.append((region, place, rng.uniform(0, flat.thickness)))
    return found


@every
def test_volume_of_the_folded_solid(plate: Plate) -> None:
    blank, removals = plate.blank, removals_of(plate)
    removed = sum(removal.volume for removal in removals)
    solid = build_solid(blank, removals, plate.name)  # BuildFault unless valid and one
    assert volume_of(solid) == pytest.approx(blank.volume - removed, rel=1e-9)
    assert volume_by_meshes(blank, removals) == pytest.approx(blank.volume - removed, rel=CHORD_SHARE / 100)


@every
def test_flat_and_folded_hold_the_same_sheet(plate: Plate) -> None:
    """A bend of K = 1/2 keeps the volume; the neutral fibre off the middle changes it by A t² (K - 1/2) a millimetre:
    in the flat A (R + K t) t, folded the sector A/2 ((R + t)² - R²) = A t (R + t/2)."""
    blank, flat, t = plate.blank, flat_pattern(plate), plate.thickness
    change = sum(math.radians(b.angle) * t * t * (b.k - 0.5) * (b.stop - b.start) for b in flat.bends)
    assert flat.outline.area * t - blank.volume == pytest.approx(change, abs=1e-9 * blank.volume)
    solid = build_solid(flat.plate.blank, removals_of(flat.plate), "flat")
    removed = sum(removal.volume for removal in removals_of(plate))
    assert volume_of(solid) == pytest.approx(flat.outline.area * t - removed, rel=1e-9)


@every
def test_fold_and_unfold_are_inverse(plate: Plate) -> None:
    flat = flat_pattern(plate)
    for region, place, height in points_of(flat, Random(plate.name), 200):
        folded = flat.fold(place, height)
        assert flat.fold(place, height, region) == folded
        assert flat.unfold(folded, region) == pytest.approx((*place, height), abs=1e-9)
        assert flat.unfold(folded) == pytest.approx((*place, height), abs=1e-9)  # no other region holds the point


@every
def test_folded_points_lie_in_the_kernels_solid(plate: Plate) -> None:
    flat = flat_pattern(plate)
    inside = PointTest(build_solid(plate.blank, (), plate.name))
    for _, place, height in points_of(flat, Random(plate.name), 60):
        if flat.outline.distance(place) > 0.01:
            deep = min(max(height, 0.01), plate.thickness - 0.01)
            assert inside(flat.fold(place, deep))


@every
def test_lengths_are_kept(plate: Plate) -> None:
    """Within a panel all lengths; in a bend those along the neutral fibre, as a chain of short steps, and those along it."""
    flat, rng = flat_pattern(plate), Random(plate.name)
    points = points_of(flat, rng, 120)
    for panel in flat.panels:
        own = [(place, height) for region, place, height in points if region == panel.name]
        for (p, h), (q, g) in itertools.pairwise(own):
            assert norm(sub(flat.fold(p, h), flat.fold(q, g))) == pytest.approx(
                math.hypot(p[0] - q[0], p[1] - q[1], h - g), rel=1e-9)
    for bend in flat.bends:
        fibre = bend.k * bend.thickness if bend.up < 0 else bend.thickness - bend.k * bend.thickness
        u, n = (bend.start + bend.stop) / 2, 2000
        chain = [flat.fold(bend.to_flat(u, bend.allowance * i / n), fibre, bend.name) for i in range(n + 1)]
        steps = sum(norm(sub(a, b)) for a, b in itertools.pairwise(chain))
        assert steps == pytest.approx(bend.allowance, rel=1e-6)  # chords of n parts: relative (A/n)² / 24
        ends = [flat.fold(bend.to_flat(v, bend.allowance / 3), 0.3, bend.name) for v in (bend.start, bend.stop)]
        assert norm(sub(*ends)) == pytest.approx(bend.stop - bend.start, rel=1e-9)


@every
def test_regions_join_without_a_step(plate: Plate) -> None:
    """At its two lines a bend and its neighbours give the same point: nothing jumps where the sheet begins to curve."""
    flat = flat_pattern(plate)
    for bend in flat.bends:
        leg = next(panel for panel in flat.panels if panel.name == bend.leg)
        for u in (bend.start, bend.stop):
            for h in (0.0, plate.thickness):
                at_leg = bend.to_flat(u, bend.allowance)
                assert flat.fold(at_leg, h, leg.name) == pytest.approx(flat.fold(at_leg, h, bend.name), abs=1e-9)
                at_base = bend.to_flat(u, 0.0)
                others = [flat.fold(at_base, h, panel.name) for panel in flat.panels if panel is not leg]
                assert min(norm(sub(p, flat.fold(at_base, h, bend.name))) for p in others) < 1e-9


@every
def test_extent_is_exact(plate: Plate) -> None:
    blank = plate.blank
    assert isinstance(blank, FoldedBlank)
    solid = build_solid(blank, (), plate.name)
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(solid, box, False, False)
    assert (*blank.bounds[0], *blank.bounds[1]) == pytest.approx(box.Get(), abs=1e-6)
    nodes = np.concatenate([face.nodes for face in triangulate(solid, 1e-3, 0.05)])
    rng = Random(plate.name)
    for _ in range(20):
        way = axis_angle((rng.gauss(0, 1), rng.gauss(0, 1), rng.gauss(0, 1)), rng.uniform(0, 360)).axis(0)
        farthest = float((nodes @ np.array(way)).max())
        assert farthest - 1e-6 <= reach(blank, way) <= farthest + 2e-3  # chords lie inside by at most the deflection


@every
def test_bend_lines_are_the_middles_of_bends(plate: Plate) -> None:
    flat = flat_pattern(plate)
    assert [line.flange for line in flat.bend_lines] == [bend.leg for bend in flat.bends]
    assert len(flat.bend_lines) == len(plate.flanges)
    for line, bend in zip(flat.bend_lines, flat.bends, strict=True):
        assert math.dist(line.start, line.stop) == pytest.approx(bend.stop - bend.start)
        assert flat.region_at(((line.start[0] + line.stop[0]) / 2, (line.start[1] + line.stop[1]) / 2)) == bend.name
        # up is towards the top side: seen there, the bend's middle stands above the plane in which it begins
        begins, middle = (flat.fold(bend.to_flat(bend.start, share * bend.allowance), plate.thickness / 2, bend.name)
                          for share in (0.0, 0.5))
        rise = sum((m - b) * w for m, b, w in zip(middle, begins, bend.w, strict=True))
        assert (rise > 0) == (line.direction == "up")


def test_an_unbent_plate_has_a_flat_too() -> None:
    flat = flat_pattern(Plate("p", BRACKETS["ell"].outline, 3, "birch ply", BRACKETS["round end"].features[:0]))
    assert flat.outline == BRACKETS["ell"].outline
    assert flat.bend_lines == ()
    assert flat.fold((10.0, 20.0), 1.5) == (10.0, 20.0, 1.5)
