"""Outlines against each other: closed forms against shapely (arcs as fine chords) and by hand."""

from __future__ import annotations

import math
from random import Random

import pytest
from shapely.geometry import LinearRing, Polygon
from shapely.ops import unary_union

from deskmodel import Profile, circle, obround, polygon, rectangle
from deskmodel.contours import length_of, meeting, mirrored, nearest, widths
from deskmodel.cut_away import cut_away, groups
from deskmodel.errors import InputFault
from deskmodel.profiles import inside

FINE = math.radians(0.25)


def ring(shape: Profile) -> LinearRing:
    return LinearRing(shape.points(FINE))


def area(shape: Profile) -> Polygon:
    return Polygon(shape.points(FINE))


def shapes(rng: Random, count: int, spread: float = 60) -> list[Profile]:
    found: list[Profile] = []
    while len(found) < count:
        x, y, w, h = rng.uniform(0, spread), rng.uniform(0, spread), rng.uniform(3, 25), rng.uniform(3, 25)
        found.append(rng.choice([
            rectangle(w, h, (x, y)), circle(h, (x, y)), obround(w + h, h, (x, y), rng.uniform(0, 180)),
            rectangle(w, h, (x, y), radius=min(w, h) / 3), polygon([(x, y), (x + w, y + 3), (x + 4, y + h)])]))
    return found


@pytest.mark.parametrize("seed", range(5))
def test_nearest_is_that_of_shapely(seed: int) -> None:
    for a, b in zip(shapes(Random(seed), 40), shapes(Random(seed + 100), 40), strict=True):
        away, p, q = nearest(a, b)
        assert away == pytest.approx(ring(a).distance(ring(b)), abs=1e-3)  # a chord of 0.25° on r 12: 0.00003 deep
        assert math.dist(p, q) == pytest.approx(away, abs=1e-9)
        assert a.distance(p) <= 1e-6
        assert b.distance(q) <= 1e-6
        assert nearest(a, b, away) is None
        assert nearest(a, b, away + 1e-6) is not None
        assert (meeting(a, b) is not None) == (away <= 1e-6)


def test_nearest_by_hand() -> None:
    assert nearest(circle(10), circle(6, (11, 0)))[0] == pytest.approx(3)
    assert nearest(circle(10), circle(4, (1, 0))) == (2, (5, 0), (3, 0))  # within: the borders are 2 apart
    assert nearest(circle(10), circle(10, (6, 0)))[0] == 0
    assert nearest(circle(10), circle(10, (10, 0)))[0] == 0
    assert nearest(rectangle(10, 10), circle(4, (13, 13)))[0] == pytest.approx(math.hypot(3, 3) - 2)
    assert nearest(rectangle(100, 100), rectangle(10, 10, (90, 50)))[0] == 0


@pytest.mark.parametrize("seed", range(3))
def test_length_and_mirror(seed: int) -> None:
    for shape in shapes(Random(seed), 30):
        assert length_of(shape) == pytest.approx(ring(shape).length, rel=1e-5)
        over = mirrored(shape, 7)
        assert over.area == pytest.approx(shape.area)
        assert {(round(14 - x, 6), round(y, 6)) for x, y, _ in over.vertices} == {
            (round(x, 6), round(y, 6)) for x, y, _ in shape.vertices}
        assert all(over.distance((14 - x, y)) < 1e-6 for x, y in shape.points())
        back = mirrored(over, 7)
        assert all(back.distance(p) < 1e-6 for p in shape.points())


def test_widths_across_slots_and_tongues() -> None:
    def told(shape: Profile, below: float) -> list[tuple[float, bool]]:
        return [(round(width.size, 4), width.inside) for width in widths(shape, below)]

    assert told(rectangle(20, 3), 4) == [(3, True)]
    assert told(rectangle(20, 3), 3) == []
    assert widths(rectangle(20, 3), 4)[0].p[0] == 10  # in its middle
    assert told(rectangle(20, 14, radius=1), 5) == []  # small radii are no slots
    assert told(obround(20, 3, degrees=33), 4) == [(3, True)]
    assert told(circle(3), 4) == [(3, True)]
    # a comb: teeth of 2, gaps of 1.5
    comb = polygon([(0, 0), (12.5, 0), (12.5, 10), (10.5, 10), (10.5, 4), (9, 4), (9, 10), (7, 10), (7, 4), (0, 4)])
    assert told(comb, 2.5) == [(1.5, False), (2, True), (2, True)]
    # a step of 2.2 in a straight edge is no tongue
    step = polygon([(0, 0), (50, 0), (50, 20), (47.8, 20), (47.8, 40), (50, 40), (50, 60), (0, 60)])
    assert told(step, 3) == []
    # a keyhole: Ø 10 over a slot of 4 whose sides end on it
    half = math.atan2(2, math.sqrt(21))
    bulge = math.tan((2 * math.pi - 2 * half) / 4)
    keyhole = Profile(((-2, -20, 0), (2, -20, 0), (2, -math.sqrt(21), bulge), (-2, -math.sqrt(21), 0)))
    assert told(keyhole, 5) == [(4, True)]
    # a wedge, at its narrow end
    assert told(polygon([(20, 20), (60, 20.3), (60, 21.7), (20, 22.2)]), 1.5)[0][0] == pytest.approx(1.4, abs=0.001)


# ---- what is left when openings meet

@pytest.mark.parametrize("seed", range(6))
def test_what_is_left_is_that_of_shapely(seed: int) -> None:
    rng, done = Random(seed), 0
    while done < 40:
        outline = rectangle(100, 60, radius=rng.choice([0, 5, 10]))
        cuts = []
        while len(cuts) < rng.randint(1, 6):
            grid = rng.random() < 0.5  # on a grid borders coincide
            x, y, w, h = (float(rng.randrange(a, b + 1, 5)) if grid else rng.uniform(a, b)
                          for a, b in ((0, 90), (0, 50), (5, 40), (5, 30)))
            cut = rng.choice([rectangle(w, h, (x, y)), circle(h, (x, y)), obround(w + h, h, (x, y), rng.choice([0, 90, 30])),
                              rectangle(w, h, (x, y), radius=min(w, h) / 4)])
            if inside(cut, outline):
                cuts.append(cut)
        want = area(outline).difference(unary_union([area(cut) for cut in cuts]))
        try:
            outlines, openings = cut_away(outline, cuts)
        except InputFault:  # they touch in a point, which shapely's chords cannot tell
            assert want.area > 0
            done += 1
            continue
        whole = unary_union([area(shape) for shape in outlines]).difference(unary_union([area(shape) for shape in openings]))
        islands = [shape for shape in outlines if any(inside(shape, opening) for opening in openings)]
        got = unary_union([whole, *(area(shape) for shape in islands)])
        assert got.symmetric_difference(want).area < 0.5  # chords of one arc that begin elsewhere
        assert all(shape.area > 0 and (shape.as_circle or shape.crossing is None) for shape in (*outlines, *openings))
        done += 1


def test_what_is_left_by_hand() -> None:
    box = rectangle(100, 60)
    # a notch at the edge: six corners more would be two too many
    (outline,), openings = cut_away(box, [rectangle(10, 20, (90, 20))])
    assert len(outline.vertices) == 8
    assert outline.area == 6000 - 200
    assert openings == []
    # two discs that overlap become one opening of two arcs
    (outline,), (opening,) = cut_away(box, [circle(20, (40, 30)), circle(20, (52, 30))])
    assert len(opening.vertices) == 2
    # lens: 2 r² acos(d / 2r) - d/2 √(4 r² - d²)
    assert opening.area == pytest.approx(200 * math.pi - (200 * math.acos(0.6) - 6 * math.sqrt(400 - 144)))
    assert set(outline.vertices) == set(box.vertices)
    # two boxes side by side share a border: one box
    _, (opening,) = cut_away(box, [rectangle(10, 10, (20, 20)), rectangle(15, 10, (30, 20))])
    assert sorted((x, y) for x, y, _ in opening.vertices) == [(20, 20), (20, 30), (45, 20), (45, 30)]
    # cut through: two pieces; all: none
    assert len(cut_away(box, [rectangle(4, 60, (48, 0))])[0]) == 2
    assert cut_away(box, [box]) == ([], [])
    # two that only a corner holds together are two
    assert [shape.area for shape in cut_away(box, [rectangle(50, 30), rectangle(50, 30, (50, 30))])[0]] == [1500, 1500]
    # what lies in a ring of cuts falls out: a piece of its own
    ring_of_cuts = [rectangle(30, 5, (20, 20)), rectangle(30, 5, (20, 40)), rectangle(5, 20, (20, 22)),
                    rectangle(5, 20, (45, 22))]
    assert [shape.area for shape in cut_away(box, ring_of_cuts)[0]] == [6000, 20 * 15]


def test_groups() -> None:
    box = rectangle(100, 60)
    cuts = [circle(5, (10, 10)), circle(5, (14, 10)), circle(5, (30, 30)), rectangle(5, 5, (95, 20)), circle(5, (95, 22)),
            rectangle(20, 20, (50, 20)), circle(5, (60, 30))]
    border, meeting_each_other = groups(box, cuts)
    assert sorted(border) == [3, 4]
    assert sorted(map(sorted, meeting_each_other)) == [[0, 1], [5, 6]]
