"""ISO 2768-1 and ISO 9013 at their boundaries, against the published tables."""

from __future__ import annotations

import math

import pytest

from deskmodel.errors import InputFault
from deskmodel.general_tolerances import iso_2768_linear, iso_2768_radius, iso_9013
from tests.hostile import HOSTILE, refused

# ISO 2768-1:1989, table 1: 0.5-3, -6, -30, -120, -400, -1000, -2000, -4000; "over ... up to and including"
BOUNDS = [3, 6, 30, 120, 400, 1000, 2000, 4000]
LINEAR = {
    "f": [0.05, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, None],
    "m": [0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0],
    "c": [0.2, 0.3, 0.5, 0.8, 1.2, 2.0, 3.0, 4.0],  # not 0.15 / 0.2 at first: that row is DIN 7168
    "v": [None, 0.5, 1.0, 1.5, 2.5, 4.0, 6.0, 8.0],
}
# ISO 9013, class 1, as a laser service prints it: below 3, 10, 35, 125, 315, 1000, 2000, 4000
BELOW = [3, 10, 35, 125, 315, 1000, 2000, 4000]
CLASS_1 = {1: [.075, .10, .10, .20, .20, .30, .40, .65], 3.15: [.10, .15, .20, .25, .25, .35, .40, .65],
           6.3: [.20, .20, .25, .25, .30, .40, .45, .70], 10: [None, .25, .30, .30, .35, .45, .55, .75]}
CLASS_2 = {1: [.5, .6, .6, .7, .7, .8, .9, .9], 3.15: [.6, .6, .7, .7, .8, .9, 1.0, 1.1]}


@pytest.mark.parametrize("general", "fmcv")
def test_iso_2768_up_to_and_including(general: str) -> None:
    low = 0.5
    for bound, value in zip(BOUNDS, LINEAR[general], strict=True):
        assert iso_2768_linear(bound, general) == value
        assert iso_2768_linear(math.nextafter(low, 1e9), general) == value
        low = bound
    assert iso_2768_linear(0.5, general) == LINEAR[general][0]
    assert iso_2768_linear(0.49, general) is None
    assert iso_2768_linear(4000.01, general) is None
    assert iso_2768_linear(math.nextafter(400, 1e9)) == 0.8  # 400 itself: 0.5


def test_iso_2768_radii() -> None:
    for general, values in {"f": (0.2, 0.5, 1), "m": (0.2, 0.5, 1), "c": (0.4, 1, 2), "v": (0.4, 1, 2)}.items():
        assert [iso_2768_radius(size, general) for size in (0.5, 3, 3.001, 6, 6.001, 500)] == [
            values[0], values[0], values[1], values[1], values[2], values[2]]
    assert iso_2768_radius(0.4) is None


@pytest.mark.parametrize(("tolerance", "tables"), [(1, CLASS_1), (2, CLASS_2)])
def test_iso_9013_from_the_lower_bound_on(tolerance: int, tables: dict[float, list[float | None]]) -> None:
    thin = 0.0
    for thick, row in tables.items():
        for thickness in (thick, thin + 0.01):
            low = 0.1
            for bound, value in zip(BELOW, row, strict=True):
                assert iso_9013(low, thickness, tolerance) == value
                assert iso_9013(math.nextafter(bound, 0), thickness, tolerance) == value
                low = bound
            assert iso_9013(4000, thickness, tolerance) is None
        thin = thick
    assert iso_9013(100, max(tables) + 0.01, tolerance) is None


@pytest.mark.parametrize("value", HOSTILE, ids=lambda value: type(value).__name__)
def test_answers_or_refuses(value: object) -> None:
    for ask in (lambda: iso_2768_linear(value), lambda: iso_2768_linear(10, value), lambda: iso_2768_radius(value),
                lambda: iso_9013(value, 1.5), lambda: iso_9013(10, value), lambda: iso_9013(10, 1.5, value)):
        refused(ask)
    with pytest.raises(InputFault, match="class"):
        iso_2768_linear(10, "x")
    with pytest.raises(InputFault, match="class"):
        iso_9013(10, 1.5, 3)
