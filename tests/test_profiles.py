"""Outlines against closed forms, and against dense polygons whose arcs are circles through three points."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from deskmodel.errors import InputFault
from deskmodel.profiles import Profile, check_outline, circle, corner_radius, inside, obround, polygon, rectangle

SEEDED = settings(derandomize=True, deadline=None, max_examples=60)
Points = np.ndarray


def dense(profile: Profile, per_edge: int = 400) -> Points:
    """(n, 2) points on the outline. An arc runs through both ends and through the point that the definition of bulge
    puts bulge * half chord to the right of the chord's middle; centre by the circumcentre of those three."""
    rows = []
    vertices = profile.vertices
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1], strict=True):
        t = np.linspace(0, 1, per_edge, endpoint=False)
        a, b = complex(x0, y0), complex(x1, y1)
        if bulge == 0:
            z = a + t * (b - a)
        else:
            m = (a + b) / 2 - 1j * (b - a) * bulge / 2
            # circumcentre of a, m, b (textbook formula)
            d = 2 * ((a - b).conjugate() * (m - b)).imag
            c = b + ((m - b) * abs(a - b) ** 2 - (a - b) * abs(m - b) ** 2) * -1j / d
            sweep = 2 * np.angle((m - c) / (a - c))  # to the middle and as far again
            z = c + (a - c) * np.exp(1j * sweep * t)
        rows.append(np.c_[z.real, z.imag])
    return np.concatenate(rows)


def shoelace(points: Points) -> float:
    x, y = points.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2)


def even_odd(points: Points, p: tuple[float, float]) -> bool:
    (x0, y0), (x1, y1) = points.T, np.roll(points, -1, axis=0).T
    crosses = (y0 > p[1]) != (y1 > p[1])
    with np.errstate(divide="ignore", invalid="ignore"):
        return bool(np.sum(crosses & (p[0] < x0 + (p[1] - y0) / (y1 - y0) * (x1 - x0))) % 2)


@st.composite
def stars(draw: st.DrawFn) -> Profile:
    """Outlines round (0, 0), with edges that bulge either way."""
    n = draw(st.integers(3, 9))
    angles = np.linspace(0, 2 * math.pi, n, endpoint=False)
    radii = [draw(st.floats(20, 60)) for _ in range(n)]
    bulges = [draw(st.sampled_from([0.0, 0.0, 0.1, 0.3, -0.1, -0.25, 0.7])) for _ in range(n)]
    shape = Profile(tuple((r * math.cos(a), r * math.sin(a), b) for r, a, b in zip(radii, angles, bulges, strict=True)))
    assume(shape.crossing is None)
    return shape


# ---- closed forms (school geometry)

@pytest.mark.parametrize(("profile", "area", "box"), [
    (circle(10, (3, 4)), math.pi * 25, (-2, -1, 8, 9)),
    (rectangle(30, 20, (-5, 7)), 600, (-5, 7, 25, 27)),
    (rectangle(30, 20, (-5, 7), radius=6), 600 - (4 - math.pi) * 36, (-5, 7, 25, 27)),  # four quarter circles
    (obround(60, 25, (100, 50)), 35 * 25 + math.pi * 12.5**2, (70, 37.5, 130, 62.5)),
    (polygon([(0, 0), (4, 0), (0, 3)]), 6, (0, 0, 4, 3)),
    (polygon([(0, 3), (4, 0), (0, 0)]), 6, (0, 0, 4, 3)),  # clockwise: turned round
    # a square with one side a half circle outwards, and one inwards
    (Profile(((0, 0, 1.0), (10, 0, 0), (10, 10, 0), (0, 10, 0))), 100 + math.pi * 12.5, (0, -5, 10, 10)),
    (Profile(((0, 0, -1.0), (10, 0, 0), (10, 10, 0), (0, 10, 0))), 100 - math.pi * 12.5, (0, 0, 10, 10)),
])
def test_area_and_box_have_closed_forms(profile: Profile, area: float, box: tuple[float, ...]) -> None:
    assert profile.area == pytest.approx(area, rel=1e-13)
    assert profile.bounds == pytest.approx(box, abs=1e-12)
    check_outline("it", profile)


def test_area_far_from_the_origin_keeps_its_digits() -> None:
    assert circle(1.0, (9_000.0, 9_000.0)).area == pytest.approx(math.pi / 4, rel=1e-9)
    assert rectangle(0.01, 0.01, (9_000.0, -9_000.0)).area == pytest.approx(1e-4, rel=1e-6)  # ulp there: 1.5e-11


def test_turned_obround_box() -> None:
    # two circles of radius 5, 20 apart, at 30°: half spans 10 cos 30 + 5 and 10 sin 30 + 5
    box = obround(30, 10, (0, 0), degrees=30).bounds
    assert box == pytest.approx((-13.660254, -10, 13.660254, 10), abs=1e-6)


# ---- dense polygons

@SEEDED
@given(stars())
def test_area_and_box_of_arcs(profile: Profile) -> None:
    points = dense(profile)
    assert profile.area == pytest.approx(shoelace(points), rel=2e-4)  # chords of 400 per arc
    low, high = points.min(axis=0), points.max(axis=0)
    assert profile.bounds == pytest.approx((*low, *high), abs=2e-3)


@SEEDED
@given(stars(), st.integers(0, 2**32 - 1))
def test_inside_and_distance_of_points(profile: Profile, seed: int) -> None:
    points = dense(profile)
    rng = random.Random(seed)
    for _ in range(20):
        p = (rng.uniform(-70, 70), rng.uniform(-70, 70))
        apart = float(np.min(np.hypot(*(points - p).T)))
        assert profile.distance(p) == pytest.approx(apart, abs=0.15)  # half the spacing of the points
        assert profile.distance(p) <= apart + 1e-9
        if apart > 0.2:
            assert profile.contains(p) == even_odd(points, p)


@SEEDED
@given(stars(), st.floats(-180, 180), st.floats(-300, 300), st.floats(-300, 300))
def test_moving_changes_nothing(profile: Profile, degrees: float, dx: float, dy: float) -> None:
    moved = profile.turned(degrees).moved(dx, dy)
    assert moved.area == pytest.approx(profile.area, rel=1e-9)
    p = (11.0, 7.0)
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    q = (c * p[0] - s * p[1] + dx, s * p[0] + c * p[1] + dy)
    assert moved.distance(q) == pytest.approx(profile.distance(p), abs=1e-9)
    if profile.distance(p) > 1e-5:
        assert moved.contains(q) == profile.contains(p)


@SEEDED
@given(stars(), st.sampled_from([circle(30), rectangle(30, 20, (-15, -10)), obround(40, 12), rectangle(24, 24, (-12, -12),
                                                                                                    radius=5)]),
       st.floats(-180, 180), st.floats(-45, 45), st.floats(-45, 45))
def test_inside_is_every_point_inside(outer: Profile, shape: Profile, degrees: float, dx: float, dy: float) -> None:
    inner = shape.turned(degrees).moved(dx, dy)
    depths = [outer.distance((x, y)) * (1 if outer.contains((x, y)) else -1) for x, y in dense(inner, 150)]
    if min(depths) > 0.01:
        assert inside(inner, outer)
    if min(depths) < -0.01:
        assert not inside(inner, outer)


def test_points_on_a_chord_of_an_arc() -> None:
    shape = obround(40, 10, (0, 0))  # the centres of its ends lie on chords
    assert all(shape.contains(p) for p in [(15, 0), (-15, 0), (15, 2), (0, 0), (19.9, 0)])
    assert not any(shape.contains(p) for p in [(20.1, 0), (15, 5.1), (0, -5.1)])
    turned = obround(40, 10, (0, 0), degrees=118.74)
    c, s = math.cos(math.radians(118.74)), math.sin(math.radians(118.74))
    assert all(turned.contains((15 * c - v * s, 15 * s + v * c)) for v in np.linspace(-4.9, 4.9, 99))


# ---- inside: traps

U = polygon([(0, 0), (100, 0), (100, 80), (70, 80), (70, 20), (30, 20), (30, 80), (0, 80)])


def test_a_bar_across_a_notch_is_not_inside() -> None:
    bar = rectangle(90, 10, (5, 40))  # its four corners are
    assert all(U.contains((x, y)) for x, y, _ in bar.vertices)
    assert not inside(bar, U)
    assert inside(rectangle(90, 10, (5, 5)), U)


def test_a_bulge_through_a_slit_is_not_inside() -> None:
    slit = polygon([(0, 0), (100, 0), (100, 40), (51, 40), (51, 9), (49, 9), (49, 40), (0, 40)])
    arch = Profile(((30, 5, 0.3), (70, 5, 0.0), (70, 6, 0.0), (30, 6, 0.0)))  # its low side sags 6 below y = 5
    hump = Profile(((30, 5, 0.0), (70, 5, 0.0), (70, 6, 0.6), (30, 6, 0.0)))  # 12 high in the middle, over the slit's foot
    assert not inside(arch, slit)
    assert not inside(hump, slit)


def test_borders_may_touch() -> None:
    assert inside(rectangle(30, 20), rectangle(30, 20))
    assert inside(circle(20, (10, 10)), rectangle(20, 20))
    assert not inside(circle(20.001, (10, 10)), rectangle(20, 20))
    assert inside(rectangle(10, 20, (20, 0)), rectangle(30, 20))
    assert not inside(rectangle(10, 20.001, (20, 0)), rectangle(30, 20))
    assert inside(obround(40, 10, (20, 5)), rectangle(40, 10))


# ---- refusals

@pytest.mark.parametrize("make", [
    lambda: circle(0), lambda: circle(-1), lambda: circle(math.nan), lambda: circle(True), lambda: circle("5"),
    lambda: circle(1e9), lambda: circle(5, (math.nan, 0)), lambda: circle(5, "ab"), lambda: circle(5, 7),
    lambda: rectangle(10, 0), lambda: rectangle(10, 10, radius=5), lambda: rectangle(10, 10, radius=-1),
    lambda: rectangle(10, 10, radius=math.nan), lambda: rectangle(10, 10, (0, 0, 0)), lambda: rectangle(10, None),
    lambda: obround(10, 10), lambda: obround(math.nan, 5), lambda: obround(30, 10, degrees=math.inf),
    lambda: polygon([(0, 0), (1, 0)]), lambda: polygon([(0, 0), (1, 1), (2, 2)]), lambda: polygon(5),
    lambda: polygon([(0, 0), (1, 0), (1, 0), (0, 1)]), lambda: polygon([(0, 0), (math.nan, 0), (0, 1)]),
    lambda: polygon([(0, 0), (10, 10), (10, 0), (0, 10)]),  # crosses itself
    lambda: polygon([(0, 0), (1, 1), (2, 0), (2, 2), (1, 1), (0, 2)]),  # touches itself in a corner
    lambda: polygon([(0, 0), (10, 0), (5, 0), (5, 5)]),  # runs back along itself
    lambda: polygon([(0, 0), (10, 0), (10, 10), (5, 0), (0, 10)]),  # a corner on another edge
    lambda: Profile(()), lambda: Profile(((0, 0, 0),)), lambda: Profile(((0, 0), (1, 1))), lambda: Profile("ab"),
    lambda: Profile(((0, 0, 1), (0, 0, 1))), lambda: Profile(((0, 0, math.nan), (1, 0, 0), (0, 1, 0))),
    lambda: Profile(((0, 0, 1e-12), (1, 0, 0), (0, 1, 0))), lambda: Profile(None),
])
def test_what_is_no_outline_is_refused(make: object) -> None:
    with pytest.raises(InputFault):
        make()


@pytest.mark.parametrize("outline", [
    Profile(((0, 0, 0), (0, 10, 0), (10, 10, 0), (10, 0, 0))),  # clockwise
    Profile(((0, 0, 0), (10, 0, -1.5), (10, 10, 0), (0, 10, 0))),  # an arc through the opposite side
    "ab", None, ((0, 0), (1, 0), (0, 1)),
])
def test_outlines_no_sheet_can_have(outline: object) -> None:
    with pytest.raises(InputFault):
        check_outline("it", outline)


def test_lists_and_ints_make_the_same_outline() -> None:
    assert Profile([[0, 0, 0], [4, 0, 0], [0, 3, 0]]) == polygon(((0.0, 0.0), (4.0, 0.0), (0.0, 3.0)))
    assert hash(Profile([[0, 0, 0], [4, 0, 0], [0, 3, 0]])) == hash(polygon([(0, 0), (4, 0), (0, 3)]))
    assert rectangle(np.float64(3), np.int64(2)) == rectangle(3, 2)


@pytest.mark.parametrize(("outline", "radius"), [
    (rectangle(40, 30, (5, -7)), 0), (rectangle(40, 30, (5, -7), radius=4.5), 4.5), (obround(40, 10), None),
    (circle(20), None), (polygon([(0, 0), (40, 0), (40, 20), (20, 30), (0, 30)]), None),
    (rectangle(10, 10, radius=4.999), 4.999),
    (rectangle(40, 30).turned(10), None), (polygon([(0, 0), (30, 0), (40, 30), (10, 30)]), None),
])
def test_rounding_of_all_corners(outline: Profile, radius: float | None) -> None:
    assert corner_radius(outline) == radius
